import type { Knot } from "../api/types";

/**
 * A curve through knots that rises and falls only where they do, to be drawn: the
 * tangents are the means of the slopes beside each knot, shortened to three times
 * what stays monotone (docs/look.md). What is seen of it comes from the table.
 */
export function curveThrough(knots: readonly Knot[]): (x: number) => number {
  const last = knots.length - 1;
  const knot = (i: number): Knot => knots[i] ?? { in: 0, out: 0 };
  const slope = (i: number): number => (knot(i + 1).out - knot(i).out) / (knot(i + 1).in - knot(i).in);
  const m = knots.map((_, i) => (i === 0 ? slope(0) : i === last ? slope(last - 1) : slope(i - 1) * slope(i) > 0 ? (slope(i - 1) + slope(i)) / 2 : 0));
  for (let i = 0; i < last; i++) {
    const s = slope(i);
    const length = s === 0 ? Infinity : Math.hypot((m[i] ?? 0) / s, (m[i + 1] ?? 0) / s);
    if (length <= 3) continue;
    m[i] = ((m[i] ?? 0) * 3) / length;
    m[i + 1] = ((m[i + 1] ?? 0) * 3) / length;
  }
  return (x) => {
    if (x <= knot(0).in) return knot(0).out + (m[0] ?? 0) * (x - knot(0).in);
    if (x >= knot(last).in) return knot(last).out + (m[last] ?? 0) * (x - knot(last).in);
    const i = knots.findIndex((_, k) => x < knot(k + 1).in);
    const [a, b] = [knot(i), knot(i + 1)];
    const h = b.in - a.in;
    const t = (x - a.in) / h;
    const u = 1 - t;
    return u * u * (1 + 2 * t) * a.out + t * t * (3 - 2 * t) * b.out + h * t * u * (u * (m[i] ?? 0) - t * (m[i + 1] ?? 0));
  };
}
