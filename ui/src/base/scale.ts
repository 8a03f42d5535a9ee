import { type Span, type SongTime, song } from "./time";

declare const space: unique symbol;

/** CSS pixels from the left edge of a row's strip. */
export type CssPx = number & { readonly [space]: "css" };
/** Device pixels from the left edge of a row's strip. */
export type DevicePx = number & { readonly [space]: "device" };

/**
 * The only place where time meets pixels. Three spaces: song time, CSS pixels and
 * device pixels. A scale never changes; another window or zoom has another one.
 */
export class TimeScale {
  constructor(
    readonly from: SongTime,
    readonly left: number, // CSS pixels at which `from` lies
    readonly perSecond: number, // CSS pixels
    readonly density: number, // device pixels a CSS pixel
  ) {
    if (!(perSecond > 0) || !(density > 0)) throw new RangeError("a scale needs a length and a density");
  }

  /** The scale on which a span begins at `left` and takes `width` CSS pixels. */
  static over(s: Span, left: number, width: number, density: number): TimeScale {
    return new TimeScale(s.from, left, width / Math.max(s.to - s.from, 1e-6), density);
  }

  px(t: SongTime): CssPx {
    return (this.left + (t - this.from) * this.perSecond) as CssPx;
  }

  time(px: number): SongTime {
    return song(this.from + (px - this.left) / this.perSecond);
  }

  /** Snapped: the last step before drawing. */
  device(t: SongTime): DevicePx {
    return Math.round(this.px(t) * this.density) as DevicePx;
  }
}
