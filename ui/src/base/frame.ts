// What may be spread over frames takes at most so long of each, ms: half of a frame at 60 a second.
const shareMS = 8;

/**
 * The one frame loop: whatever must be painted asks here, and is painted once with
 * everything else. `each` runs in every frame for as long as it returns true; what
 * is asked for with `spread` may wait a frame or more, so that no frame is late.
 */
class FrameLoop {
  #once = new Set<() => void>();
  #each = new Set<(now: number) => boolean>();
  #spread = new Set<() => void>();
  #asked = false;

  once(paint: () => void): void {
    this.#once.add(paint);
    this.#ask();
  }

  each(step: (now: number) => boolean): void {
    this.#each.add(step);
    this.#ask();
  }

  spread(paint: () => void): void {
    this.#spread.add(paint);
    this.#ask();
  }

  forget(paint: () => void): void {
    this.#once.delete(paint);
    this.#spread.delete(paint);
  }

  #ask(): void {
    if (this.#asked) return;
    this.#asked = true;
    requestAnimationFrame((now) => {
      this.#asked = false;
      for (const step of this.#each) if (!step(now)) this.#each.delete(step);
      const paints = this.#once;
      this.#once = new Set();
      for (const paint of paints) paint();
      const began = performance.now();
      for (const paint of this.#spread) {
        this.#spread.delete(paint);
        paint();
        if (performance.now() - began > shareMS) break;
      }
      if (this.#each.size + this.#once.size + this.#spread.size > 0) this.#ask();
    });
  }
}

export const frames = new FrameLoop();
