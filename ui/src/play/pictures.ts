import { media } from "../api/client";
import { type SongTime, song } from "../base/time";
import { type View, fileTime } from "./programme";

/** The clock that the pictures follow. */
export interface Clock {
  readonly playing: boolean;
  now(): SongTime;
}

// A hidden picture starts this long before its turn, so that it runs when shown.
const runUp = 0.2;
// From this error on it is quicker to jump than to run faster.
const jumpFrom = 0.3;
// The rate is bent at most so far to catch up.
const mostBend = 0.12;

interface Screen {
  readonly video: HTMLVideoElement;
  view: View | undefined;
  ready: boolean; // seeked to where it is to begin
  error: number; // seconds that the picture is ahead of the record
  measured: boolean;
  jumped: number; // when it was last made to jump, ms
}

/**
 * Two pictures in one place: one is seen, the other gets ready. They are swapped
 * when the hidden one runs, so that nothing is ever black or late.
 */
export class Pictures {
  #screens: readonly [Screen, Screen];
  #shown = 0;
  #clock: Clock;
  #onShown: (v: View) => void;
  /** Seconds by which the picture seen is ahead of the record; undefined while unknown. */
  error: number | undefined;

  constructor(a: HTMLVideoElement, b: HTMLVideoElement, clock: Clock, onShown: (v: View) => void) {
    const screen = (video: HTMLVideoElement): Screen => ({ video, view: undefined, ready: false, error: 0, measured: false, jumped: 0 });
    this.#screens = [screen(a), screen(b)];
    this.#clock = clock;
    this.#onShown = onShown;
    for (const s of this.#screens) {
      s.video.muted = true;
      s.video.playsInline = true;
      s.video.preload = "auto";
      s.video.addEventListener("seeked", () => (s.ready = true));
      this.#measure(s);
    }
    this.#mark();
  }

  /** Shows one still picture of a view; the clock stands. */
  still(view: View, t: SongTime): void {
    for (const s of this.#screens) s.video.pause();
    const seen = this.#seen;
    if (seen.view && seen.view.clip === view.clip) {
      seen.view = view;
      this.#seek(seen, fileTime(view, t));
      this.#onShown(view);
      return;
    }
    const other = this.#other;
    this.#load(other, view, fileTime(view, t));
    const show = (): void => {
      if (other.view === view && !this.#clock.playing) this.#swap();
    };
    other.video.addEventListener("seeked", show, { once: true });
  }

  /** Follows the clock: `view` is wanted now, `next` from song time `at` on, in `wait` seconds. */
  follow(view: View, next: { readonly view: View; readonly at: SongTime; readonly wait: number } | undefined): void {
    const now = this.#clock.now();
    let seen = this.#seen;
    const other = this.#other;
    if (seen.view?.key !== view.key) {
      if (other.view?.key !== view.key) this.#load(other, view, fileTime(view, song(now + runUp)));
      if (this.#runs(other, fileTime(view, now))) {
        this.#swap();
        seen = this.#seen;
      }
    }
    if (seen.view?.key === view.key) {
      seen.view = view;
      this.#keepUp(seen, fileTime(view, now));
      if (next && next.wait < 4) this.#prepare(next);
    } else if (seen.view && !seen.video.paused) {
      // the old one goes on until the new one runs
      if (seen.video.ended) seen.video.pause();
    }
  }

  pause(): void {
    for (const s of this.#screens) s.video.pause();
    this.error = undefined;
  }

  get #seen(): Screen {
    return this.#screens[this.#shown === 0 ? 0 : 1];
  }

  get #other(): Screen {
    return this.#screens[this.#shown === 0 ? 1 : 0];
  }

  #prepare(next: { readonly view: View; readonly at: SongTime; readonly wait: number }): void {
    const other = this.#other;
    const begin = fileTime(next.view, next.at) - runUp * next.view.speed;
    if (other.view?.key !== next.view.key) {
      other.video.pause();
      this.#load(other, next.view, begin);
    }
    if (other.ready && other.video.paused && next.wait <= runUp) void other.video.play().catch(() => undefined);
  }

  /** Starts a screen at its time; true once its picture is where it has to be. */
  #runs(s: Screen, wanted: number): boolean {
    if (!s.ready) return false;
    const off = s.video.currentTime - wanted;
    if (s.video.paused) {
      if (off <= 0.02 || off > 1) {
        if (off < -jumpFrom || off > 1) this.#seek(s, wanted + runUp);
        else void s.video.play().catch(() => undefined);
      }
      return false;
    }
    return s.video.readyState >= 2 && Math.abs(off) < jumpFrom;
  }

  #keepUp(s: Screen, wanted: number): void {
    const { video } = s;
    if (!s.ready) return;
    if (video.paused && !video.ended) void video.play().catch(() => undefined);
    const off = s.measured ? s.error : video.currentTime - wanted;
    const rate = s.view?.speed ?? 1;
    if (Math.abs(off) > jumpFrom) {
      if (performance.now() - s.jumped > 700 && wanted >= 0 && (!Number.isFinite(video.duration) || wanted < video.duration)) {
        s.jumped = performance.now();
        this.#seek(s, wanted + 0.08);
      }
    } else {
      const bend = Math.abs(off) < 0.004 ? 0 : Math.max(-mostBend, Math.min(mostBend, -off * 1.6));
      const target = rate * (1 + bend);
      if (Math.abs(video.playbackRate - target) > 0.003) video.playbackRate = target;
    }
    this.error = s.measured ? s.error : undefined;
  }

  #load(s: Screen, view: View, at: number): void {
    const url = media.clip(view.clip);
    s.ready = false;
    s.measured = false;
    s.view = view;
    s.video.playbackRate = view.speed;
    if (s.video.dataset["clip"] !== url) {
      s.video.dataset["clip"] = url;
      s.video.src = url;
    } else {
      s.video.pause();
    }
    this.#seek(s, at);
  }

  #seek(s: Screen, at: number): void {
    s.ready = false;
    s.measured = false;
    s.video.currentTime = Math.max(0, at);
  }

  #swap(): void {
    const old = this.#seen;
    this.#shown = this.#shown === 0 ? 1 : 0;
    this.#mark();
    old.video.pause();
    if (this.#seen.view) this.#onShown(this.#seen.view);
  }

  #mark(): void {
    this.#screens.forEach((s, i) => s.video.classList.toggle("tw-screen-seen", i === this.#shown));
  }

  /** Measures at every frame that is put on the screen how far it is from the record. */
  #measure(s: Screen): void {
    const seen = (_: number, frame: VideoFrameCallbackMetadata): void => {
      if (s.view && this.#clock.playing && !s.video.paused) {
        const later = (frame.expectedDisplayTime - performance.now()) / 1000;
        const wanted = fileTime(s.view, song(this.#clock.now() + Math.max(0, later)));
        // A frame stands for the time from its own to the next; its middle is compared.
        const error = frame.mediaTime + s.view.frame / 2 - wanted;
        s.error = s.measured ? s.error + 0.35 * (error - s.error) : error;
        s.measured = true;
      }
      s.video.requestVideoFrameCallback(seen);
    };
    if ("requestVideoFrameCallback" in s.video) s.video.requestVideoFrameCallback(seen);
  }
}
