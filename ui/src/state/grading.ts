import { type ReadonlySignal, computed, signal } from "@preact/signals";
import { api } from "../api/client";
import type { Decision, Look, Trim } from "../api/types";
import { type Table, tableOf } from "../look/painter";
import { colourPart } from "../look/words";
import type { Store } from "./store";

export type Trims = { readonly [setup: string]: Trim | undefined };

/** A look with the trims of the setups. */
export interface Grade {
  readonly look: Look;
  readonly trims: Trims;
}

export const noGrade: Grade = { look: {}, trims: {} };

// A hand that rests so long means it, ms.
const restMS = 350;
// Tables of 33 points are 0.4 MB, of 65 they are 3.3 MB.
const mostTables = 24;

interface Want {
  readonly key: string;
  readonly look: Look;
  readonly trim: Trim;
  readonly quick: boolean;
}

/** The look: as decided, as the hand tries it, and its tables. */
export class Grading {
  /** What the hand tries and nobody has decided. */
  readonly draft = signal<Grade | undefined>(undefined);
  /** The look before its last change; undefined until it is changed here. */
  readonly before = signal<Grade | undefined>(undefined);
  readonly decided: ReadonlySignal<Grade> = computed(() => ({ look: this.store.film.value?.look ?? {}, trims: this.store.film.value?.trims ?? {} }));
  readonly now: ReadonlySignal<Grade> = computed(() => this.draft.value ?? this.decided.value);
  /** To the left of this share of the picture it is as filmed; undefined for nowhere. */
  readonly split = signal<number | undefined>(undefined);
  /** Where a grey card is drawn on the picture, in its shares; undefined while none is. */
  readonly card = signal<{ readonly x: number; readonly y: number; readonly w: number; readonly h: number } | undefined>(undefined);
  /** Rises with every table that comes. */
  readonly turn = signal(0);

  readonly #tables = new Map<string, Table>();
  readonly #latest = new Map<string, Table>(); // by who asks: what is shown until the right one comes
  readonly #wants = new Map<string, Want>(); // by who asks, the newest wish of each
  #asking = false;
  #later: Decision | undefined;
  #rest: ReturnType<typeof setTimeout> | undefined;
  #rests = false; // the hand has tried nothing new for a while
  #held = false; // a finger lies on a slider: nothing is decided before it is lifted

  constructor(private readonly store: Store) {}

  /** Shows half of the picture as filmed, or all of it with the look again. */
  halve(): void {
    this.split.value = this.split.value === undefined ? 0.5 : undefined;
  }

  tryLook(look: Look): void {
    this.#rests = false;
    this.draft.value = { ...this.now.value, look };
    this.#decideAtRest({ do: "look", look });
  }

  tryTrim(setup: string, trim: Trim): void {
    this.showTrim(setup, trim);
    this.#decideAtRest({ do: "trim", of: setup, trim });
  }

  /** Shows a trim without deciding it. */
  showTrim(setup: string, trim: Trim): void {
    this.#rests = false;
    this.draft.value = { ...this.now.value, trims: { ...this.now.value.trims, [setup]: trim } };
  }

  hold(): void {
    this.#held = true;
  }

  release(): void {
    this.#held = false;
    void this.settle();
  }

  /** Forgets what was only shown. */
  forget(): void {
    this.draft.value = undefined;
  }

  /** Decides what is tried without waiting for the hand to rest. */
  async settle(): Promise<void> {
    clearTimeout(this.#rest);
    const decision = this.#later;
    this.#later = undefined;
    if (!decision) return;
    const tried = this.draft.value;
    const before = this.decided.value;
    if (await this.store.decide(decision)) this.before.value = before;
    if (this.draft.value === tried) this.draft.value = undefined;
  }

  /**
   * The table of a setup: undefined when its colours stay, else the nearest there is;
   * the right one is asked for and `turn` says when it has come.
   */
  table(setup: string, grade: Grade = this.now.value, who = setup): Table | undefined {
    const part = colourPart(grade.look, grade.trims[setup]);
    if (!part) return undefined;
    const key = JSON.stringify(part);
    const exact = this.#tables.get(key);
    if (exact) return this.#shown(who, exact);
    const dragged = grade === this.draft.value && !this.#rests;
    const quick = this.#tables.get(`quick ${key}`);
    if (!dragged || !quick) this.#ask(who, { key: dragged ? `quick ${key}` : key, ...part, quick: dragged });
    return quick ? this.#shown(who, quick) : this.#latest.get(who);
  }

  /** Whether the table that is shown is the one the films are made with. */
  isExact(setup: string, grade: Grade): boolean {
    const part = colourPart(grade.look, grade.trims[setup]);
    return !part || this.#tables.has(JSON.stringify(part));
  }

  #shown(who: string, table: Table): Table {
    this.#latest.set(who, table);
    return table;
  }

  #decideAtRest(d: Decision): void {
    if (this.#later && (this.#later.do !== d.do || this.#later.of !== d.of)) void this.settle();
    this.#later = d;
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => {
      this.#rests = true;
      this.turn.value++;
      if (!this.#held) void this.settle();
    }, restMS);
  }

  #ask(who: string, want: Want): void {
    this.#wants.set(who, want);
    if (!this.#asking) void this.#answer();
  }

  /** One question at a time; what was wished meanwhile and is no longer is never asked. */
  async #answer(): Promise<void> {
    this.#asking = true;
    for (;;) {
      const [next] = this.#wants;
      if (!next) break;
      const [who, want] = next;
      this.#wants.delete(who);
      if (this.#tables.has(want.key)) continue;
      try {
        const { look, trim, quick } = want;
        const table = tableOf(await api.table({ look, trim, quick }));
        this.#keep(want.key, table);
        this.#latest.set(who, table); // the hand has gone on meanwhile: it is the nearest there is
        this.turn.value++;
      } catch (e) {
        if (!want.quick) this.store.refuse(e);
      }
    }
    this.#asking = false;
  }

  #keep(key: string, table: Table): void {
    this.#tables.set(key, table);
    for (const old of this.#tables.keys()) {
      if (this.#tables.size <= mostTables) break;
      this.#tables.delete(old);
    }
  }
}
