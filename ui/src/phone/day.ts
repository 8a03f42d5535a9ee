import { type ReadonlySignal, computed, signal } from "@preact/signals";
import { play } from "./call";
import { type Figures, figuresAt } from "./figures";
import { Keep, Photos, shrink } from "./keep";
import { Link } from "./link";
import { done, replay } from "./replay";
import type { DayAsk, DayState, Entry, Event, Plan, State, Struck } from "./types";

export type Verdict = "keep" | "perhaps" | "lost";

const open: Plan = { song_s: 0, roll_s: 0, between_s: 0, gb_per_pass: 0, key_back_ms: 0, passes_to_go: 0, other_s: 0 };
const saidMS = 5000;

/** The day as this phone knows it, and all that can be done to it. */
export class Day {
  readonly events = signal<readonly Event[]>([]);
  readonly answer = signal<DayState | undefined>(undefined);
  readonly now = signal(Date.now());
  readonly said = signal("");
  readonly left = signal(false); // which hand
  readonly calls = signal(true);
  readonly loop = signal(""); // lines of the next pass, "" the whole song
  readonly state: ReadonlySignal<State> = computed(() => replay(this.events.value));
  readonly running: ReadonlySignal<Entry | undefined> = computed(() => this.state.value.entries?.find((e) => e.id === this.state.value.running));
  readonly figures: ReadonlySignal<Figures> = computed(() => figuresAt(this.state.value, this.answer.value?.plan ?? open, this.now.value));
  /** What to ask for; undefined while nothing is known. */
  readonly ask: ReadonlySignal<DayAsk | undefined> = computed(() => this.answer.value?.asks?.[0]);
  readonly keep: Keep;
  readonly photos = new Photos();
  readonly link: Link;
  readonly phone: string;
  #quiet: ReturnType<typeof setTimeout> | undefined;

  constructor(
    place: Storage,
    readonly film: string,
  ) {
    this.keep = new Keep(place, film);
    this.phone = this.keep.choice("phone") || random();
    this.keep.choose("phone", this.phone);
    this.left.value = this.keep.choice("hand") === "left";
    this.calls.value = this.keep.choice("call") !== "off";
    this.loop.value = this.keep.choice("loop");
    this.events.value = this.keep.events();
    this.answer.value = this.keep.answer;
    this.link = new Link(this, this.photos);
  }

  open(): void {
    this.link.open();
    setInterval(() => {
      this.now.value = Date.now();
    }, 500);
    // Another window of this phone has logged something.
    addEventListener("storage", () => this.#learn(this.keep.events()));
  }

  all(): readonly Event[] {
    return this.events.value;
  }

  answered(a: DayState): void {
    const before = this.answer.value?.judged;
    if (a.judged && (a.judged.pass !== before?.pass || a.judged.good !== before.good)) this.say(`agree: ${a.judged.good}/${a.judged.of}`);
    this.answer.value = a;
    this.keep.answer = a;
    this.#learn(a.events ?? []);
  }

  #learn(events: readonly Event[]): void {
    const known = new Set(this.events.value.map((e) => e.id));
    const fresh = events.filter((e) => !known.has(e.id));
    if (fresh.length === 0) return;
    for (const e of fresh) this.keep.add(e);
    this.events.value = [...this.events.value, ...fresh];
    this.link.count();
  }

  /** Logs something: first on this phone, then wherever it can be sent. */
  #log(e: Omit<Event, "id" | "phone" | "count" | "at_ms">): Event {
    const count = 1 + this.events.value.reduce((most, o) => Math.max(most, o.count), 0);
    const event: Event = { id: random(), phone: this.phone, count, at_ms: Date.now(), ...e };
    this.keep.add(event);
    this.events.value = [...this.events.value, event];
    this.now.value = Date.now();
    this.link.count();
    void this.link.meet();
    return event;
  }

  say(words: string): void {
    this.said.value = words;
    clearTimeout(this.#quiet);
    this.#quiet = setTimeout(() => {
      this.said.value = "";
    }, saidMS);
  }

  /** Whether the program's answers are of all that was logged. */
  get current(): boolean {
    return this.link.connected.value && this.link.waiting.value === 0;
  }

  /** Lines that no setup is to give: nothing is known to be enough for them. */
  get unplanned(): number {
    return (this.answer.value?.lines ?? []).filter((l) => l.state === "not planned").length;
  }

  rolling(): void {
    if (this.running.value) return; // a second tap of the same
    const number = this.state.value.next;
    if (this.calls.value) play(number);
    this.#log({ kind: "begin", entry: random(), number, setup: this.state.value.setup, ...(this.loop.value ? { lines: this.loop.value } : {}) });
  }

  cut(verdict: Verdict): void {
    const pass = this.running.value;
    if (!pass) return;
    this.#log({ kind: "end", entry: pass.id, verdict });
    this.say(`${pass.number}: ${verdict}`);
  }

  there(): void {
    const pass = this.running.value;
    if (pass) this.#log({ kind: "flag", entry: pass.id });
  }

  /** The pass that notes are about. */
  get last(): Entry | undefined {
    return this.running.value ?? this.state.value.entries?.at(-1);
  }

  note(text: string): void {
    const pass = this.last;
    if (!pass) return;
    this.#log({ kind: "note", entry: pass.id, text });
    this.say(`${pass.number}: ${text}`);
  }

  /** Focus and playback of the passes were looked at. */
  looked(entries: readonly string[]): void {
    for (const entry of entries) this.#log({ kind: "note", entry, text: "looked at" });
  }

  /** Adds a pass that was not tapped, after another one; "" is now. */
  add(setup: string, verdict: Verdict, after: string): void {
    const number = this.state.value.next;
    this.#log({ kind: "add", entry: random(), number, setup, verdict, ...(after ? { after } : {}) });
    this.say(`${number}: ${verdict}`);
  }

  setSetup(setup: string): void {
    this.#log({ kind: "setup", setup });
  }

  setVoice(voice: string): void {
    this.#log({ kind: "voice", voice });
  }

  setLoop(lines: string): void {
    this.loop.value = lines;
    this.keep.choose("loop", lines);
  }

  setLamp(name: string, on: boolean): void {
    this.#log({ kind: "lamp", text: name, on });
  }

  setCard(freeGB: number): void {
    this.#log({ kind: "card", free_gb: freeGB });
    this.say(`card of ${freeGB} GB`);
  }

  strike(struck: Struck): void {
    this.#log({ kind: "strike", struck });
    if (struck.what === "lamp") this.setLamp(struck.name, false);
    this.say(`${struck.name} noted`);
  }

  toPutBack(text: string): Event {
    return this.#log({ kind: "put-back", text });
  }

  isBack(id: string): void {
    this.#log({ kind: "back", of: id });
  }

  /** Something to be done once before leaving is done. */
  tick(text: string): void {
    this.isBack(this.toPutBack(text).id);
  }

  ticked(text: string): boolean {
    return (this.state.value.put_back ?? []).some((p) => p.text === text && p.done);
  }

  undo(): void {
    const last = done(this.events.value, this.phone).at(-1);
    if (!last) return;
    this.#log({ kind: "undo", of: last.id });
    this.say(`undone: ${words[last.kind] ?? last.kind}`);
  }

  get canUndo(): boolean {
    return done(this.events.value, this.phone).length > 0;
  }

  setHand(left: boolean): void {
    this.left.value = left;
    this.keep.choose("hand", left ? "left" : "right");
  }

  setCalls(on: boolean): void {
    this.calls.value = on;
    this.keep.choose("call", on ? "on" : "off");
  }

  /** Keeps a photo until it is sent, and gives its name. */
  async photo(file: Blob): Promise<string> {
    const name = random();
    await this.photos.put(name, await shrink(file));
    void this.link.meet();
    return name;
  }
}

/** What an undo takes back, in a word or two. */
const words: { readonly [kind: string]: string } = {
  begin: "rolling",
  end: "the cut",
  flag: "there!",
  add: "added pass",
  strike: "strike",
  "put-back": "put back",
  back: "is back",
};

/** A name that is never used twice. Plain http has no crypto.randomUUID. */
function random(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(10)), (b) => b.toString(16).padStart(2, "0")).join("");
}
