import { type Signal, batch, effect, signal, untracked } from "@preact/signals";
import type { Decided, PlanPlan, PlanTold } from "../api/types";
import type { Store } from "../state/store";
import { planCalls } from "./call";

const restMS = 700; // of keys, before what they moved is decided
const saidMS = 8000; // what was decided is said for so long; it is taken back by its key at any time

export type Change = (p: PlanPlan) => PlanPlan;

/**
 * The plan as the hands have it now, and the newest answer to it. What is tried is
 * shown at once and asked about; what is decided is kept by the program too.
 */
export class Planning {
  readonly plan = signal<PlanPlan | undefined>(undefined);
  readonly told = signal<PlanTold | undefined>(undefined);
  /** The setup, the lamp and the state of the lamps that are at hand. */
  readonly setup = signal(0);
  readonly light = signal(0);
  readonly item: Signal<string> = signal("");

  #wanted: PlanPlan | undefined; // to be asked about next
  #asking = false;
  #decided: Promise<unknown> = Promise.resolve();
  #deciding = 0;
  #rest: ReturnType<typeof setTimeout> | undefined; // of keys that move something
  #held = false; // something is tried and not decided

  constructor(private readonly store: Store) {}

  /** Keeps up with what is decided, here or elsewhere. */
  open(): () => void {
    const away = (): void => {
      if (document.visibilityState === "hidden" && this.#held) this.decide();
    };
    document.addEventListener("visibilitychange", away);
    const follow = effect(() => {
      if (this.store.film.value === undefined) return;
      untracked(() => void this.load());
    });
    return () => {
      document.removeEventListener("visibilitychange", away);
      follow();
    };
  }

  async load(): Promise<void> {
    if (this.#held || this.#deciding > 0) return;
    try {
      const now = await planCalls.planned();
      if (this.#held || this.#deciding > 0) return;
      batch(() => {
        this.plan.value = now.plan;
        this.told.value = now.told;
      });
    } catch (e) {
      this.store.refuse(e);
    }
  }

  /** Shows what a change would do. */
  try(change: Change): void {
    const plan = this.plan.peek();
    if (!plan) return;
    this.#held = true;
    this.#tell(change(plan));
  }

  /** Decides a change, and with it all that is tried. */
  decide(change: Change = (p) => p): void {
    const plan = this.plan.peek();
    if (!plan) return;
    const next = change(plan);
    if (next !== plan) this.#tell(next);
    this.#held = false;
    this.#keep(() => planCalls.decide(next));
  }

  /** From typed lines to those of the record. */
  toRecord(): void {
    this.#keep(() => planCalls.toRecord());
  }

  /** A change by a key: tried at once, decided when the keys have come to rest. */
  nudge(change: Change): void {
    this.try(change);
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => this.settle(), restMS);
  }

  /** Decides what keys have tried. */
  settle(): void {
    if (this.#rest === undefined) return;
    clearTimeout(this.#rest);
    this.#rest = undefined;
    this.decide();
  }

  /** Decides one thing after the other, and says each. */
  #keep(what: () => Promise<Decided>): void {
    this.#deciding++;
    this.#decided = this.#decided.then(() => this.#done(what));
  }

  async #done(what: () => Promise<Decided>): Promise<void> {
    try {
      const d = await what();
      this.store.say({ words: d.words, changes: d.changes ?? [], refused: false, turn: "undo" });
      const said = this.store.said.peek();
      setTimeout(() => this.store.said.peek() === said && this.store.hush(), saidMS);
    } catch (e) {
      this.store.refuse(e);
    } finally {
      this.#deciding--;
    }
    await this.load();
  }

  #tell(plan: PlanPlan): void {
    this.plan.value = plan;
    this.#wanted = plan;
    if (!this.#asking) void this.#ask();
  }

  /** Asks about the newest plan until there is none newer: one question at a time. */
  async #ask(): Promise<void> {
    this.#asking = true;
    try {
      while (this.#wanted) {
        const plan = this.#wanted;
        this.#wanted = undefined;
        this.told.value = await planCalls.tell(plan);
      }
    } catch (e) {
      this.store.refuse(e);
    } finally {
      this.#asking = false;
    }
  }
}
