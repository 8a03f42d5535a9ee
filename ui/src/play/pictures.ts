import { media } from "../api/client";
import { type SongTime, song } from "../base/time";
import { type View, fileTime } from "./programme";

/** The clock that the pictures follow. */
export interface Clock {
  readonly playing: boolean;
  now(): SongTime;
}

/** What is to be seen from song time `at` on, in `wait` seconds. */
export interface Next {
  readonly view: View;
  readonly at: SongTime;
  readonly wait: number;
}

// A hidden picture starts this long before its turn, so that it runs when shown.
const runUp = 0.4;
// From this error on it is quicker to jump than to run faster.
const jumpFrom = 0.3;
// The rate is bent at most so far to catch up; more where nobody sees it.
const mostBend = 0.25;
const mostHiddenBend = 0.6;
// A hidden picture is shown once it is this near; nearer than half a frame of 30 a second.
const nearEnough = 0.015;
// … or, however near it is, after it has tried for so long, ms: a cut may not come late.
const patience = 900;
const patienceAtCut = 100;

interface Screen {
  readonly video: HTMLVideoElement;
  view: View | undefined;
  ready: boolean; // seeked to where it is to begin
  error: number; // seconds that the picture is ahead of the record
  measured: boolean;
  jumped: number; // when it was last made to jump, ms
  lean: number; // the error that stays, summed up, seconds: a player that is always a little late
  began: number; // when it began to get ready, ms
  patience: number; // how long it may try, ms
  shift: number; // seconds of song between the clock and what it gets ready for: not 0 before a loop begins anew
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
  #seekTakes = 0.12; // seconds, as measured
  /** Seconds by which the picture seen is ahead of the record; undefined while unknown. */
  error: number | undefined;

  constructor(a: HTMLVideoElement, b: HTMLVideoElement, clock: Clock, onShown: (v: View) => void) {
    const screen = (video: HTMLVideoElement): Screen => ({ video, view: undefined, ready: false, error: 0, measured: false, jumped: 0, lean: 0, began: 0, patience, shift: 0 });
    this.#screens = [screen(a), screen(b)];
    this.#clock = clock;
    this.#onShown = onShown;
    for (const s of this.#screens) {
      s.video.muted = true;
      s.video.playsInline = true;
      s.video.preload = "auto";
      s.video.addEventListener("seeked", () => {
        s.ready = true;
        const took = Math.min(0.6, (performance.now() - s.jumped) / 1000);
        this.#seekTakes += 0.4 * (took - this.#seekTakes);
      });
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

  /** Follows the clock: `view` is wanted now, then `next`. */
  follow(view: View, next: Next | undefined): void {
    const now = this.#clock.now();
    let seen = this.#seen;
    const other = this.#other;
    if (seen.view?.key !== view.key) {
      this.error = undefined;
      if (other.view?.key === view.key && other.shift !== 0) {
        other.shift = 0;
        other.began = performance.now();
      }
      if (other.view?.key !== view.key) this.#load(other, view, fileTime(view, song(now + this.#seekTakes + 0.06)));
      if (this.#runs(other, fileTime(view, now))) {
        this.#swap();
        seen = this.#seen;
      }
    }
    if (seen.view?.key === view.key) {
      seen.view = view;
      this.#keepUp(seen, fileTime(view, now));
      if (next) this.getReady(next);
    } else if (seen.view && !seen.video.paused) {
      // the old one goes on until the new one runs
      if (seen.video.ended) seen.video.pause();
    }
  }

  /** Gets the hidden picture ready for its turn, when that is near. */
  getReady(next: Next): void {
    if (next.wait < 4) this.#prepare(next);
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

  #prepare(next: Next): void {
    const other = this.#other;
    const begin = fileTime(next.view, next.at) - runUp * next.view.speed;
    if (other.view?.key !== next.view.key) {
      other.video.pause();
      this.#load(other, next.view, begin);
    }
    const now = this.#clock.now();
    other.shift = next.at - next.wait - now;
    const wanted = fileTime(next.view, song(now + other.shift));
    if (!other.ready || next.wait > runUp) return;
    if (!other.video.paused) this.#steer(other, wanted, mostHiddenBend);
    else if (other.video.currentTime <= wanted + 0.05) {
      other.began = performance.now() + 1000 * next.wait;
      other.patience = patienceAtCut;
      void other.video.play().catch(() => undefined);
    }
  }

  /** Gets a hidden screen going; true once its picture is where it has to be. */
  #runs(s: Screen, wanted: number): boolean {
    if (!s.ready) return false;
    const { video } = s;
    if (video.paused) {
      const off = video.currentTime - wanted;
      if (off < -jumpFrom || off > 1) this.#seek(s, wanted + this.#seekTakes + 0.06);
      else if (off <= 0.03) void video.play().catch(() => undefined);
      return false;
    }
    if (video.readyState < 2) return false;
    const off = this.#steer(s, wanted, mostHiddenBend);
    const tried = performance.now() - s.began;
    return s.measured ? Math.abs(off) < nearEnough || tried > s.patience : tried > s.patience / 2;
  }

  #keepUp(s: Screen, wanted: number): void {
    const { video } = s;
    if (!s.ready) return;
    if (video.paused && !video.ended) void video.play().catch(() => undefined);
    const off = this.#steer(s, wanted, mostBend);
    if (Math.abs(off) > jumpFrom && performance.now() - s.jumped > 700 && wanted >= 0 && (!Number.isFinite(video.duration) || wanted < video.duration)) {
      this.#seek(s, wanted + this.#seekTakes);
    }
    this.error = s.measured ? s.error : undefined;
  }

  /** Bends the rate so that the picture comes to where it has to be; returns how far off it is. */
  #steer(s: Screen, wanted: number, most: number): number {
    const off = s.measured ? s.error : s.video.currentTime - wanted;
    const rate = s.view?.speed ?? 1;
    const bend = Math.abs(off) < 0.003 ? 0 : Math.max(-most, Math.min(most, -off * 3 - s.lean));
    const target = rate * (1 + bend);
    if (Math.abs(s.video.playbackRate - target) > 0.004) s.video.playbackRate = target;
    return off;
  }

  #load(s: Screen, view: View, at: number): void {
    const url = media.clip(view.clip);
    s.ready = false;
    s.measured = false;
    s.view = view;
    s.shift = 0;
    s.began = performance.now();
    s.patience = patience;
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
    s.jumped = performance.now();
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
        const wanted = fileTime(s.view, song(this.#clock.now() + s.shift + later));
        // A frame stands for the time from its own to the next; its middle is compared.
        const error = frame.mediaTime + s.view.frame / 2 - wanted;
        s.error = s.measured ? s.error + 0.5 * (error - s.error) : error;
        s.measured = true;
        if (Math.abs(error) < 0.1) s.lean = Math.max(-0.05, Math.min(0.05, s.lean + 0.06 * error));
      }
      s.video.requestVideoFrameCallback(seen);
    };
    if ("requestVideoFrameCallback" in s.video) s.video.requestVideoFrameCallback(seen);
  }
}
