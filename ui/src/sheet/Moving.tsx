import { effect, signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { lengthOf, overlap, song } from "../base/time";
import { useHeld } from "../views/hold";
import { type Plan, layRow } from "./layout";
import { keepSeen } from "./scroll";
import { type Row as RowData, type Score, rowAt } from "./score";

/** What moves over the paper: the place at hand, what a decision reaches, what is heard now. */
export function Moving({ score, plan, elements, frame }: { readonly score: Score; readonly plan: Plan; readonly elements: ReadonlyMap<number, HTMLElement>; readonly frame: { current: HTMLDivElement | null } }) {
  const { desk } = useHeld();
  const reach = useRef<HTMLDivElement>(null);
  const strand = useRef<HTMLDivElement>(null);
  const needle = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const place = (e: HTMLElement | null, row: RowData | undefined, x: number, y: number, w: number, h: number): void => {
      const li = row && elements.get(row.index);
      const sheet = frame.current;
      if (!e) return;
      if (!li || !sheet) {
        e.hidden = true;
        return;
      }
      e.hidden = false;
      const strip = li.firstElementChild as HTMLElement;
      const box = strip.getBoundingClientRect();
      const base = sheet.getBoundingClientRect();
      e.style.transform = `translate(${box.left - base.left + sheet.scrollLeft + x}px, ${box.top - base.top + sheet.scrollTop + y}px)`;
      e.style.width = `${w}px`;
      e.style.height = `${h}px`;
    };
    const moved = signal(0);
    const watch = new ResizeObserver(() => moved.value++);
    const rows = frame.current?.firstElementChild;
    if (rows) watch.observe(rows);
    const stopHere = effect(() => {
      void moved.value;
      const row = desk.place.row.value;
      const target = desk.place.target.value;
      if (!row || !target) return;
      const lay = layRow(score, plan, row);
      const from = song(Math.max(target.span.from, row.span.from));
      const to = song(Math.min(target.span.to, row.span.to));
      const x = lay.scale.px(from);
      const top = plan.zoom === "song" ? 0 : lay.words.y;
      place(reach.current, overlap(target.span, row.span) > 0 ? row : undefined, x, top, Math.max(3, lay.scale.px(to) - x), lay.height - top - (plan.zoom === "song" ? 4 : 8));
      const pass = desk.place.here.value.pass;
      const at = lay.places.find((q) => q.strand.pass.name === pass);
      const x0 = lay.label - 0.4 * plan.rem;
      if (at) {
        place(strand.current, row, x0, at.y - plan.ribbon / 2 - 1, lengthOf(row.span) * plan.perSecond + 0.8 * plan.rem, plan.ribbon + 2);
        keepSeen(strand.current);
      } else place(strand.current, lay.cut.height > 0 ? row : undefined, x0, lay.cut.y - 2, lengthOf(row.span) * plan.perSecond + 0.8 * plan.rem, lay.cut.height + 4);
    });
    let known: { row: RowData; lay: ReturnType<typeof layRow> } | undefined;
    const stopNow = effect(() => {
      void moved.value;
      const t = desk.player.now.value;
      const row = rowAt(score, t);
      if (!row) return;
      if (known?.row !== row) known = { row, lay: layRow(score, plan, row) };
      place(needle.current, row, known.lay.scale.px(t), 0, 2, known.lay.height - 6);
      needle.current?.classList.toggle("tw-runs", desk.player.mode.value !== "still");
    });
    return () => {
      watch.disconnect();
      stopHere();
      stopNow();
    };
  }, [score, plan, elements]);
  return (
    <>
      <div class="tw-reach" ref={reach} aria-hidden="true" hidden />
      <div class="tw-at-hand" ref={strand} aria-hidden="true" hidden />
      <div class="tw-needle" ref={needle} aria-hidden="true" hidden />
    </>
  );
}
