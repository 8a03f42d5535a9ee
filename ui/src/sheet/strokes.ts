// The strokes that ribbons are drawn with. All lengths are CSS pixels.

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

/** What is gathered to be painted at once. */
export interface Batch {
  readonly fill: Path2D;
  readonly threads: Path2D; // of what holds
  readonly broken: Path2D; // threads of what is in doubt
  readonly line: Path2D;
  readonly cross: Path2D;
}

export const batch = (): Batch => ({ fill: new Path2D(), threads: new Path2D(), broken: new Path2D(), line: new Path2D(), cross: new Path2D() });

export function paint(g: CanvasRenderingContext2D, b: Batch, full: string, thin: string, weight: number): void {
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

/** Threads side by side, each for as long as the hold is worth it: a ribbon frays to its end. */
export function weave(path: Path2D, at: readonly number[], hold: readonly number[], x0: number, x1: number, y: number, half: number): void {
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

export function line(path: Path2D, a: number, b: number, x0: number, x1: number, y: number): void {
  const from = Math.max(a, x0);
  const to = Math.min(b, x1);
  if (to <= from) return;
  path.moveTo(from, y);
  path.lineTo(to, y);
}

/** A line one pixel wide is sharp when it lies in the middle of a pixel. */
export const snap = (y: number): number => Math.floor(y) + 0.5;

/** What the cut uses is filled, like the stroke of a broad pen. */
export function penned(path: Path2D, at: readonly number[], half: readonly number[], x0: number, x1: number, y: number): void {
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

export function crosses(path: Path2D, x0: number, x1: number, y: number, r: number): void {
  const n = Math.max(1, Math.round((x1 - x0) / crossStep));
  for (let i = 0; i < n; i++) {
    const x = x0 + ((i + 0.5) * (x1 - x0)) / n;
    path.moveTo(x - r, y - r);
    path.lineTo(x + r, y + r);
    path.moveTo(x - r, y + r);
    path.lineTo(x + r, y - r);
  }
}
