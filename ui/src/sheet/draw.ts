import { overlap, song } from "../base/time";
import type { Picture } from "./inks";
import type { RowPlan } from "./layout";
import { drawMustSee, drawPin, drawReasons } from "./marks";
import { drawDensity, drawStrand } from "./ribbons";
import { type Row, type ShotView, edgeSeconds } from "./score";
import { batch, paint } from "./strokes";

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
