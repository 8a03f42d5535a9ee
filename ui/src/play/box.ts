import type { Crop, Order, Pass } from "../api/types";
import { indexAt } from "../base/laid";
import type { SongTime } from "../base/time";
import type { View } from "./programme";

/** Where the shape of a film lies within the picture of a pass, in its pixels; a shot that is cut to it has its own place. */
export function boxOf(pass: Pass, order: Order, view: View | undefined, now: SongTime): Box | undefined {
  const w = pass.width || 16;
  const h = pass.height || 9;
  const crop = view?.shot?.shot.crop;
  if (crop && view.shot) return cropBox(crop, (now - view.shot.span.from) / view.frame, w, h);
  return wholeBox(order.width / Math.max(1, order.height), w, h);
}

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

/** Where a crop is at a frame of its shot: straight between its keys, still before and after. */
function cropBox(c: Crop, frame: number, w: number, h: number): Box | undefined {
  const keys = c.keys ?? [];
  const i = indexAt(
    keys.map((k) => k.frame),
    frame,
  );
  const a = keys[Math.max(0, i)];
  const b = keys[i + 1] ?? a;
  if (!a || !b || c.picture_width <= 0) return undefined;
  const u = i >= 0 && b.frame > a.frame ? (frame - a.frame) / (b.frame - a.frame) : 0;
  const sx = w / c.picture_width;
  const sy = h / c.picture_height;
  return { x: (a.x + u * (b.x - a.x)) * sx, y: (a.y + u * (b.y - a.y)) * sy, w: c.width * sx, h: c.height * sy };
}

export function wholeBox(ratio: number, w: number, h: number): Box {
  const width = Math.min(w, h * ratio);
  const height = Math.min(h, w / ratio);
  return { x: (w - width) / 2, y: (h - height) / 2, w: width, h: height };
}
