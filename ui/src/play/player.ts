import { effect, signal, untracked } from "@preact/signals";
import type { Pass } from "../api/types";
import { frames } from "../base/frame";
import { indexAt } from "../base/laid";
import { type SongTime, type Span, song, span } from "../base/time";
import { type Row, type Score, beatTime, passText, rowAt, shotsOf } from "../sheet/score";
import type { Judge } from "../state/judge";
import { type Place, firstIn } from "../state/place";
import type { Store } from "../state/store";
import { type Next, Pictures } from "./pictures";
import { type Programme, type View, cutProgramme, instead, passProgramme, slipOf } from "./programme";
import { RecordPlayer } from "./record";

/** Nothing plays, a line goes round, or the film runs on. */
export type Mode = "still" | "line" | "film";

const doubleTapMS = 320;
const runInBeats = 2;
const saidEveryMS = 250;

/** Playing: the record is heard, what is at hand is seen with it. */
export class Player {
  readonly mode = signal<Mode>("still");
  readonly now = signal<SongTime>(song(0));
  readonly seen = signal<View | undefined>(undefined);
  /** False where nothing can be seen at all. */
  readonly shows = signal(true);
  readonly turns = signal(false); // pass and cut by turns
  readonly ear = signal(false); // record left, pass right
  readonly tapped = signal<readonly number[]>([]);
  /** What sound is being read, in words; "" when none. */
  readonly reading = signal("");
  /** Milliseconds by which the picture is ahead of the record, now and then. */
  readonly ahead = signal<number | undefined>(undefined);

  readonly #record = new RecordPlayer();
  #pictures: Pictures | undefined;
  #programme: Programme | undefined;
  #row: number | undefined; // of the loop
  #starts = 0; // how often it was started
  #pressed = 0;
  #said = 0;

  constructor(
    private readonly store: Store,
    private readonly place: Place,
    private readonly judge: Judge,
  ) {
    // Whatever is at hand, tried or decided anew is what is seen from now on.
    effect(() => {
      void store.score.value;
      void store.shots.value;
      void judge.others.value;
      void judge.other.value;
      void place.here.value;
      untracked(() => this.#moved());
    });
  }

  /** Takes the two pictures of the page. */
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

  /** Reads the record before it is asked for, so that the first key sounds at once. */
  warm(): void {
    this.reading.value = "the record";
    void this.#record
      .read()
      .catch((e: unknown) => this.store.refuse(e))
      .finally(() => (this.reading.value = ""));
  }

  /** Once the line goes round, again stops it, twice quickly the film plays on from here. */
  press(): void {
    const t = performance.now();
    const twice = t - this.#pressed < doubleTapMS;
    this.#pressed = twice ? 0 : t;
    if (twice) void this.film();
    else if (this.mode.value === "still") void this.line();
    else this.stop();
  }

  /** A ribbon is touched: that pass, from one beat before. */
  touch(at: SongTime, pass: string | undefined): void {
    const score = this.store.score.value;
    if (!score) return;
    this.place.go({ at, pass });
    void this.line(beatTime(score, indexAt(score.beats, at + 0.02) - 1));
  }

  /** Plays the line round and round, with a run-in. */
  async line(from?: SongTime): Promise<void> {
    const score = this.store.score.value;
    const row = this.place.row.value;
    if (!score || !row) return;
    const first = indexAt(score.beats, row.span.from + 0.02);
    const loop = span(Math.max(0, beatTime(score, first - runInBeats)), row.span.to);
    this.#row = row.index;
    await this.#start("line", song(Math.max(loop.from, Math.min(from ?? loop.from, loop.to - 0.2))), loop);
  }

  async film(): Promise<void> {
    const { at } = this.place.here.value;
    await this.#start("film", at, undefined);
    this.place.here.value = { at, pass: undefined };
  }

  stop(): void {
    const at = this.#record.now();
    const was = this.mode.value;
    this.#record.stop();
    this.#pictures?.pause();
    this.mode.value = "still";
    this.ear.value = false;
    const score = this.store.score.value;
    if (was === "film" && score) this.place.go({ at: beatTime(score, Math.max(0, indexAt(score.beats, at))) });
    this.#still();
  }

  async flamEar(): Promise<void> {
    if (this.ear.value) {
      this.#record.deafen();
      this.ear.value = false;
      return;
    }
    const row = this.place.row.value;
    const pass = this.#passNamed(this.place.pass.value);
    if (!row || !pass) return;
    if (this.mode.value !== "line") await this.line();
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

  #passNamed(name: string | undefined): Pass | undefined {
    return (this.store.film.value?.passes ?? []).find((p) => p.name === name);
  }

  #moved(): void {
    this.#aim();
    switch (this.mode.value) {
      case "still":
        this.#still();
        return;
      case "line":
        if (this.ear.value) {
          this.ear.value = false;
          this.#record.deafen();
        }
        if (this.place.row.value?.index !== this.#row) void this.line();
        return;
      case "film": {
        const score = this.store.score.value;
        const heard = score && rowAt(score, this.#record.now());
        if (this.#record.playing && heard && heard.index !== this.place.row.value?.index) void this.film();
        return;
      }
    }
  }

  /** Makes what is at hand the programme. */
  #aim(): void {
    const score = this.store.score.value;
    const row = this.place.row.value;
    if (!score || !row) return;
    const pass = this.mode.value === "film" ? undefined : this.#passNamed(this.place.here.value.pass);
    this.#programme = pass ? passProgramme(pass, row) : this.#cut(score);
  }

  /** The cut, or what is tried instead. */
  #cut(score: Score): Programme {
    const base = cutProgramme(score, this.store.shots.value);
    const cut = this.store.cut.value;
    const { tried } = this.judge;
    if (!tried || !cut) return base;
    return instead(score, base, shotsOf({ ...cut, cut: { ...cut.cut, shots: tried.shots }, states: null, pinned: null, differs: null }), `${this.judge.other.value}`);
  }

  async #start(mode: Mode, at: SongTime, loop: Span | undefined): Promise<void> {
    const running = this.mode.value !== "still";
    this.mode.value = mode;
    this.ear.value = false;
    this.#starts++;
    try {
      await this.#record.start(at, loop);
    } catch (e) {
      this.mode.value = "still";
      this.store.refuse(e);
      return;
    }
    if (this.mode.peek() === "still") {
      this.#record.stop(); // it was stopped before it began
      return;
    }
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
    this.#follow(now);
    if (this.mode.value === "film") this.#turnPage(now);
    return true;
  }

  #follow(now: SongTime): void {
    const { loop } = this.#record;
    const lap = this.#record.laps();
    const view = this.#at(now, lap);
    this.shows.value = view !== undefined;
    if (!this.#pictures) return;
    if (!view) {
      const next = this.#afterHole(now, lap);
      if (next) this.#pictures.getReady(next);
      return;
    }
    if (!view.playable) {
      if (this.seen.value?.key !== view.key) this.seen.value = view;
      return;
    }
    const wraps = loop !== undefined && view.until >= loop.to;
    const joint = wraps ? loop.to : view.until;
    const at = wraps ? loop.from : view.until;
    const next = Number.isFinite(joint) ? this.#at(at, wraps ? lap + 1 : lap) : undefined;
    this.#pictures.follow(view, next?.playable ? { view: next, at, wait: joint - now } : undefined);
    if (performance.now() - this.#said > saidEveryMS) {
      this.#said = performance.now();
      const { error } = this.#pictures;
      this.ahead.value = error === undefined ? undefined : error * 1000;
    }
  }

  /** What is to be seen at a time of a lap; each start and each lap is a picture of its own. */
  #at(t: SongTime, lap: number): View | undefined {
    const score = this.store.score.value;
    const programme = this.turns.value && lap % 2 === 1 && score ? this.#cut(score) : this.#programme;
    const v = programme?.(t);
    return v && { ...v, key: `${this.#starts}.${lap}:${v.key}` };
  }

  /** The shot that follows where nothing is shown. */
  #afterHole(now: SongTime, lap: number): Next | undefined {
    const shot = this.store.shots.value.find((s) => s.span.from > now && s.shot.pass !== "");
    const view = shot && this.#at(shot.span.from, lap);
    return shot && view?.playable ? { view, at: shot.span.from, wait: shot.span.from - now } : undefined;
  }

  /** While the film runs, the row that is heard is the one at hand. */
  #turnPage(now: SongTime): void {
    const score = this.store.score.value;
    const row: Row | undefined = score && rowAt(score, now);
    if (score && row && row.index !== this.place.row.value?.index) this.place.here.value = { at: firstIn(score, row), pass: undefined };
  }

  #still(): void {
    this.#aim();
    const { at } = this.place.here.value;
    const view = this.#programme?.(at);
    this.shows.value = view !== undefined;
    if (!view) {
      this.seen.value = undefined;
      return;
    }
    this.now.value = at;
    if (view.playable && this.#pictures) this.#pictures.still(view, at);
    else this.seen.value = view;
  }
}
