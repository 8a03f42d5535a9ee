import type { Entry, Event, PutBackItem, State, Struck } from "./types";

/** Two phones that begin within so many milliseconds begin the same pass. */
const samePassMS = 15_000;

type Draft = { -readonly [K in keyof Entry]: Entry[K] };

const words = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Each event once, in the order of the phones' counters. */
export function ordered(events: readonly Event[]): Event[] {
  const once = new Map<string, Event>();
  const sorted = [...events].sort((a, b) => a.count - b.count || words(a.id, b.id));
  for (const e of sorted) if (!once.has(e.id)) once.set(e.id, e);
  return [...once.values()];
}

/** The events that count as never sent: the last undo or redo of each decides. */
function undone(events: readonly Event[]): Set<string> {
  const off = new Set<string>();
  for (const e of events) {
    if (e.kind === "undo") off.add(e.of ?? "");
    if (e.kind === "redo") off.delete(e.of ?? "");
  }
  return off;
}

/** What a phone did and has not taken back, the last at the end. */
export function done(events: readonly Event[], phone: string): Event[] {
  const all: Event[] = [];
  for (const e of ordered(events)) {
    if (e.phone !== phone) continue;
    if (e.kind === "undo") {
      const i = all.findIndex((o) => o.id === e.of);
      if (i >= 0) all.splice(i, 1);
    } else if (e.kind !== "redo") all.push(e);
  }
  return all;
}

/**
 * The day as the events tell it. It is the same as the program makes of them; a
 * test compares the two.
 */
export function replay(events: readonly Event[]): State {
  const all = ordered(events);
  const off = undone(all);
  const day = new Day(new Set(all.filter((e) => off.has(e.id) && (e.kind === "begin" || e.kind === "add")).map((e) => e.entry ?? "")));
  for (const e of all) if (!off.has(e.id)) day.take(e);
  return day.state();
}

class Day {
  readonly #entries = new Map<string, Draft>();
  readonly #phones = new Map<string, string>(); // entry: the phone that began it
  readonly #created = new Map<string, number>();
  readonly #same = new Map<string, string>(); // entry: the one another phone began for the same pass
  readonly #removed = new Set<string>();
  readonly #moves: Event[] = [];
  readonly #lamps = new Map<string, boolean>();
  readonly #struck: Struck[] = [];
  readonly #putBack: PutBackItem[] = [];
  #setup = "";
  #voice = "";
  #freeGB = 0;
  #cardAt = 0;

  constructor(readonly gone: ReadonlySet<string>) {}

  take(e: Event): void {
    switch (e.kind) {
      case "undo":
      case "redo":
        return;
      case "lamp":
        this.#lamps.set(e.text ?? "", e.on ?? false);
        return;
      case "strike":
        if (e.struck) this.#struck.push(e.struck);
        return;
      case "put-back":
        this.#putBack.push({ id: e.id, text: e.text ?? "", ...(e.photo ? { photo: e.photo } : {}) });
        return;
      case "back":
        this.#putBack.forEach((p, i) => {
          if (p.id === e.of) this.#putBack[i] = { ...p, done: true };
        });
        return;
      case "card":
        this.#freeGB = e.free_gb ?? 0;
        this.#cardAt = e.at_ms;
        return;
    }
    this.#takeOfEntry(e);
  }

  #takeOfEntry(e: Event): void {
    if (!e.entry) {
      if (e.kind === "setup") this.#setup = e.setup ?? "";
      if (e.kind === "voice") this.#voice = e.voice ?? "";
      return;
    }
    if (this.gone.has(e.entry)) return;
    if (e.kind === "begin") {
      this.#begin(e, e.entry);
      return;
    }
    const entry = this.#entry(e, e.entry);
    switch (e.kind) {
      case "end":
        entry.cut_ms = e.at_ms;
        entry.verdict = e.verdict ?? "";
        break;
      case "judge":
        entry.verdict = e.verdict ?? "";
        break;
      case "flag":
        entry.flags_ms = [...(entry.flags_ms ?? []), e.at_ms];
        break;
      case "note":
        entry.notes = [...(entry.notes ?? []), e.text ?? ""];
        break;
      case "play":
        entry.lines = e.lines ?? "";
        break;
      case "number":
        entry.number = e.number ?? 0;
        break;
      case "retime":
        entry.rolling_ms = e.rolling_ms || entry.rolling_ms || 0;
        entry.cut_ms = e.cut_ms || entry.cut_ms || 0;
        break;
      case "setup":
        entry.setup = e.setup ?? "";
        break;
      case "voice":
        entry.voice = e.voice ?? "";
        break;
      case "add":
        this.#add(entry, e);
        break;
      case "move":
        this.#moves.push(e);
        break;
      case "remove":
        this.#removed.add(entry.id);
        break;
    }
  }

  #id(entry: string): string {
    return this.#same.get(entry) ?? entry;
  }

  #entry(e: Event, name: string): Draft {
    const id = this.#id(name);
    let entry = this.#entries.get(id);
    if (!entry) {
      entry = { id, number: 0, setup: this.#setup, voice: this.#voice };
      this.#entries.set(id, entry);
      this.#created.set(id, e.at_ms);
    }
    return entry;
  }

  #begin(e: Event, name: string): void {
    const twin = this.#begunElsewhere(e);
    if (twin && !this.#entries.has(name)) {
      this.#same.set(name, twin.id);
      if (twin.origin === "heard" && !e.origin) {
        twin.origin = "";
        twin.rolling_ms = e.at_ms;
      }
      return;
    }
    const entry = this.#entry(e, name);
    this.#phones.set(entry.id, e.phone);
    entry.rolling_ms = e.at_ms;
    entry.number = e.number ?? 0;
    entry.origin = e.origin ?? "";
    entry.setup = e.setup || entry.setup;
    entry.voice = e.voice || entry.voice || "";
    entry.lines = e.lines || entry.lines || "";
  }

  #begunElsewhere(e: Event): Draft | undefined {
    for (const id of [...this.#entries.keys()].sort(words)) {
      const o = this.#entries.get(id);
      const by = this.#phones.get(id);
      if (!o || !by || by === e.phone) continue;
      const near = Math.abs((o.rolling_ms ?? 0) - e.at_ms) <= samePassMS;
      if (near && (!o.cut_ms || o.cut_ms > e.at_ms)) return o;
    }
    return undefined;
  }

  #add(entry: Draft, e: Event): void {
    entry.number = e.number ?? 0;
    entry.rolling_ms = e.rolling_ms ?? 0;
    entry.cut_ms = e.cut_ms ?? 0;
    entry.verdict = e.verdict ?? "";
    entry.lines = e.lines ?? "";
    entry.origin = "later";
    entry.setup = e.setup || entry.setup;
    entry.voice = e.voice || entry.voice || "";
    if (e.text) entry.notes = [...(entry.notes ?? []), e.text];
    if (e.after) this.#moves.push(e);
  }

  state(): State {
    const entries: Entry[] = [];
    const removed: Entry[] = [];
    let next = 1;
    for (const id of this.#order()) {
      const e = this.#entries.get(id);
      if (!e) continue;
      if (e.flags_ms) e.flags_ms = [...e.flags_ms].sort((a, b) => a - b);
      next = Math.max(next, e.number + 1);
      (this.#removed.has(id) ? removed : entries).push(e);
    }
    const lamps = [...this.#lamps].sort((a, b) => words(a[0], b[0])).map(([name, on]) => ({ name, on }));
    return {
      entries,
      removed,
      running: runningOf(entries),
      next,
      setup: this.#setup,
      voice: this.#voice,
      lamps,
      struck: this.#struck,
      put_back: this.#putBack,
      card_free_gb: this.#freeGB,
      card_at_ms: this.#cardAt,
    };
  }

  #order(): string[] {
    const at = (id: string): number => {
      const e = this.#entries.get(id);
      return e?.rolling_ms || e?.cut_ms || this.#created.get(id) || 0;
    };
    const ids = [...this.#entries.keys()].sort((a, b) => at(a) - at(b) || words(a, b));
    for (const m of this.#moves) {
      const what = this.#id(m.entry ?? "");
      const after = this.#id(m.after ?? "");
      if (what === after || (after !== "" && !this.#entries.has(after))) continue;
      const from = ids.indexOf(what);
      if (from >= 0) ids.splice(from, 1);
      ids.splice(ids.indexOf(after) + 1, 0, what);
    }
    return ids;
  }
}

/** The entry that rolled last, if it is not cut yet. */
function runningOf(entries: readonly Entry[]): string {
  let newest: Entry | undefined;
  const last = (e: Entry): number => Math.max(e.rolling_ms ?? 0, e.cut_ms ?? 0);
  for (const e of entries) if (e.origin !== "later" && (!newest || last(e) >= last(newest))) newest = e;
  return newest && !newest.cut_ms && newest.rolling_ms ? newest.id : "";
}
