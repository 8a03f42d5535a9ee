import { type Finish, Painter, type Table } from "./painter";

let painter: Painter | undefined;
let canvas: HTMLCanvasElement | undefined;

/** Paints a still with a look on a canvas. All stills share one painter: browsers bear only a few. */
export function press(to: HTMLCanvasElement, still: HTMLImageElement, table: Table | undefined, finish: Finish): Uint8Array | undefined {
  if (!still.complete || still.naturalWidth === 0) return undefined;
  canvas ??= document.createElement("canvas");
  painter ??= Painter.on(canvas);
  const { naturalWidth: w, naturalHeight: h } = still;
  for (const c of [canvas, to]) {
    if (c.width !== w) c.width = w;
    if (c.height !== h) c.height = h;
  }
  if (!painter?.paint(still, table, finish)) return undefined;
  to.getContext("2d")?.drawImage(canvas, 0, 0);
  return painter.read();
}
