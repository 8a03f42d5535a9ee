import type { Look } from "../api/types";
import { type Finish, unfinished } from "./painter";
import { isOn } from "./words";

// On a display with a power of 2.4, s stops less light in the corners are a factor
// of 2^(-s/2.4) on what is encoded, which falls as the fourth power of a cosine.
const edgeAngle = (stops: number): number => Math.acos(2 ** (-stops / (4 * 2.4)));

/** "2.39:1" as width over height; 0 when it is none. */
export function ratioOf(shape: string | undefined): number {
  const [w, h] = (shape ?? "").split(":").map(Number);
  return w && h ? w / h : 0;
}

// Bars are even, as films in 4:2:0 want them.
const bar = (whole: number, keep: number): number => 2 * Math.round(Math.max(0, whole - keep) / 4);

/** The bars of a letterbox on a film of some pixels, in shares. */
export function barsOf(letterbox: string | undefined, width: number, height: number): Finish["bars"] {
  const ratio = ratioOf(letterbox);
  if (ratio === 0) return unfinished.bars;
  return { left: bar(width, height * ratio) / width, top: bar(height, width / ratio) / height };
}

/** What a look does by the place in the picture. */
export function finishOf(l: Look, film: { readonly width: number; readonly height: number }, more: Partial<Finish> = {}): Finish {
  const stops = isOn(l, "edge") ? (l.edge?.stops ?? 0) : 0;
  return {
    ...unfinished,
    ratio: film.width / film.height,
    edge: { angle: stops > 0 ? edgeAngle(stops) : 0, x: l.edge?.x ?? 0, y: l.edge?.y ?? 0 },
    bars: isOn(l, "letterbox") ? barsOf(l.letterbox, film.width, film.height) : unfinished.bars,
    ...more,
  };
}

/** Whether a finish changes anything by itself. */
export const finishes = (f: Finish): boolean => f.edge.angle > 0 || f.bars.left > 0 || f.bars.top > 0;
