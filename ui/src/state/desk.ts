import { type ReadonlySignal, batch, computed, effect, signal, untracked } from "@preact/signals";
import { api } from "../api/client";
import type { FilmPin, Other, Pass, Pin, PinKind, Why } from "../api/types";
import { frames } from "../base/frame";
import { indexAt } from "../base/laid";
import { type SongTime, type Span, overlap, song, span } from "../base/time";
import { Pictures } from "../play/pictures";
import { type Programme, type View, cutProgramme, passProgramme, slipOf } from "../play/programme";
import { RecordPlayer } from "../play/record";
import type { Zoom } from "../sheet/layout";
import { type Row, type Score, type ShotView, type Strand, addressOf, beatTime, passText, rowAt, shotAt, shotsOf } from "../sheet/score";
import type { Store } from "./store";

/** Where the person is: a beat of the song, and a pass or the cut itself. */
export interface Here {
  readonly at: SongTime;
  readonly pass: string | undefined; // undefined: the cut
}

/** How much of the song a decision reaches. */
export type Reach = "line" | "shot" | "bar" | "beat" | "word" | "drawn";

export type Leaf = "here" | "others" | "song" | "setups" | "films" | "clips" | "told";

export type Mode = "still" | "line" | "film";

/** What a decision reaches, and how that is said. */
export interface Target {
  readonly span: Span;
  readonly said: string;
}

const doubleTapMS = 320;
const runInBeats = 2;

/** Everything that the hands do: going about, playing, deciding. */
export class Desk {
  readonly here = signal<Here>({ at: song(0), pass: undefined });
  readonly zoom = signal<Zoom>("section");
  readonly reach = signal<Reach>("line");
  readonly drawn = signal<Span | undefined>(undefined);
  readonly leaf = signal<Leaf>("here");
  readonly mode = signal<Mode>("still");
  readonly now = signal<SongTime>(song(0));
  readonly seen = signal<View | undefined>(undefined);
  /** False where nothing can be seen at all. */
  readonly shows = signal(true);
  readonly why = signal<(Why & { readonly pass: string }) | undefined>(undefined);
  readonly others = signal<readonly Other[] | undefined>(undefined);
  readonly other = signal(-1);
  readonly turns = signal(false); // pass and cut by turns
  readonly ear = signal(false);
  readonly corners = signal(true);
  readonly asList = signal(false);
  readonly keysOpen = signal(false);
  readonly large = signal(false);
  readonly more = signal(false); // on a phone: what lies under the picture
  readonly tapped = signal<readonly number[]>([]);
  /** What sound is being read, in words; "" when none. */
  readonly reading = signal("");
  /** Milliseconds by which the picture is ahead of the record, now and then. */
  readonly error = signal<number | undefined>(undefined);

  readonly row: ReadonlySignal<Row | undefined> = computed(() => {
    const score = this.store.score.value;
    return score && rowAt(score, this.here.value.at);
  });
  readonly shot: ReadonlySignal<ShotView | undefined> = computed(() => shotAt(this.store.shots.value, this.here.value.at));
  readonly target: ReadonlySignal<Target | undefined> = computed(() => this.#target());
  /** The pass that a decision is about: the one at hand, else the one the cut shows. */
  readonly pass: ReadonlySignal<string | undefined> = computed(() => this.here.value.pass ?? this.shot.value?.shot.pass);

  readonly #record = new RecordPlayer();
  #pictures: Pictures | undefined;
  #programme: Programme | undefined;
  #pressed = 0;
  #asked: AbortController | undefined;
  #lastError = 0;

  constructor(readonly store: Store) {
    // A new cut or line-up is what is seen from now on.
    effect(() => {
      void store.shots.value;
      void store.score.value;
      untracked(() => (this.mode.value === "still" ? this.#still() : this.#aim()));
    });
  }

  // ---- going about ----

  go(to: Partial<Here>): void {
    const before = this.row.value?.index;
    batch(() => {
      this.here.value = { ...this.here.value, ...to };
      this.why.value = undefined;
      this.drawn.value = undefined;
      if (this.reach.value === "drawn") this.reach.value = "line";
      if (this.row.value?.index !== before || to.pass !== undefined) this.#forgetOthers();
    });
    this.#moved(before);
  }

  line(step: number): void {
    const score = this.store.score.value;
    const row = this.row.value;
    const next = score && row && score.rows[row.index + step];
    if (next) this.go({ at: firstIn(score, next) });
  }

  section(step: number): void {
    const score = this.store.score.value;
    const row = this.row.value;
    if (!score || !row) return;
    const starts = score.rows.filter((r, i) => i === 0 || r.section !== score.rows[i - 1]?.section);
    const at = indexAt(starts.map((r) => r.index), row.index);
    const next = starts[Math.max(0, Math.min(starts.length - 1, at + step))];
    if (next) this.go({ at: firstIn(score, next) });
  }

  beat(step: number): void {
    const score = this.store.score.value;
    if (!score) return;
    const i = indexAt(score.beats, this.here.value.at + 0.02) + step;
    if (i >= 0 && i < score.beats.length) this.go({ at: beatTime(score, i) });
  }

  cutStep(step: number): void {
    const shots = this.store.shots.value;
    const i = indexAt(shots.map((s) => s.span.from), this.here.value.at + 0.001);
    const back = step < 0 && (shots[i]?.span.from ?? 0) < this.here.value.at - 0.1 ? 0 : step;
    const next = shots[i + back];
    if (next) this.go({ at: next.span.from, pass: undefined });
  }

  /** Up and down the ribbons; above the first lies the cut itself. */
  strand(step: number): void {
    if (this.others.value && this.leaf.value === "others") {
      this.walkOthers(step);
      return;
    }
    const list = this.strandsHere();
    const i = list.findIndex((s) => s.pass.name === this.here.value.pass) + step;
    if (i < -1 || i >= list.length) return;
    const before = this.row.value?.index;
    batch(() => {
      this.here.value = { ...this.here.value, pass: list[i]?.pass.name };
      this.why.value = undefined;
    });
    this.#moved(before);
  }

  setup(number: number): void {
    const group = this.store.score.value?.groups[number - 1];
    const list = this.strandsHere().filter((s) => s.group === group?.index);
    if (list.length === 0) return;
    const i = list.findIndex((s) => s.pass.name === this.here.value.pass);
    const next = list[(i + 1) % list.length];
    if (next) this.go({ pass: next.pass.name });
  }

  strandsHere(): readonly Strand[] {
    const score = this.store.score.value;
    const row = this.row.value;
    if (!score || !row) return [];
    return score.strands.filter((s) => (s.pass.ribbons ?? []).some((r) => overlap(r.span, row.span) > 0.05));
  }

  nearer(step: number): void {
    const all: readonly Zoom[] = ["song", "section", "line"];
    const next = all[Math.max(0, Math.min(2, all.indexOf(this.zoom.value) + step))];
    if (next) this.zoom.value = next;
  }

  widen(): void {
    const all: readonly Reach[] = (this.row.value?.words.length ?? 0) > 0 ? ["line", "shot", "bar", "beat", "word"] : ["line", "shot", "bar", "beat"];
    this.drawn.value = undefined;
    this.reach.value = all[(all.indexOf(this.reach.value) + 1) % all.length] ?? "line";
    this.#forgetOthers();
  }

  draw(s: Span): void {
    batch(() => {
      this.here.value = { ...this.here.value, at: s.from };
      this.drawn.value = s;
      this.reach.value = "drawn";
    });
    this.#forgetOthers();
  }

  nextShape(): void {
    const orders = this.store.film.value?.orders ?? [];
    const i = orders.findIndex((o) => o.id === this.store.order.value);
    const next = orders[(i + 1) % Math.max(1, orders.length)];
    if (next) void this.store.show(next.id);
  }

  // ---- playing ----

  attach(a: HTMLVideoElement, b: HTMLVideoElement): void {
    const record = this.#record;
    const clock = {
      get playing() {
        return record.playing;
      },
      now: () => record.now(),
    };
    this.#pictures = new Pictures(a, b, clock, (v) => (this.seen.value = v));
    this.#still();
  }

  set volume(v: number) {
    this.#record.volume = v;
  }

  /** Space: once the line goes round, again stops it, twice quickly the film plays on from here. */
  press(): void {
    const t = performance.now();
    if (t - this.#pressed < doubleTapMS) {
      this.#pressed = 0;
      void this.playFilm();
      return;
    }
    this.#pressed = t;
    if (this.mode.value === "still") void this.playLine();
    else this.stop();
  }

  /** A ribbon is touched: that pass, from one beat before. */
  touch(at: SongTime, pass: string | undefined): void {
    const score = this.store.score.value;
    if (!score) return;
    this.go({ at, pass });
    const before = beatTime(score, indexAt(score.beats, at + 0.02) - 1);
    void this.playLine(song(Math.max(before, 0)));
  }

  async playLine(from?: SongTime): Promise<void> {
    const score = this.store.score.value;
    const row = this.row.value;
    if (!score || !row) return;
    const loop = this.#loopOf(score, row);
    await this.#start("line", song(Math.max(loop.from, Math.min(from ?? loop.from, loop.to - 0.2))), loop);
  }

  async playFilm(from?: SongTime): Promise<void> {
    this.here.value = { ...this.here.value, pass: undefined };
    await this.#start("film", from ?? this.here.value.at, undefined);
  }

  stop(): void {
    const at = this.#record.now();
    const was = this.mode.value;
    this.#record.stop();
    this.#pictures?.pause();
    this.mode.value = "still";
    this.ear.value = false;
    if (was === "film") {
      const score = this.store.score.value;
      if (score) this.go({ at: beatTime(score, Math.max(0, indexAt(score.beats, at))) });
    }
    this.#still();
  }

  async flamEar(): Promise<void> {
    if (this.ear.value) {
      this.#record.deafen();
      this.ear.value = false;
      return;
    }
    const row = this.row.value;
    const pass = this.passNamed(this.pass.value);
    if (!row || !pass) return;
    if (this.mode.value !== "line") await this.playLine();
    const name = passText(pass.name);
    this.store.say({
      words: `Flam ear: the record will be on the left, ${name} on the right`,
      changes: ["It begins quietly and rises for four seconds. Turn the sound down first: one ear alone may be loud, and loud sound hurts."],
      refused: false,
    });
    this.reading.value = `the sound of ${name}`;
    try {
      await this.#record.listenTo(pass.name, slipOf(pass, row) ?? 0);
      this.ear.value = this.mode.value === "line";
    } catch (e) {
      this.store.refuse(e);
    }
    this.reading.value = "";
  }

  tap(): void {
    if (this.mode.value !== "still") this.tapped.value = [...this.tapped.value, this.#record.now()];
  }

  passNamed(name: string | undefined): Pass | undefined {
    return (this.store.film.value?.passes ?? []).find((p) => p.name === name);
  }

  /** Reads the record before it is asked for, so that the first key sounds at once. */
  warm(): void {
    this.reading.value = "the record";
    void this.#record
      .read()
      .catch((e: unknown) => this.store.refuse(e))
      .finally(() => (this.reading.value = ""));
  }

  // ---- deciding ----

  async pin(kind: PinKind, more: Partial<FilmPin> = {}): Promise<void> {
    const target = this.target.value;
    const pass = this.pass.value;
    if (!target) return;
    const setup = this.passNamed(pass)?.setup;
    let at = target.span;
    let said = target.said;
    if (kind === "cut" || (kind === "no-cut" && this.reach.value === "beat")) {
      at = { from: this.here.value.at, to: this.here.value.at };
      said = this.address();
    }
    const about: Partial<FilmPin> =
      kind === "show-setup" || kind === "not-setup" ? (setup ? { setup } : {}) : kind === "cut" || kind === "no-cut" ? {} : pass ? { pass } : {};
    if ((kind === "show-setup" || kind === "not-setup") && !setup) return;
    if ((kind === "show-pass" || kind === "not-pass" || kind === "overrule") && !pass) return;
    await this.store.decide({ do: "pin", pin: { id: 0, kind, span: at, said, ...about, ...more } });
  }

  pinsHere(): readonly Pin[] {
    const target = this.target.value;
    if (!target) return [];
    const s = target.span;
    return (this.store.film.value?.pins ?? []).filter((p) => overlap(p.span, s) > 0.02 || (p.span.to <= p.span.from && p.span.from >= s.from - 0.05 && p.span.from < s.to));
  }

  async unpin(): Promise<void> {
    const pins = this.pinsHere();
    const mine = pins.filter((p) => p.pass === this.pass.value);
    const last = mine[mine.length - 1] ?? pins[pins.length - 1];
    if (last) await this.store.decide({ do: "unpin", id: last.id });
    else this.store.say({ words: "nothing is pinned here", changes: [], refused: true, hint: "a pin lies where its line, bar or beat is" });
  }

  /** A promise: what is pinned here is made strong, or the pass is pinned strongly. */
  async promise(): Promise<void> {
    const weak = this.pinsHere().filter((p) => (p.kind === "show-pass" || p.kind === "show-setup") && !p.strong);
    const pin = weak[weak.length - 1];
    if (!pin) {
      await this.pin("show-pass", { strong: true });
      return;
    }
    const { words: _, ...rest } = pin;
    await this.store.decide({ do: "unpin", id: pin.id });
    await this.store.decide({ do: "pin", pin: { ...rest, id: 0, strong: true } });
  }

  async askWhy(): Promise<void> {
    const pass = this.pass.value;
    if (!pass) return;
    try {
      const why = await api.why(this.store.order.value, pass, this.here.value.at, this.#ask());
      this.why.value = { ...why, pass };
      this.leaf.value = "here";
      this.more.value = true;
    } catch (e) {
      if (!(e instanceof DOMException)) this.store.refuse(e);
    }
  }

  async askOthers(): Promise<void> {
    if (this.leaf.value === "others" && this.others.value) {
      this.walkOthers(1);
      return;
    }
    const target = this.target.value;
    if (!target) return;
    this.leaf.value = "others";
    this.others.value = undefined;
    try {
      const found = await api.others(this.store.order.value, target.span.from, target.span.to, this.#ask());
      this.others.value = found.others ?? [];
      this.other.value = -1;
      if (this.others.value.length > 0) this.walkOthers(1);
    } catch (e) {
      if (!(e instanceof DOMException)) this.store.refuse(e);
    }
  }

  walkOthers(step: number): void {
    const n = this.others.value?.length ?? 0;
    this.other.value = Math.max(-1, Math.min(n - 1, this.other.value + step));
    this.here.value = { ...this.here.value, pass: undefined };
    this.#aim();
    if (this.mode.value === "still") void this.playLine();
  }

  /** Keep: takes the alternative at hand, else pins the pass at hand. */
  async keep(): Promise<void> {
    const other = this.others.value?.[this.other.value];
    if (this.leaf.value !== "others" || !other) {
      await this.pin("show-pass");
      return;
    }
    const film = this.store.film.value;
    const cut = this.store.cut.value;
    const target = this.target.value;
    if (!film || !cut || !target) return;
    const shots = shotsOf({ ...cut, cut: { ...cut.cut, shots: other.shots }, states: null, pinned: null, differs: null });
    const one = shots.every((s) => s.shot.pass === shots[0]?.shot.pass);
    for (const s of one ? shots.slice(0, 1) : shots) {
      const at = one ? target.span : s.span;
      const pin: FilmPin = { id: 0, kind: "show-pass", span: at, pass: s.shot.pass, ...(one ? { said: target.said } : {}) };
      if (!(await this.store.decide({ do: "pin", pin }))) return;
    }
    this.#forgetOthers();
    this.leaf.value = "here";
  }

  address(): string {
    const score = this.store.score.value;
    return score ? addressOf(score, this.here.value.at) : "";
  }

  // ---- within ----

  #ask(): AbortSignal {
    this.#asked?.abort();
    this.#asked = new AbortController();
    return this.#asked.signal;
  }

  #forgetOthers(): void {
    if (this.others.value) this.others.value = undefined;
    this.other.value = -1;
    if (this.leaf.value === "others") this.leaf.value = "here";
  }

  #target(): Target | undefined {
    const score = this.store.score.value;
    const row = this.row.value;
    const { at } = this.here.value;
    if (!score || !row) return undefined;
    const whole = { span: row.span, said: row.line < 0 ? "" : row.name };
    switch (this.reach.value) {
      case "line":
        return whole;
      case "shot": {
        const shot = shotAt(this.store.shots.value, at);
        return shot ? { span: shot.span, said: "" } : whole;
      }
      case "bar": {
        const bar = (score.film.song.bars ?? []).find((b) => at >= b.span.from - 0.02 && at < b.span.to - 0.02);
        return bar ? { span: bar.span, said: "" } : whole;
      }
      case "beat": {
        const i = indexAt(score.beats, at + 0.02);
        return { span: { from: beatTime(score, i), to: beatTime(score, i + 1) }, said: row.line < 0 ? "" : addressOf(score, at) };
      }
      case "word": {
        const word = row.words[Math.max(0, indexAt(row.words.map((w) => w.span.from), at + 0.02))];
        return word ? { span: word.span, said: `“${word.text}” in ${row.name}` } : whole;
      }
      case "drawn":
        return this.drawn.value ? { span: this.drawn.value, said: "" } : whole;
    }
  }

  #loopOf(score: Score, row: Row): Span {
    const first = indexAt(score.beats, row.span.from + 0.02);
    return span(Math.max(0, beatTime(score, first - runInBeats)), row.span.to);
  }

  /** After a step: what plays goes on with what is at hand now. */
  #moved(before: number | undefined): void {
    if (this.mode.value === "still") {
      this.#still();
      return;
    }
    if (this.mode.value === "line" && this.row.value?.index !== before) {
      void this.playLine();
      return;
    }
    this.#aim();
    if (this.ear.value) {
      this.ear.value = false;
      this.#record.deafen();
    }
  }

  #aim(): void {
    const score = this.store.score.value;
    const row = this.row.value;
    if (!score || !row) return;
    const pass = this.mode.value === "film" ? undefined : this.passNamed(this.here.value.pass);
    this.#programme = pass ? passProgramme(pass, row) : this.#cutProgramme(score);
  }

  #cutProgramme(score: Score): Programme {
    const shots = this.store.shots.value;
    const other = this.others.value?.[this.other.value];
    const cut = this.store.cut.value;
    if (!other || !cut) return cutProgramme(score, shots);
    const tried = shotsOf({ ...cut, cut: { ...cut.cut, shots: other.shots }, states: null, pinned: null, differs: null });
    const base = cutProgramme(score, shots);
    const instead = cutProgramme(score, tried.map((s) => ({ ...s, index: s.index + 10000 * (this.other.value + 1) })));
    const first = tried[0]?.span.from ?? song(Infinity);
    const end = tried[tried.length - 1]?.span.to ?? song(-Infinity);
    return (t) => {
      if (t >= first && t < end) return instead(t);
      const v = base(t);
      return v && t < first ? { ...v, until: song(Math.min(v.until, first)) } : v;
    };
  }

  async #start(mode: Mode, at: SongTime, loop: Span | undefined): Promise<void> {
    try {
      this.ear.value = false;
      await this.#record.start(at, loop);
    } catch (e) {
      this.store.refuse(e);
      return;
    }
    const running = this.mode.value !== "still";
    this.mode.value = mode;
    this.#aim();
    if (!running) frames.each(() => this.#tick());
  }

  #tick(): boolean {
    if (!this.#record.playing) {
      if (this.mode.value !== "still") this.stop();
      return false;
    }
    this.#record.tend();
    const now = this.#record.now();
    this.now.value = now;
    const loop = this.#record.loop;
    const lap = this.#record.laps();
    const at = (t: SongTime, ofLap: number): View | undefined => {
      const score = this.store.score.value;
      const programme = this.turns.value && ofLap % 2 === 1 && score ? this.#cutProgramme(score) : this.#programme;
      const v = programme?.(t);
      return v && { ...v, key: `${ofLap}:${v.key}` };
    };
    const view = at(now, lap);
    this.shows.value = view !== undefined;
    if (view && this.#pictures) {
      const wraps = loop !== undefined && view.until >= loop.to;
      const joint = wraps ? loop.to : view.until;
      const nextAt = wraps ? loop.from : view.until;
      const next = Number.isFinite(joint) ? at(nextAt, wraps ? lap + 1 : lap) : undefined;
      if (view.playable) this.#pictures.follow(view, next?.playable ? { view: next, at: nextAt, wait: joint - now } : undefined);
      else if (this.seen.value?.key !== view.key) this.seen.value = view;
      const { error } = this.#pictures;
      if (performance.now() - this.#lastError > 250) {
        this.#lastError = performance.now();
        this.error.value = error === undefined ? undefined : error * 1000;
      }
    }
    if (this.mode.value === "film") {
      const score = this.store.score.value;
      const row = score && rowAt(score, now);
      if (row && row.index !== this.row.value?.index) this.here.value = { at: firstIn(score, row), pass: undefined };
    }
    return true;
  }

  #still(): void {
    this.#aim();
    const view = this.#programme?.(this.here.value.at);
    this.shows.value = view !== undefined;
    if (!view) {
      this.seen.value = undefined;
      return;
    }
    this.now.value = this.here.value.at;
    if (view.playable && this.#pictures) this.#pictures.still(view, this.here.value.at);
    else this.seen.value = view;
  }
}

/** The first beat of a row, or its start. */
function firstIn(score: Score, row: Row): SongTime {
  const t = beatTime(score, row.firstBeat);
  return row.endBeat > row.firstBeat ? t : row.span.from;
}
