import { type SongTime, song } from "./time";

/** Piecewise straight map from song to pass time; beyond its ends it goes on at slope 1. */
export function passAt(knots: readonly (readonly [number, number])[], t: SongTime): number | undefined {
  const first = knots[0];
  const last = knots[knots.length - 1];
  if (!first || !last) return undefined;
  if (t <= first[0]) return first[1] + t - first[0];
  if (t >= last[0]) return last[1] + t - last[0];
  let low = 0;
  let high = knots.length - 1;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if ((knots[mid]?.[0] ?? 0) <= t) low = mid;
    else high = mid;
  }
  const a = knots[low] ?? first;
  const b = knots[high] ?? last;
  return a[1] + ((t - a[0]) / (b[0] - a[0])) * (b[1] - a[1]);
}

/** The last index whose time is not after t, -1 before the first. */
export function indexAt(times: readonly number[], t: number): number {
  let low = -1;
  let high = times.length;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if ((times[mid] ?? Infinity) <= t) low = mid;
    else high = mid;
  }
  return low;
}

export const nearest = (times: readonly number[], t: number): SongTime => {
  const i = indexAt(times, t);
  const a = times[i];
  const b = times[i + 1];
  if (a === undefined) return song(b ?? t);
  if (b === undefined) return song(a);
  return song(t - a <= b - t ? a : b);
};
