import type { Cell, Ribbon } from "../api/types";
import { type Span, song } from "../base/time";
import { type Row, type Score, type ShotView, beatTime } from "./score";

export type State = "holds" | "doubtful" | "refused";

/** Calls with each stretch of cells of one state that touches the row. */
export function eachRun(ribbon: Ribbon, row: Row, run: (state: State, cells: readonly Cell[], first: number) => void): void {
  const cells = ribbon.cells ?? [];
  const from = Math.max(0, row.firstBeat - 1 - ribbon.first);
  const to = Math.min(cells.length, row.endBeat + 1 - ribbon.first);
  for (let i = from; i < to; ) {
    const state = cells[i]?.state ?? "refused";
    let end = i + 1;
    while (end < to && cells[end]?.state === state) end++;
    run(state as State, cells.slice(i, end), ribbon.first + i);
    i = end;
  }
}

export function spanOf(score: Score, ribbon: Ribbon, first: number, count: number, row: Row): Span {
  return {
    from: song(Math.max(beatTime(score, first), ribbon.span.from, row.span.from)),
    to: song(Math.min(beatTime(score, first + count), ribbon.span.to, row.span.to)),
  };
}

export const common = (a: Span, b: Span): Span | undefined => {
  const from = song(Math.max(a.from, b.from));
  const to = song(Math.min(a.to, b.to));
  return to > from ? { from, to } : undefined;
};

export function without(s: Span, shots: readonly ShotView[]): Span[] {
  const out: Span[] = [];
  let from = s.from;
  for (const m of shots) {
    if (m.span.to <= from || m.span.from >= s.to) continue;
    if (m.span.from > from) out.push({ from, to: m.span.from });
    from = m.span.to;
  }
  if (s.to > from) out.push({ from, to: s.to });
  return out;
}
