import { type ReadonlySignal, batch, computed, signal } from "@preact/signals";
import { Refusal, api } from "../api/client";
import { listen } from "../api/live";
import type { Cut, Decided, Decision, Film, Start, Wave, Work } from "../api/types";
import { type Score, type ShotView, scoreOf, shotsOf } from "../sheet/score";

/** What was said last: a decision with what it changed elsewhere, or what went wrong. */
export interface Said {
  readonly words: string;
  readonly changes: readonly string[];
  readonly hint?: string;
  readonly refused: boolean;
  readonly turn?: "undo" | "redo"; // the way back, where there is one
  readonly number: number; // rises, so that the same words twice are news twice
}

const glowSeconds = 4;

/** What the program knows, as the page last heard it. */
export class Store {
  readonly film = signal<Film | undefined>(undefined);
  readonly cut = signal<Cut | undefined>(undefined);
  readonly order = signal("");
  readonly wave = signal<Wave | undefined>(undefined);
  readonly connected = signal(true);
  readonly work = signal<Work | undefined>(undefined);
  readonly said = signal<Said | undefined>(undefined);
  /** Keys of the shots that the last decision changed. */
  readonly changed = signal<ReadonlySet<string>>(new Set());
  readonly score: ReadonlySignal<Score | undefined> = computed(() => this.film.value && scoreOf(this.film.value));
  readonly shots: ReadonlySignal<readonly ShotView[]> = computed(() => (this.cut.value ? shotsOf(this.cut.value) : []));

  #asked: AbortController | undefined; // while an answer is awaited
  #latest = 0; // the last revision that was heard of
  #fade: ReturnType<typeof setTimeout> | undefined;
  #number = 0;
  #record = "";

  open(): () => void {
    void this.load();
    return listen({
      rev: (n) => {
        this.#latest = n;
        if (!this.#asked && n > (this.film.value?.rev ?? 0)) void this.load();
      },
      work: (w) => {
        this.work.value = w;
        if (w.ended && w.failed) this.say({ words: w.failed, changes: [], refused: true });
        if (w.ended) void this.load();
      },
      connected: (is) => {
        const back = is && !this.connected.value;
        this.connected.value = is;
        if (back) void this.load();
      },
    });
  }

  /** Asks for everything anew; a newer question cancels the older. */
  async load(): Promise<void> {
    this.#asked?.abort();
    const asked = new AbortController();
    this.#asked = asked;
    try {
      const guess = this.order.value;
      const known = this.film.value;
      const ask = (order: string) => api.cut(order, asked.signal).catch(() => undefined);
      const [film, early] = await Promise.all([api.film(asked.signal), guess && known && hasCut(known) ? ask(guess) : undefined]);
      const orders = film.orders ?? [];
      const order = orders.some((o) => o.id === guess) ? guess : (orders[0]?.id ?? "");
      const cut = !hasCut(film) ? undefined : order === guess && early ? early : await ask(order);
      if (asked.signal.aborted) return;
      this.#take(film, order, cut);
    } catch (e) {
      if (!asked.signal.aborted) this.#refuse(e);
    } finally {
      if (this.#asked === asked) this.#asked = undefined;
    }
    const film = this.film.value;
    if (!this.#asked && film && this.#latest > film.rev) void this.load();
  }

  async show(order: string): Promise<void> {
    this.order.value = order;
    await this.load();
  }

  decide(d: Decision): Promise<boolean> {
    return this.#do(() => api.decide(d));
  }

  edit(kind: string, fields: { readonly [name: string]: unknown }): Promise<boolean> {
    return this.decide({ do: "song", edit: { kind, ...fields } });
  }

  undo(): Promise<boolean> {
    return this.#do(() => api.undo(), "redo");
  }

  redo(): Promise<boolean> {
    return this.#do(() => api.redo());
  }

  async begin(s: Start): Promise<void> {
    await this.#try(() => api.work(s));
  }

  async stopWork(): Promise<void> {
    await this.#try(() => api.stop());
  }

  say(s: Omit<Said, "number">): void {
    this.said.value = { ...s, number: ++this.#number };
  }

  refuse(e: unknown): void {
    this.#refuse(e);
  }

  hush(): void {
    this.said.value = undefined;
  }

  async #do(what: () => Promise<Decided>, turn: "undo" | "redo" = "undo"): Promise<boolean> {
    const done = await this.#try(what);
    if (!done) return false;
    this.say({ words: done.words, changes: done.changes ?? [], refused: false, turn });
    await this.load();
    return true;
  }

  async #try<T>(what: () => Promise<T>): Promise<T | undefined> {
    try {
      return await what();
    } catch (e) {
      this.#refuse(e);
      return undefined;
    }
  }

  #refuse(e: unknown): void {
    if (e instanceof Refusal) this.say({ words: e.message, hint: e.hint, changes: [], refused: true });
    else this.say({ words: e instanceof Error ? e.message : String(e), hint: "reload the page", changes: [], refused: true });
  }

  #take(film: Film, order: string, cut: Cut | undefined): void {
    const before = this.cut.value;
    const changed = before && cut && before.order === cut.order ? newIn(shotsOf(before), shotsOf(cut)) : undefined;
    batch(() => {
      this.film.value = film;
      this.order.value = order;
      this.cut.value = cut;
      this.work.value = film.working;
      if (changed) this.changed.value = changed;
    });
    if (changed && changed.size > 0) {
      clearTimeout(this.#fade);
      this.#fade = setTimeout(() => (this.changed.value = new Set()), glowSeconds * 1000);
    }
    if (film.record !== "" && film.record !== this.#record) {
      this.#record = film.record;
      void api.wave().then((w) => (this.wave.value = w)).catch(() => undefined);
    }
  }
}

/** Whether a cut can be asked for: there is none before something is judged. */
const hasCut = (film: Film): boolean => (film.orders ?? []).length > 0 && !(film.missing ?? []).includes("agree");

function newIn(before: readonly ShotView[], after: readonly ShotView[]): ReadonlySet<string> {
  const had = new Set(before.map((s) => s.key));
  return new Set(after.filter((s) => !had.has(s.key)).map((s) => s.key));
}
