import { effect, signal, untracked } from "@preact/signals";
import { api } from "../api/client";
import type { FilmPin, Other, Pin, PinKind, Why } from "../api/types";
import { overlap } from "../base/time";
import type { Place } from "./place";
import type { Store } from "./store";

/** Deciding: pins, why and why not, other ways. */
export class Judge {
  /** The answer to why, until the place is another. */
  readonly why = signal<(Why & { readonly pass: string }) | undefined>(undefined);
  /** Other ways to show the target; undefined while not asked for. */
  readonly others = signal<readonly Other[] | undefined>(undefined);
  /** Which of them is tried; -1 is as it is. */
  readonly other = signal(-1);

  #asked: AbortController | undefined;

  constructor(
    private readonly store: Store,
    private readonly place: Place,
  ) {
    effect(() => {
      void place.here.value;
      untracked(() => (this.why.value = undefined));
    });
    effect(() => {
      void place.target.value;
      untracked(() => this.forgetOthers());
    });
  }

  /** The way that is tried instead of the cut. */
  get tried(): Other | undefined {
    return this.others.value?.[this.other.value];
  }

  async pin(kind: PinKind, more: Partial<FilmPin> = {}): Promise<void> {
    const target = this.place.target.value;
    const { at } = this.place.here.value;
    const about = this.#about(kind);
    if (!target || !about) return;
    const point = kind === "cut" || (kind === "no-cut" && this.place.reach.value === "beat");
    const span = point ? { from: at, to: at } : target.span;
    const said = point ? this.place.address() : target.said;
    await this.store.decide({ do: "pin", pin: { id: 0, kind, span, said, ...about, ...more } });
  }

  /** The pins that touch the target. */
  pins(): readonly Pin[] {
    const s = this.place.target.value?.span;
    if (!s) return [];
    const touches = (p: Pin): boolean => overlap(p.span, s) > 0.02 || (p.span.to <= p.span.from && p.span.from >= s.from - 0.05 && p.span.from < s.to);
    return (this.store.film.value?.pins ?? []).filter(touches);
  }

  async unpin(): Promise<void> {
    const pins = this.pins();
    const last = pins.filter((p) => p.pass === this.place.pass.value).at(-1) ?? pins.at(-1);
    if (last) await this.store.decide({ do: "unpin", id: last.id });
    else this.store.say({ words: "nothing is pinned here", changes: [], refused: true, hint: "a pin lies where its line, bar or beat is" });
  }

  /** A promise: what is pinned here is made strong, or the pass is pinned strongly. */
  async promise(): Promise<void> {
    const pin = this.pins()
      .filter((p) => (p.kind === "show-pass" || p.kind === "show-setup") && !p.strong)
      .at(-1);
    if (!pin) {
      await this.pin("show-pass", { strong: true });
      return;
    }
    const { words: _, ...rest } = pin;
    await this.store.decide({ do: "pin", pins: [{ ...rest, id: 0, strong: true }], unpins: [pin.id] });
  }

  async askWhy(): Promise<void> {
    const pass = this.place.pass.value;
    if (!pass) return;
    try {
      const why = await api.why(this.store.order.value, pass, this.place.here.value.at, this.#ask());
      this.why.value = { ...why, pass };
    } catch (e) {
      if (!(e instanceof DOMException)) this.store.refuse(e);
    }
  }

  /** Looks for other ways; the first is tried at once. */
  async askOthers(): Promise<void> {
    const span = this.place.target.value?.span;
    if (!span) return;
    this.forgetOthers();
    try {
      const found = await api.others(this.store.order.value, span.from, span.to, this.#ask());
      this.others.value = found.others ?? [];
      this.walk(1);
    } catch (e) {
      if (!(e instanceof DOMException)) this.store.refuse(e);
    }
  }

  walk(step: number): void {
    const n = this.others.value?.length ?? 0;
    this.other.value = Math.max(-1, Math.min(n - 1, this.other.value + step));
  }

  /** Pins what is tried, as one decision. */
  async take(other: Other): Promise<void> {
    if (await this.store.decide({ do: "pin", pins: other.pins ?? [] })) this.forgetOthers();
  }

  forgetOthers(): void {
    this.others.value = undefined;
    this.other.value = -1;
  }

  /** What a pin of a kind is about; undefined when there is nothing for it here. */
  #about(kind: PinKind): Partial<FilmPin> | undefined {
    const pass = this.place.pass.value;
    const setup = (this.store.film.value?.passes ?? []).find((p) => p.name === pass)?.setup;
    switch (kind) {
      case "cut":
      case "no-cut":
        return {};
      case "show-pass":
      case "not-pass":
      case "overrule":
        return pass ? { pass } : undefined;
      case "show-setup":
      case "not-setup":
        return setup ? { setup } : undefined;
    }
  }

  #ask(): AbortSignal {
    this.#asked?.abort();
    this.#asked = new AbortController();
    return this.#asked.signal;
  }
}
