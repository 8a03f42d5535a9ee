import { type Finish, Painter, type Table } from "./painter";

let painter: Painter | undefined;
let canvas: HTMLCanvasElement | undefined;

/** Whether this browser can paint a look at all. */
export function canPaint(): boolean {
  canvas ??= document.createElement("canvas");
  painter ??= Painter.on(canvas);
  return painter !== undefined;
}

/** Paints a still with a look on a canvas. All stills share one painter: browsers bear only a few. */
export function press(to: HTMLCanvasElement, still: HTMLImageElement, table: Table | undefined, finish: Finish): Uint8Array | undefined {
  if (!still.complete || still.naturalWidth === 0) return undefined;
  if (!canPaint() || !canvas) return undefined;
  const { naturalWidth: w, naturalHeight: h } = still;
  for (const c of [canvas, to]) {
    if (c.width !== w) c.width = w;
    if (c.height !== h) c.height = h;
  }
  if (!painter?.paint(still, table, finish)) return undefined;
  to.getContext("2d")?.drawImage(canvas, 0, 0);
  return painter.read();
}
