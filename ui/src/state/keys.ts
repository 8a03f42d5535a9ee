import { type Signal, signal } from "@preact/signals";
import type { Desk } from "./desk";

/** A hand moves through the song, the other judges; looks change the page. */
export type Hand = "go" | "judge" | "look";

export interface Action {
  readonly id: string;
  readonly hand: Hand;
  readonly words: string;
  readonly key: string; // as a keyboard event says it, small letters
  run(d: Desk): void;
}

export const actions: readonly Action[] = [
  { id: "line-back", hand: "go", words: "line before", key: "e", run: (d) => d.place.line(-1) },
  { id: "line-on", hand: "go", words: "line after", key: "d", run: (d) => d.place.line(1) },
  { id: "beat-back", hand: "go", words: "beat before", key: "s", run: (d) => d.place.beat(-1) },
  { id: "beat-on", hand: "go", words: "beat after", key: "f", run: (d) => d.place.beat(1) },
  { id: "cut-back", hand: "go", words: "cut before", key: "w", run: (d) => d.place.cut(-1) },
  { id: "cut-on", hand: "go", words: "cut after", key: "r", run: (d) => d.place.cut(1) },
  { id: "section-back", hand: "go", words: "section before", key: "[", run: (d) => d.place.section(-1) },
  { id: "section-on", hand: "go", words: "section after", key: "]", run: (d) => d.place.section(1) },
  { id: "play", hand: "go", words: "play the line round and round; again: stop; twice quickly: the film from here", key: " ", run: (d) => d.player.press() },
  { id: "film", hand: "go", words: "play the film from here", key: "q", run: (d) => void d.player.film() },
  { id: "turns", hand: "go", words: "pass and cut by turns", key: "b", run: (d) => (d.player.turns.value = !d.player.turns.value) },
  { id: "ear", hand: "go", words: "flam ear: record left, pass right", key: "g", run: (d) => void d.player.flamEar() },
  { id: "tap", hand: "go", words: "tap the beat while it plays", key: "t", run: (d) => d.player.tap() },
  { id: "reach", hand: "go", words: "decide for the line, shot, bar, beat or word", key: "a", run: (d) => d.place.widen() },

  { id: "up", hand: "judge", words: "ribbon above", key: "i", run: (d) => d.strand(-1) },
  { id: "down", hand: "judge", words: "ribbon below", key: "k", run: (d) => d.strand(1) },
  { id: "keep", hand: "judge", words: "show this pass here", key: "l", run: (d) => void d.keep() },
  { id: "why", hand: "judge", words: "why, or why not", key: "j", run: (d) => void d.why() },
  { id: "overrule", hand: "judge", words: "overrule the refusal: let it stand", key: "o", run: (d) => void d.judge.pin("overrule") },
  { id: "never", hand: "judge", words: "never this pass here", key: "n", run: (d) => void d.judge.pin("not-pass") },
  { id: "promise", hand: "judge", words: "promise: pin it strongly", key: "p", run: (d) => void d.judge.promise() },
  { id: "others", hand: "judge", words: "other ways, with their cost", key: "h", run: (d) => void d.others() },
  { id: "cut", hand: "judge", words: "a cut here", key: "m", run: (d) => void d.judge.pin("cut") },
  { id: "no-cut", hand: "judge", words: "no cut here", key: ",", run: (d) => void d.judge.pin("no-cut") },
  { id: "setup-here", hand: "judge", words: "show this setup here", key: ".", run: (d) => void d.judge.pin("show-setup") },
  { id: "setup-never", hand: "judge", words: "never this setup here", key: "-", run: (d) => void d.judge.pin("not-setup") },
  { id: "unpin", hand: "judge", words: "take the pin out", key: "backspace", run: (d) => void d.judge.unpin() },
  { id: "undo", hand: "judge", words: "take back", key: "u", run: (d) => void d.store.undo() },
  { id: "redo", hand: "judge", words: "do again", key: "y", run: (d) => void d.store.redo() },

  { id: "farther", hand: "look", words: "from farther: section, whole song", key: "z", run: (d) => d.place.nearer(-1) },
  { id: "nearer", hand: "look", words: "nearer: section, line", key: "x", run: (d) => d.place.nearer(1) },
  { id: "shape", hand: "look", words: "next shape of the film", key: "v", run: (d) => d.nextShape() },
  { id: "corners", hand: "look", words: "corners of the shapes", key: "c", run: (d) => (d.corners.value = !d.corners.value) },
  { id: "large", hand: "look", words: "picture larger", key: "=", run: (d) => (d.large.value = !d.large.value) },
  { id: "grade", hand: "look", words: "the look of the film", key: ";", run: (d) => d.openLook() },
  { id: "split", hand: "look", words: "before and after the look", key: "'", run: (d) => d.grading.halve() },
  { id: "list", hand: "look", words: "the sheet as a list", key: "/", run: (d) => (d.asList.value = !d.asList.value) },
  { id: "keys", hand: "look", words: "these keys", key: "?", run: (d) => (d.keysOpen.value = !d.keysOpen.value) },
];

/** Keys that always do the same beside those that may be chosen. */
const fixed: { readonly [key: string]: (d: Desk) => void } = {
  arrowleft: (d) => d.place.beat(-1),
  arrowright: (d) => d.place.beat(1),
  arrowup: (d) => (d.place.zoom.value === "song" ? d.place.line(-1) : d.strand(-1)),
  arrowdown: (d) => (d.place.zoom.value === "song" ? d.place.line(1) : d.strand(1)),
  pageup: (d) => d.place.line(-1),
  pagedown: (d) => d.place.line(1),
  "0": (d) => d.place.go({ pass: undefined }),
  escape: (d) => {
    if (d.keysOpen.value) d.keysOpen.value = false;
    else if (d.player.mode.value !== "still") d.player.stop();
    else if (d.leaf.value !== "here") d.leaf.value = "here";
    else d.store.hush();
  },
};

const storedAs = "takeweave keys";

/** Which key does what; the person's own choice is kept in the browser. */
export class Keys {
  readonly chosen: Signal<{ readonly [id: string]: string }>;

  constructor(private readonly storage: Storage) {
    this.chosen = signal(read(storage));
  }

  of(id: string): string {
    return this.chosen.value[id] ?? actions.find((a) => a.id === id)?.key ?? "";
  }

  /** Gives a key to an action; who had it gets the other's in exchange. */
  choose(id: string, key: string): void {
    const before = this.of(id);
    const next: { [id: string]: string } = { ...this.chosen.value, [id]: key };
    for (const a of actions) if (a.id !== id && this.of(a.id) === key) next[a.id] = before;
    this.#keep(next);
  }

  reset(): void {
    this.#keep({});
  }

  action(key: string): Action | undefined {
    return actions.find((a) => this.of(a.id) === key);
  }

  /** Does what the key is for; false when it is for nothing here. */
  press(e: KeyboardEvent, d: Desk): boolean {
    const third = e.getModifierState("AltGraph"); // where brackets lie on many keyboards
    if (((e.ctrlKey || e.altKey) && !third) || e.metaKey || e.isComposing) return false;
    const key = e.key.toLowerCase();
    const on = e.target instanceof Element ? e.target : undefined;
    if (on?.closest("input, textarea, select, [data-takes-keys]") && key !== "escape") return false;
    if ((key === " " || key === "enter") && on?.closest("button, a, summary")) return false;
    const act = this.action(key);
    if (act) {
      if (e.repeat && act.id === "play") return true;
      act.run(d);
      return true;
    }
    const always = fixed[key];
    if (always) {
      always(d);
      return true;
    }
    if (/^[1-9]$/.test(key)) {
      d.place.setup(Number(key));
      return true;
    }
    return false;
  }

  #keep(next: { readonly [id: string]: string }): void {
    this.chosen.value = next;
    this.storage.setItem(storedAs, JSON.stringify(next));
  }
}

function read(storage: Storage): { readonly [id: string]: string } {
  try {
    const kept: unknown = JSON.parse(storage.getItem(storedAs) ?? "{}");
    if (typeof kept !== "object" || kept === null) return {};
    return Object.fromEntries(Object.entries(kept).filter(([id, key]) => typeof key === "string" && actions.some((a) => a.id === id)));
  } catch {
    return {};
  }
}

/** A key as it is printed on the page. */
export function keyText(key: string): string {
  switch (key) {
    case " ":
      return "space";
    case "backspace":
      return "⌫";
    default:
      return key.length === 1 ? key.toUpperCase() : key;
  }
}
