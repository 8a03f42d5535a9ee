// The clocks of the program. They are plain numbers with a brand, so that one is
// never taken for another.

declare const clock: unique symbol;

/** Seconds since the first sample of the record. */
export type SongTime = number & { readonly [clock]: "song" };
/** Seconds on a pass's own clock. */
export type PassTime = number & { readonly [clock]: "pass" };
/** Whole film frames. */
export type Frames = number & { readonly [clock]: "frames" };

export const song = (seconds: number): SongTime => seconds as SongTime;
export const pass = (seconds: number): PassTime => seconds as PassTime;

/** A half-open stretch of song. */
export interface Span {
  readonly from: SongTime;
  readonly to: SongTime;
}

export const span = (from: number, to: number): Span => ({ from: song(from), to: song(to) });
export const lengthOf = (s: Span): number => s.to - s.from;
export const holds = (s: Span, t: SongTime): boolean => t >= s.from && t < s.to;
export const overlap = (a: Span, b: Span): number => Math.max(0, Math.min(a.to, b.to) - Math.max(a.from, b.from));

/** Seconds that one frame lasts, from a rate such as "30000/1001". */
export function frameSeconds(rate: string): number {
  const [num, den] = rate.split("/").map(Number);
  return num !== undefined && num > 0 ? (den ?? 1) / num : 1 / 25;
}

/** Seconds said as a person says them: "4:12", "0:07.3". */
export function clockText(seconds: number, tenths = false): string {
  const t = Math.max(0, tenths ? Math.floor(seconds * 10) / 10 : Math.floor(seconds));
  const minutes = Math.floor(t / 60);
  const rest = t - 60 * minutes;
  return `${minutes}:${(tenths ? rest.toFixed(1) : String(rest)).padStart(tenths ? 4 : 2, "0")}`;
}

/** A length of waiting: "about 2 min", "12 s". */
export function waitText(seconds: number): string {
  if (seconds < 0) return "";
  if (seconds < 90) return `${Math.max(1, Math.round(seconds))} s`;
  return `about ${Math.round(seconds / 60)} min`;
}
