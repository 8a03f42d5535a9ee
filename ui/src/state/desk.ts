import { effect, signal, untracked } from "@preact/signals";
import type { Pass } from "../api/types";
import { Player } from "../play/player";
import { Grading } from "./grading";
import { Judge } from "./judge";
import { Place } from "./place";
import type { Store } from "./store";

export type Leaf = "here" | "others" | "song" | "setups" | "look" | "films" | "clips" | "told";

/** What the hands have before them: the place, the player, the judge, the open leaf. */
export class Desk {
  readonly place: Place;
  readonly judge: Judge;
  readonly player: Player;
  readonly grading: Grading;
  readonly leaf = signal<Leaf>("here");
  readonly corners = signal(true);
  readonly asList = signal(false);
  readonly keysOpen = signal(false);
  readonly large = signal(false);
  readonly more = signal(false); // on a phone: what lies under the picture

  constructor(readonly store: Store) {
    this.place = new Place(store);
    this.judge = new Judge(store, this.place);
    this.player = new Player(store, this.place, this.judge);
    this.grading = new Grading(store);
    // Other ways are of one place: with another place the leaf closes.
    effect(() => {
      void this.place.target.value;
      untracked(() => {
        if (this.leaf.value === "others") this.leaf.value = "here";
      });
    });
  }

  /** Up and down: the ribbons, or the other ways when they lie open. */
  strand(step: number): void {
    if (this.leaf.value === "others" && this.judge.others.value) this.try(step);
    else this.place.strand(step);
  }

  async why(): Promise<void> {
    this.leaf.value = "here";
    this.more.value = true;
    await this.judge.askWhy();
  }

  openLook(): void {
    this.leaf.value = "look";
    this.more.value = true;
  }

  /** Opens the other ways; when they are open, the next is tried. */
  async others(): Promise<void> {
    if (this.leaf.value === "others" && this.judge.others.value) {
      this.try(1);
      return;
    }
    this.leaf.value = "others";
    this.more.value = true;
    await this.judge.askOthers();
    if (this.judge.tried) this.#hear();
  }

  try(step: number): void {
    this.judge.walk(step);
    this.#hear();
  }

  /** Takes the way that is tried, else pins the pass at hand. */
  async keep(): Promise<void> {
    const { tried } = this.judge;
    if (this.leaf.value !== "others" || !tried) {
      await this.judge.pin("show-pass");
      return;
    }
    await this.judge.take(tried);
    this.leaf.value = "here";
  }

  nextShape(): void {
    const orders = this.store.film.value?.orders ?? [];
    const i = orders.findIndex((o) => o.id === this.store.order.value);
    const next = orders[(i + 1) % Math.max(1, orders.length)];
    if (next) void this.store.show(next.id);
  }

  passNamed(name: string | undefined): Pass | undefined {
    return (this.store.film.value?.passes ?? []).find((p) => p.name === name);
  }

  /** What is tried is seen in the cut. */
  #hear(): void {
    this.place.here.value = { ...this.place.here.value, pass: undefined };
    if (this.player.mode.value === "still") void this.player.line();
  }
}
