/**
 * The one frame loop: whatever must be painted asks here, and is painted once with
 * everything else. `each` runs in every frame for as long as it returns true.
 */
class FrameLoop {
  #once = new Set<() => void>();
  #each = new Set<(now: number) => boolean>();
  #asked = false;

  once(paint: () => void): void {
    this.#once.add(paint);
    this.#ask();
  }

  each(step: (now: number) => boolean): void {
    this.#each.add(step);
    this.#ask();
  }

  forget(paint: () => void): void {
    this.#once.delete(paint);
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
      if (this.#each.size > 0 || this.#once.size > 0) this.#ask();
    });
  }
}

export const frames = new FrameLoop();
