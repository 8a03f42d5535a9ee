import { type ReadonlySignal, batch, computed, signal } from "@preact/signals";
import { indexAt } from "../base/laid";
import { type SongTime, type Span, overlap, song } from "../base/time";
import type { Zoom } from "../sheet/layout";
import { type Row, type Score, type ShotView, type Strand, addressOf, beatTime, rowAt, shotAt } from "../sheet/score";
import type { Store } from "./store";

/** Where the person is: a beat of the song, and a pass or the cut itself. */
export interface Here {
  readonly at: SongTime;
  readonly pass: string | undefined; // undefined: the cut
}

/** How much of the song a decision reaches. */
export type Reach = "line" | "shot" | "bar" | "beat" | "word" | "drawn";

/** What a decision reaches, and how that is said. */
export interface Target {
  readonly span: Span;
  readonly said: string;
}

// A cut lies up to two frames before its beat.
const sameBeat = 0.02;

/** Going about in the song. */
export class Place {
  readonly here = signal<Here>({ at: song(0), pass: undefined });
  readonly zoom = signal<Zoom>("section");
  readonly reach = signal<Reach>("line");
  readonly drawn = signal<Span | undefined>(undefined);

  readonly row: ReadonlySignal<Row | undefined> = computed(() => {
    const score = this.store.score.value;
    return score && rowAt(score, this.here.value.at);
  });
  readonly shot: ReadonlySignal<ShotView | undefined> = computed(() => shotAt(this.store.shots.value, this.here.value.at));
  /** The pass that a decision is about: the one at hand, else the one the cut shows. */
  readonly pass: ReadonlySignal<string | undefined> = computed(() => this.here.value.pass ?? (this.shot.value?.shot.pass || undefined));
  readonly target: ReadonlySignal<Target | undefined> = computed(() => {
    const now = this.#target();
    const same = now && this.#last && now.said === this.#last.said && now.span.from === this.#last.span.from && now.span.to === this.#last.span.to;
    if (!same) this.#last = now;
    return this.#last;
  });
  #last: Target | undefined; // the same target is the same object, so that nothing that hangs on it is made anew

  constructor(private readonly store: Store) {}

  go(to: Partial<Here>): void {
    batch(() => {
      this.here.value = { ...this.here.value, ...to };
      this.drawn.value = undefined;
      if (this.reach.value === "drawn") this.reach.value = "line";
    });
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
    const at = indexAt(
      starts.map((r) => r.index),
      row.index,
    );
    const next = starts[Math.max(0, Math.min(starts.length - 1, at + step))];
    if (next) this.go({ at: firstIn(score, next) });
  }

  beat(step: number): void {
    const score = this.store.score.value;
    if (!score) return;
    const i = indexAt(score.beats, this.here.value.at + sameBeat) + step;
    if (i >= 0 && i < score.beats.length) this.go({ at: beatTime(score, i) });
  }

  cut(step: number): void {
    const shots = this.store.shots.value;
    const i = indexAt(
      shots.map((s) => s.span.from),
      this.here.value.at + 0.001,
    );
    const within = (shots[i]?.span.from ?? 0) < this.here.value.at - 0.1;
    const next = shots[i + (step < 0 && within ? 0 : step)];
    if (next) this.go({ at: next.span.from, pass: undefined });
  }

  /** Up and down the ribbons; above the first lies the cut itself. */
  strand(step: number): void {
    const list = this.strands();
    const i = list.findIndex((s) => s.pass.name === this.here.value.pass) + step;
    if (i >= -1 && i < list.length) this.here.value = { ...this.here.value, pass: list[i]?.pass.name };
  }

  /** The ribbons of a setup, one after the other. */
  setup(number: number): void {
    const group = this.store.score.value?.groups[number - 1];
    const list = this.strands().filter((s) => s.group === group?.index);
    const i = list.findIndex((s) => s.pass.name === this.here.value.pass);
    const next = list[(i + 1) % Math.max(1, list.length)];
    if (next) this.go({ pass: next.pass.name });
  }

  /** The passes that lie under the row at hand. */
  strands(): readonly Strand[] {
    const row = this.row.value;
    if (!row) return [];
    return (this.store.score.value?.strands ?? []).filter((s) => (s.pass.ribbons ?? []).some((r) => overlap(r.span, row.span) > 0.05));
  }

  nearer(step: number): void {
    const all: readonly Zoom[] = ["song", "section", "line"];
    this.zoom.value = all[Math.max(0, Math.min(2, all.indexOf(this.zoom.value) + step))] ?? "section";
  }

  /** Takes the next of line, shot, bar, beat and word as what a decision reaches. */
  widen(): void {
    const all: readonly Reach[] = (this.row.value?.words.length ?? 0) > 0 ? ["line", "shot", "bar", "beat", "word"] : ["line", "shot", "bar", "beat"];
    this.choose(all[(all.indexOf(this.reach.value) + 1) % all.length] ?? "line");
  }

  choose(reach: Reach): void {
    batch(() => {
      this.drawn.value = undefined;
      this.reach.value = reach;
    });
  }

  /** Takes a stretch that was drawn with the pointer. */
  draw(s: Span): void {
    batch(() => {
      this.here.value = { ...this.here.value, at: s.from };
      this.drawn.value = s;
      this.reach.value = "drawn";
    });
  }

  address(): string {
    const score = this.store.score.value;
    return score ? addressOf(score, this.here.value.at) : "";
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
      case "shot":
        return this.shot.value ? { span: this.shot.value.span, said: "" } : whole;
      case "bar": {
        const bar = (score.film.song.bars ?? []).find((b) => at >= b.span.from - sameBeat && at < b.span.to - sameBeat);
        return bar ? { span: bar.span, said: "" } : whole;
      }
      case "beat": {
        const i = indexAt(score.beats, at + sameBeat);
        return { span: { from: beatTime(score, i), to: beatTime(score, i + 1) }, said: row.line < 0 ? "" : addressOf(score, at) };
      }
      case "word": {
        const starts = row.words.map((w) => w.span.from);
        const word = row.words[Math.max(0, indexAt(starts, at + sameBeat))];
        return word ? { span: word.span, said: `“${word.text}” in ${row.name}` } : whole;
      }
      case "drawn":
        return this.drawn.value ? { span: this.drawn.value, said: "" } : whole;
    }
  }
}

/** The first beat of a row, or its start. */
export function firstIn(score: Score, row: Row): SongTime {
  return row.endBeat > row.firstBeat ? beatTime(score, row.firstBeat) : row.span.from;
}
