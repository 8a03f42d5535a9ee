import { useEffect, useRef } from "preact/hooks";
import { api, media } from "../../api/client";
import type { Instant } from "../../api/types";
import { useSignal } from "@preact/signals";
import { finishOf } from "../../look/finish";
import { type Finish, unfinished } from "../../look/painter";
import { press } from "../../look/press";
import { wholeBox } from "../../play/box";
import type { Grade } from "../../state/grading";
import { type Held, useHeld } from "../hold";

export const stillWidth = 480;

/** The hardest instants of the film that is shown; undefined while they are measured. */
export function useInstants(): readonly Instant[] | undefined {
  const { store } = useHeld();
  const found = useSignal<readonly Instant[] | undefined>(undefined);
  const order = store.order.value;
  const shots = store.shots.value;
  useEffect(() => {
    const asked = new AbortController();
    api
      .instants(order, asked.signal)
      .then((all) => (found.value = all.instants ?? []))
      .catch((e: unknown) => {
        if (!asked.signal.aborted) store.refuse(e);
      });
    return () => asked.abort();
  }, [order, shots]);
  return found.value;
}

/** What a grade does by the place in a still of a pass. */
export function finishOfStill({ store, desk }: Held, instant: Instant, grade: Grade, more: Partial<Finish> = {}): Finish {
  const order = store.film.peek()?.orders?.find((o) => o.id === store.order.peek());
  const pass = desk.passNamed(instant.pass);
  if (!order || !pass || order.height <= 0) return { ...unfinished, ...more };
  const w = pass.width || 16;
  const h = pass.height || 9;
  const box = wholeBox(order.width / order.height, w, h);
  return finishOf(grade.look, order, { shape: { x: box.x / w, y: box.y / h, w: box.w / w, h: box.h / h }, ...more });
}

/** A still of an instant, painted anew whenever the look is. */
export function Still({ instant, split }: { readonly instant: Instant; readonly split?: number }) {
  const held = useHeld();
  const canvas = useRef<HTMLCanvasElement>(null);
  const picture = useRef<HTMLImageElement | undefined>(undefined);
  const { grading } = held.desk;
  const grade = grading.now.value;
  void grading.turn.value;
  const paint = (): void => {
    if (canvas.current && picture.current) press(canvas.current, picture.current, grading.table(instant.setup, grade), finishOfStill(held, instant, grade, { split: split ?? 0 }));
  };
  useEffect(() => {
    const image = new Image();
    image.onload = paint;
    image.src = media.still(instant.pass, instant.at_s, stillWidth);
    picture.current = image;
    return () => (image.onload = null);
  }, [instant.pass, instant.at_s]);
  useEffect(paint);
  return <canvas ref={canvas} role="img" aria-label={`${instant.name}, ${instant.address}`} data-exact={grading.isExact(instant.setup, grade) ? "" : undefined} width={16} height={9} />;
}
