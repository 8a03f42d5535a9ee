import { effect } from "@preact/signals";
import type { RefObject } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { frames } from "../../base/frame";
import { finishOf, finishes } from "../../look/finish";
import { contained, follow } from "../../look/follow";
import { Painter, unfinished } from "../../look/painter";
import { boxOf } from "../../play/box";
import { type Held, useHeld } from "../hold";

interface Sources {
  readonly videos: readonly RefObject<HTMLVideoElement | null>[];
  readonly still: RefObject<HTMLImageElement | null>;
}

/** The picture with the look, over the plain one; it hides where the look does nothing. */
export function Graded(sources: Sources) {
  const held = useHeld();
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const to = canvas.current;
    if (!to) return;
    const paint = painting(held, to, sources);
    const again = (): void => paint(false);
    const videos = sources.videos.flatMap((v) => v.current ?? []);
    const stops = videos.map((v) => follow(v, (shown) => shown.classList.contains("tw-screen-seen") && paint(true)));
    const { desk, store } = held;
    stops.push(
      effect(() => {
        void desk.grading.now.value;
        void desk.grading.split.value;
        void desk.grading.turn.value;
        void desk.player.seen.value;
        void desk.place.here.value;
        void store.order.value;
        frames.once(again);
      }),
    );
    const resized = new ResizeObserver(() => frames.once(again));
    resized.observe(to.parentElement ?? to);
    return () => {
      for (const stop of stops) stop();
      resized.disconnect();
    };
  }, []);
  return <canvas class="tw-screen tw-graded" ref={canvas} hidden aria-hidden="true" />;
}

/** Paints what is seen now: always a picture that is new, else only what has changed. */
function painting({ desk, store }: Held, canvas: HTMLCanvasElement, sources: Sources): (isNew: boolean) => void {
  let painter: Painter | undefined;
  let paints = 0;
  let painted: readonly unknown[] = [];
  return (isNew) => {
    const view = desk.player.seen.peek();
    const pass = desk.passNamed(view?.pass);
    const order = store.film.peek()?.orders?.find((o) => o.id === store.order.peek());
    const source = sources.still.current ?? sources.videos.map((v) => v.current).find((v) => v?.classList.contains("tw-screen-seen"));
    if (!view || !pass || !order || !source) return hide();
    const grade = desk.grading.now.peek();
    const table = desk.grading.table(pass.setup, grade);
    const box = boxOf(pass, order, view, desk.player.now.peek());
    const w = pass.width || 16;
    const h = pass.height || 9;
    const shape = box ? { x: box.x / w, y: box.y / h, w: box.w / w, h: box.h / h } : unfinished.shape;
    const finish = finishOf(grade.look, order, { shape });
    const size = sizeOf(source);
    if ((!table && !finishes(finish)) || !size) return hide();
    painter ??= Painter.on(canvas);
    if (!painter) return hide();
    const frame = canvas.parentElement ?? canvas;
    const inside = contained(size.w, size.h, frame.clientWidth, frame.clientHeight);
    fit(canvas, Math.min(size.w, Math.round(inside.w * devicePixelRatio)), size);
    const split = desk.grading.split.peek();
    const place = split === undefined ? 0 : (split * frame.clientWidth - (frame.clientWidth - inside.w) / 2) / inside.w;
    const wanted = [source, source.src, view.key, table, canvas.width, place, JSON.stringify(finish)];
    if (!isNew && !canvas.hidden && wanted.every((v, i) => v === painted[i])) return;
    painted = wanted;
    painter.paint(source, table, { ...finish, split: place });
    canvas.hidden = false;
    canvas.dataset["paints"] = String(++paints);
  };

  function hide(): void {
    canvas.hidden = true;
  }
}

/** The size of what a source shows; undefined while it shows nothing. */
function sizeOf(source: HTMLVideoElement | HTMLImageElement): { readonly w: number; readonly h: number } | undefined {
  const video = source instanceof HTMLVideoElement;
  if (video ? source.readyState < 2 : !source.complete) return undefined;
  const w = video ? source.videoWidth : source.naturalWidth;
  const h = video ? source.videoHeight : source.naturalHeight;
  return w > 0 && h > 0 ? { w, h } : undefined;
}

function fit(canvas: HTMLCanvasElement, width: number, like: { readonly w: number; readonly h: number }): void {
  const height = Math.max(1, Math.round((width * like.h) / like.w));
  if (canvas.width !== width) canvas.width = width;
  if (canvas.height !== height) canvas.height = height;
}
