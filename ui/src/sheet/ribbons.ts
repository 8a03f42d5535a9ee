import type { Cell } from "../api/types";
import { type Span, overlap } from "../base/time";
import type { Picture } from "./inks";
import { type Place, type RowPlan, halfOf } from "./layout";
import { type State, common, eachRun, spanOf, without } from "./runs";
import { type Row, type ShotView, beatTime } from "./score";
import { type Batch, crosses, line, penned, snap, weave } from "./strokes";

/** Draws a pass: woven, broken or crossed, as thick as its shots may be held. */
export function drawStrand(p: Picture, row: Row, lay: RowPlan, place: Place, shots: readonly ShotView[], plain: Batch, used: Batch): void {
  const mine = shots.filter((s) => s.shot.pass === place.strand.pass.name);
  for (const ribbon of place.strand.pass.ribbons ?? []) {
    if (overlap(ribbon.span, row.span) <= 0) continue;
    eachRun(ribbon, row, (state, cells, first) => {
      const free: Span[] = without(spanOf(p.score, ribbon, first, cells.length, row), mine);
      for (const s of free) stroke(p, lay, place, state, cells, first, s, plain, 0);
      for (const m of mine) {
        const part = common(spanOf(p.score, ribbon, first, cells.length, row), m.span);
        if (part) stroke(p, lay, place, state, cells, first, part, used, 2.2);
      }
    });
  }
}

function stroke(p: Picture, lay: RowPlan, place: Place, state: State, cells: readonly Cell[], first: number, s: Span, into: Batch, least: number): void {
  const { scale } = lay;
  const { y } = place;
  const x0 = scale.px(s.from);
  const x1 = scale.px(s.to);
  if (x1 - x0 < 0.5) return;
  if (state === "refused") {
    into.line.moveTo(x0, snap(y));
    into.line.lineTo(x1, snap(y));
    crosses(into.cross, x0, x1, y, Math.min(3.4, place.half * 0.8));
    return;
  }
  // The hold at each beat; at the end of the run what is left of it.
  const at: number[] = [];
  const hold: number[] = [];
  for (let i = 0; i < cells.length; i++) {
    at.push(scale.px(beatTime(p.score, first + i)));
    hold.push(cells[i]?.hold_s ?? 0);
  }
  const last = cells.length - 1;
  at.push(scale.px(beatTime(p.score, first + cells.length)));
  hold.push(Math.max(0, (cells[last]?.hold_s ?? 0) - (beatTime(p.score, first + cells.length) - beatTime(p.score, first + last))));
  if (least === 0) weave(state === "holds" ? into.threads : into.broken, at, hold, x0, x1, y, place.half);
  else if (state === "doubtful") weave(into.broken, at, hold.map((h) => Math.max(h, 2)), x0, x1, y, place.half);
  else penned(into.fill, at, hold.map((h) => Math.max(least, halfOf(h, place.half))), x0, x1, y);
}

/** One ribbon per setup: a thread for each pass that holds, as far as there is room. */
export function drawDensity(p: Picture, row: Row, lay: RowPlan, shots: readonly ShotView[], plain: Batch, used: Batch): void {
  for (const g of lay.groups) {
    const group = p.score.groups[g.index];
    if (!group) continue;
    const y = g.y + g.height / 2;
    const room = Math.max(1, Math.floor(g.height / 2));
    const mine = shots.filter((m) => m.shot.setup === group.setup.name);
    for (let b = row.firstBeat - 1; b < row.endBeat; b++) {
      const s = common({ from: beatTime(p.score, b), to: beatTime(p.score, b + 1) }, row.span);
      if (!s) continue;
      const { holds = 0, doubts = 0, refused = 0 } = group.worth[b + 1] ?? {};
      const x0 = lay.scale.px(s.from);
      const x1 = lay.scale.px(s.to);
      const into = mine.some((m) => overlap(m.span, s) > (s.to - s.from) / 2) ? used : plain;
      if (into === used && holds + doubts > 0) {
        into.fill.rect(x0, y - 1.5, x1 - x0 + 0.3, 3);
      } else if (holds > 0) {
        const threads = Math.min(holds, room);
        for (let k = 0; k < threads; k++) line(into.threads, x0, x1 + 0.3, x0, x1 + 0.3, snap(y + (k - (threads - 1) / 2) * 2));
      } else if (doubts > 0) {
        line(into.broken, x0, x1, x0, x1, snap(y));
      } else if (refused > 0) {
        crosses(into.cross, x0, x1, y, 1.6);
      }
    }
  }
}
