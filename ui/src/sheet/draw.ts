import type { Cell, Pin, Ribbon, Wave } from "../api/types";
import { halfOf, type Place, type Plan, type RowPlan } from "./layout";
import { beatTime, type Row, type Score, type ShotView } from "./score";
import { type Span, overlap, song } from "../base/time";

/** The colours of the drawing, read from the style sheet's tokens. */
export interface Inks {
  readonly ink: string;
  readonly soft: string;
  readonly faint: string;
  readonly hair: string;
  readonly ribbon: string;
  readonly paper: string;
  readonly thread: string;
  readonly madder: string;
  readonly sans: string;
  readonly serif: string;
}

export interface Picture {
  readonly score: Score;
  readonly plan: Plan;
  readonly inks: Inks;
  readonly shots: readonly ShotView[];
  readonly wave: Wave | undefined;
}

// Crosses stand for refusal: distance, CSS pixels.
const crossStep = 17;
// Broken threads stand for doubt.
const brokenDash = [2.5, 4];
// The stroke of a shot begins and ends over this length.
const penStroke = 11;
// A ribbon is woven of threads so far apart, CSS pixels: closer where there is less room …
const threadStep = (half: number): number => (half < 6 ? 2 : 2.5);
// … and has as many of them as these holds, in seconds, are reached.
const threadHolds = [0, 0.8, 1.8, 3, 4.5, 6.5, 9, 12, 16] as const;

// A cut lies up to two frames before its beat, and so before its row.
export const edgeSeconds = 0.1;

type State = "holds" | "doubtful" | "refused";

/** What is gathered to be painted at once. */
interface Batch {
  readonly fill: Path2D;
  readonly threads: Path2D; // of what holds
  readonly broken: Path2D; // threads of what is in doubt
  readonly line: Path2D;
  readonly cross: Path2D;
}

const batch = (): Batch => ({ fill: new Path2D(), threads: new Path2D(), broken: new Path2D(), line: new Path2D(), cross: new Path2D() });

/** Paints one row. The context's unit is the CSS pixel. */
export function drawRow(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan): void {
  g.clearRect(0, 0, lay.width + 2, lay.height);
  drawBeats(g, p, row, lay);
  if (p.plan.zoom !== "song") drawWave(g, p, row, lay);
  const plain = batch();
  const used = batch();
  const here = p.shots.filter((s) => overlap(s.span, row.span) > 0);
  if (p.plan.zoom === "song") drawDensity(p, row, lay, here, plain, used);
  else for (const place of lay.places) drawStrand(p, row, lay, place, here, plain, used);
  paint(g, plain, p.inks.ribbon, p.inks.faint, 1);
  paint(g, used, p.inks.thread, p.inks.thread, 1.6);
  drawThread(g, p, row, lay, here);
  drawLabels(g, p, lay);
  drawMustSee(g, p, row, lay);
  if (p.plan.zoom !== "song") {
    for (const pin of p.score.film.pins ?? []) drawPin(g, p, row, lay, pin);
    if (p.plan.zoom === "line") drawReasons(g, p, row, lay);
  }
}

function paint(g: CanvasRenderingContext2D, b: Batch, full: string, thin: string, weight: number): void {
  g.fillStyle = full;
  g.fill(b.fill);
  g.strokeStyle = full;
  g.lineWidth = 1;
  g.stroke(b.threads);
  g.setLineDash(brokenDash);
  g.stroke(b.broken);
  g.setLineDash([]);
  g.strokeStyle = thin;
  g.lineWidth = weight;
  g.stroke(b.line);
  g.strokeStyle = full;
  g.lineWidth = 1.15;
  g.stroke(b.cross);
}

function drawBeats(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan): void {
  const { scale } = lay;
  const song0 = p.score.film.song;
  const d = p.plan.density;
  const bottom = lay.height - (p.plan.zoom === "song" ? 6 : 12);
  g.fillStyle = p.inks.hair;
  const small = p.plan.zoom === "song";
  for (let i = row.firstBeat; i < row.endBeat; i++) {
    const beat = song0.beats?.[i];
    if (!beat) continue;
    const x = scale.device(beat.at) / d;
    const down = beat.in_bar === 0;
    if (small) {
      if (down) g.fillRect(x, lay.cut.y, 1 / d, bottom - lay.cut.y);
      continue;
    }
    if (down) g.fillRect(x, 2, 1, bottom - 2);
    else g.fillRect(x, lay.ticks.height - 4, 1, 4);
  }
  if (small) return;
  g.fillStyle = p.inks.soft;
  g.font = `${0.68 * p.plan.rem}px ${p.inks.sans}`;
  g.textBaseline = "top";
  (song0.bars ?? []).forEach((bar, n) => {
    if (bar.span.from < row.span.from - 0.05 || bar.span.from >= row.span.to - 0.05) return;
    g.fillText(String(n + 1), scale.px(bar.span.from) + 4, 2);
  });
}

function drawWave(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan): void {
  const peaks = p.wave?.peaks;
  const step = p.wave?.step_s ?? 0;
  if (!peaks || step <= 0) return;
  const middle = lay.words.y + lay.words.height - 3;
  const tall = row.text === "" ? lay.words.height * 0.42 : lay.words.height * 0.16;
  const y0 = row.text === "" ? lay.words.y + lay.words.height / 2 : middle;
  g.fillStyle = p.inks.hair;
  const path = new Path2D();
  const from = Math.max(0, Math.floor(row.span.from / step));
  const to = Math.min(peaks.length / 2, Math.ceil(row.span.to / step));
  const stride = Math.max(1, Math.floor(1.5 / (step * p.plan.perSecond)));
  for (let i = from; i < to; i += stride) {
    let low = 0;
    let high = 0;
    for (let k = i; k < Math.min(i + stride, to); k++) {
      low = Math.min(low, peaks[2 * k] ?? 0);
      high = Math.max(high, peaks[2 * k + 1] ?? 0);
    }
    const x = lay.scale.px(song(i * step));
    const up = (high / 128) * tall;
    path.rect(x, y0 - up, Math.max(0.6, step * stride * p.plan.perSecond - 0.5), up - (low / 128) * tall + 0.5);
  }
  g.fill(path);
}

/** Paints a pass: solid, combed or crossed, as thick as its shots may be held. */
function drawStrand(p: Picture, row: Row, lay: RowPlan, place: Place, shots: readonly ShotView[], plain: Batch, used: Batch): void {
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

/** Calls with each stretch of cells of one state that touches the row. */
function eachRun(ribbon: Ribbon, row: Row, run: (state: State, cells: readonly Cell[], first: number) => void): void {
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

function spanOf(score: Score, ribbon: Ribbon, first: number, count: number, row: Row): Span {
  return {
    from: song(Math.max(beatTime(score, first), ribbon.span.from, row.span.from)),
    to: song(Math.min(beatTime(score, first + count), ribbon.span.to, row.span.to)),
  };
}

const common = (a: Span, b: Span): Span | undefined => {
  const from = song(Math.max(a.from, b.from));
  const to = song(Math.min(a.to, b.to));
  return to > from ? { from, to } : undefined;
};

function without(s: Span, shots: readonly ShotView[]): Span[] {
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

/** Threads side by side, each for as long as the hold is worth it: a ribbon frays to its end. */
function weave(path: Path2D, at: readonly number[], hold: readonly number[], x0: number, x1: number, y: number, half: number): void {
  const step = threadStep(half);
  const most = Math.max(1, Math.min(threadHolds.length, 1 + 2 * Math.floor(half / step)));
  for (let k = 0; k < most; k++) {
    const worth = threadHolds[k] ?? 0;
    const level = snap(y + (k % 2 === 1 ? -1 : 1) * Math.ceil(k / 2) * step);
    let open: number | undefined;
    for (let i = 0; i + 1 < at.length; i++) {
      const a = at[i] ?? 0;
      const b = at[i + 1] ?? a;
      const ha = hold[i] ?? 0;
      const hb = hold[i + 1] ?? 0;
      if (ha >= worth && open === undefined) open = a;
      else if (ha < worth && hb >= worth && open === undefined) open = b;
      if (open !== undefined && ha >= worth && hb < worth) {
        line(path, open, a + ((b - a) * (ha - worth)) / Math.max(ha - hb, 1e-6), x0, x1, level);
        open = undefined;
      }
    }
    if (open !== undefined) line(path, open, at[at.length - 1] ?? open, x0, x1, level);
  }
}

function line(path: Path2D, a: number, b: number, x0: number, x1: number, y: number): void {
  const from = Math.max(a, x0);
  const to = Math.min(b, x1);
  if (to <= from) return;
  path.moveTo(from, y);
  path.lineTo(to, y);
}

/** A line one pixel wide is sharp when it lies in the middle of a pixel. */
const snap = (y: number): number => Math.floor(y) + 0.5;

/** What the cut uses is filled, like the stroke of a broad pen. */
function penned(path: Path2D, at: readonly number[], half: readonly number[], x0: number, x1: number, y: number): void {
  const halfAt = (x: number): number => {
    for (let i = 1; i < at.length; i++) {
      const a = at[i - 1] ?? 0;
      const b = at[i] ?? 0;
      if (x <= b) return (half[i - 1] ?? 1) + (((half[i] ?? 1) - (half[i - 1] ?? 1)) * Math.max(0, x - a)) / Math.max(b - a, 1e-6);
    }
    return half[half.length - 1] ?? 1;
  };
  const nib = Math.min(penStroke, (x1 - x0) / 3);
  const from = x0 + nib;
  const to = x1 - 1 - nib;
  const xs = [from, ...at.filter((x) => x > from && x < to), to];
  path.moveTo(from, y - halfAt(from));
  for (const x of xs) path.lineTo(x, y - halfAt(x));
  path.quadraticCurveTo(x1 - 1 - nib / 3, y - halfAt(to), x1 - 1, y);
  path.quadraticCurveTo(x1 - 1 - nib / 3, y + halfAt(to), to, y + halfAt(to));
  for (let i = xs.length - 1; i >= 0; i--) path.lineTo(xs[i] ?? from, y + halfAt(xs[i] ?? from));
  path.quadraticCurveTo(x0 + nib / 3, y + halfAt(from), x0, y);
  path.quadraticCurveTo(x0 + nib / 3, y - halfAt(from), from, y - halfAt(from));
  path.closePath();
}

function crosses(path: Path2D, x0: number, x1: number, y: number, r: number): void {
  const n = Math.max(1, Math.round((x1 - x0) / crossStep));
  for (let i = 0; i < n; i++) {
    const x = x0 + ((i + 0.5) * (x1 - x0)) / n;
    path.moveTo(x - r, y - r);
    path.lineTo(x + r, y + r);
    path.moveTo(x - r, y + r);
    path.lineTo(x + r, y - r);
  }
}

/** One ribbon per setup: a thread for each pass that holds, as far as there is room. */
function drawDensity(p: Picture, row: Row, lay: RowPlan, shots: readonly ShotView[], plain: Batch, used: Batch): void {
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

/** The thread of the cut: from ribbon to ribbon at each cut. */
function drawThread(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan, shots: readonly ShotView[]): void {
  const yOf = (s: ShotView): number | undefined => {
    if (p.plan.zoom === "song") {
      const q = lay.groups.find((x) => p.score.groups[x.index]?.setup.name === s.shot.setup);
      return q && q.y + q.height / 2;
    }
    return lay.places.find((x) => x.strand.pass.name === s.shot.pass)?.y;
  };
  g.strokeStyle = p.inks.thread;
  g.lineWidth = p.plan.zoom === "song" ? 1 : 2;
  g.beginPath();
  const bend = p.plan.zoom === "song" ? 2 : 9;
  for (let i = 1; i < shots.length; i++) {
    const a = shots[i - 1];
    const b = shots[i];
    if (!a || !b || b.span.from <= row.span.from + edgeSeconds) continue;
    const ya = yOf(a);
    const yb = yOf(b);
    if (ya === undefined || yb === undefined) continue;
    const x = lay.scale.px(b.span.from);
    g.moveTo(x - bend, ya);
    g.bezierCurveTo(x + bend * 0.6, ya, x - bend * 0.6, yb, x + bend, yb);
  }
  g.stroke();
}

function drawLabels(g: CanvasRenderingContext2D, p: Picture, lay: RowPlan): void {
  const { rem } = p.plan;
  g.textBaseline = "middle";
  g.textAlign = "right";
  const right = lay.label - 0.7 * rem;
  if (p.plan.zoom === "song") {
    g.textAlign = "left";
    return;
  }
  const roomy = p.plan.ribbon >= 0.9 * rem && p.plan.label > 5 * rem;
  g.font = `${0.74 * rem}px ${p.inks.sans}`;
  const wide = Math.min(3.2 * rem, Math.max(0, ...lay.places.map((q) => g.measureText(q.strand.label).width)));
  for (const q of lay.groups) {
    const group = p.score.groups[q.index];
    if (!group) continue;
    g.fillStyle = p.inks.ink;
    g.font = `italic ${0.86 * rem}px ${p.inks.serif}`;
    const y = roomy ? q.y + p.plan.ribbon / 2 : q.y + Math.min(q.height / 2, 0.5 * rem);
    g.fillText(short(g, group.setup.name, lay.label - (roomy ? 0.9 * rem + wide : 0.9 * rem)), roomy ? right - wide - 0.5 * rem : right, y);
  }
  if (roomy) {
    g.fillStyle = p.inks.soft;
    g.font = `${0.74 * rem}px ${p.inks.sans}`;
    for (const place of lay.places) g.fillText(short(g, place.strand.label, 3.2 * rem), right, place.y);
  }
  g.textAlign = "left";
}

function short(g: CanvasRenderingContext2D, text: string, room: number): string {
  if (g.measureText(text).width <= room) return text;
  let t = text;
  while (t.length > 1 && g.measureText(`${t}…`).width > room) t = t.slice(0, -1);
  return `${t}…`;
}

/** Why it is refused or doubtful, in words on the ribbon, where there is room. */
function drawReasons(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan): void {
  g.font = `italic ${0.78 * p.plan.rem}px ${p.inks.serif}`;
  g.textBaseline = "middle";
  for (const place of lay.places) {
    for (const ribbon of place.strand.pass.ribbons ?? []) {
      eachRun(ribbon, row, (state, cells, first) => {
        if (state === "holds") return;
        const why = cells[0]?.why ?? "";
        const s = spanOf(p.score, ribbon, first, cells.length, row);
        const x0 = lay.scale.px(s.from) + 5;
        const room = lay.scale.px(s.to) - x0 - 5;
        const wide = g.measureText(why).width;
        if (why === "" || room < wide) return;
        g.fillStyle = p.inks.paper;
        g.fillRect(x0 - 3, place.y - 0.45 * p.plan.rem, wide + 6, 0.9 * p.plan.rem);
        g.fillStyle = p.inks.ink;
        g.fillText(why, x0, place.y + 0.5);
      });
    }
  }
}

/** A bracket over the stretch, with what must be seen. */
function drawMustSee(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan): void {
  for (const m of p.score.film.song.must_see ?? []) {
    const s = common(m.span, row.span);
    if (!s) continue;
    const x0 = lay.scale.px(s.from) + 1;
    const x1 = lay.scale.px(s.to) - 1;
    const y = p.plan.zoom === "song" ? lay.cut.y - 1.5 : lay.ticks.height - 3;
    g.strokeStyle = p.inks.madder;
    g.lineWidth = 1.4;
    g.beginPath();
    g.moveTo(x0, y + 4);
    g.lineTo(x0, y);
    g.lineTo(x1, y);
    g.lineTo(x1, y + 4);
    g.stroke();
    if (p.plan.zoom === "song") continue;
    g.font = `italic ${0.74 * p.plan.rem}px ${p.inks.serif}`;
    g.textBaseline = "alphabetic";
    const words = m.text ? `${m.shows}: ${m.text}` : m.shows;
    const wide = g.measureText(words).width;
    g.fillStyle = p.inks.paper;
    g.fillRect(x0, 0, wide + 6, y - 2);
    g.fillStyle = p.inks.madder;
    g.fillText(words, x0 + 2, y - 4);
  }
}

/** The marks of decisions, in the manner of proof marks and notes on a score. */
function drawPin(g: CanvasRenderingContext2D, p: Picture, row: Row, lay: RowPlan, pin: Pin): void {
  const touching = pin.span.to > pin.span.from ? common(pin.span, row.span) : pin.span.from >= row.span.from && pin.span.from < row.span.to ? pin.span : undefined;
  if (!touching) return;
  const x0 = lay.scale.px(touching.from);
  const x1 = lay.scale.px(touching.to);
  const begins = pin.span.from >= row.span.from;
  g.strokeStyle = p.inks.madder;
  g.fillStyle = p.inks.madder;
  g.lineWidth = 1.5;
  switch (pin.kind) {
    case "cut": // two slanted strokes, a break
      g.beginPath();
      for (const dx of [-1.5, 3.5]) {
        g.moveTo(x0 + dx - 3, lay.cut.y + lay.cut.height + 5);
        g.lineTo(x0 + dx + 3, lay.cut.y - 7);
      }
      g.stroke();
      return;
    case "no-cut": { // a tie over the stretch
      const a = x1 - x0 < 8 ? x0 - 14 : x0;
      const b = x1 - x0 < 8 ? x0 + 14 : x1;
      const y = lay.cut.y + lay.cut.height + 2;
      g.beginPath();
      g.moveTo(a + 2, y);
      g.quadraticCurveTo((a + b) / 2, y + 9, b - 2, y);
      g.quadraticCurveTo((a + b) / 2, y + 6, a + 2, y);
      g.fill();
      return;
    }
    case "show-pass":
    case "overrule":
    case "not-pass": {
      const place = lay.places.find((q) => q.strand.pass.name === pin.pass);
      if (place) markStrand(g, p, pin, x0, x1, place.y, place.half, begins);
      return;
    }
    case "show-setup":
    case "not-setup": {
      const q = lay.groups.find((s) => p.score.groups[s.index]?.setup.name === pin.setup);
      if (!q) return;
      if (pin.kind === "not-setup") {
        markStrand(g, p, { ...pin, kind: "not-pass" }, x0, x1, q.y + q.height / 2, q.height / 2, begins);
        return;
      }
      g.strokeRect(x0 + 1, q.y - 1, x1 - x0 - 2, q.height + 2);
      if (pin.strong) g.strokeRect(x0 + 4, q.y + 2, x1 - x0 - 8, q.height - 4);
      return;
    }
    default: {
      const never: never = pin.kind;
      return never;
    }
  }
}

function markStrand(g: CanvasRenderingContext2D, p: Picture, pin: Pin, x0: number, x1: number, y: number, half: number, begins: boolean): void {
  const h = half + 2;
  switch (pin.kind) {
    case "show-pass": // boxed, like a word that stays; a promise is boxed twice
      g.strokeRect(x0 + 1, y - h, x1 - x0 - 2, 2 * h);
      if (pin.strong) g.strokeRect(x0 + 4, y - h + 2.5, x1 - x0 - 8, 2 * h - 5);
      break;
    case "not-pass": // struck out
      g.beginPath();
      g.moveTo(x0 + 1, y + 1.2);
      g.lineTo(x1 - 1, y - 1.2);
      g.moveTo(x0 + 1, y - 1.6);
      g.lineTo(x1 - 1, y + 1.6);
      g.stroke();
      break;
    case "overrule": // dots beneath and the proof reader's word: let it stand
      for (let x = x0 + 3; x < x1; x += 6) {
        g.beginPath();
        g.arc(x, y + h, 1.1, 0, 2 * Math.PI);
        g.fill();
      }
      if (begins && half > 4) {
        g.font = `italic ${0.78 * p.plan.rem}px ${p.inks.serif}`;
        g.textBaseline = "middle";
        g.textAlign = "right";
        g.fillText("stet", x1 - 3, y - h + 1);
        g.textAlign = "left";
      }
      break;
    default:
      break;
  }
}
