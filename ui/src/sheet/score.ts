import type { Cut, Film, Line, Pass, Section, Setup, Shot, Word } from "../api/types";
import { indexAt } from "../base/laid";
import { frameSeconds, type SongTime, type Span, lengthOf, overlap, song, span } from "../base/time";

/** One row of the sheet: a line of the song, or a stretch without one. */
export interface Row {
  readonly index: number;
  readonly line: number; // -1: no line
  readonly name: string; // "A2.3"
  readonly section: number; // -1: none
  readonly span: Span;
  readonly text: string;
  readonly words: readonly Word[];
  readonly firstBeat: number;
  readonly endBeat: number; // exclusive
}

/** A pass that lies on the song. */
export interface Strand {
  readonly index: number; // place in Score.strands
  readonly group: number;
  readonly pass: Pass;
  readonly label: string; // within its group
}

export interface Group {
  readonly index: number;
  readonly setup: Setup;
  readonly strands: readonly Strand[];
  /** How many of its passes hold, are in doubt, are refused; place 0 is before the first beat. */
  readonly worth: readonly Worth[];
}

export interface Worth {
  readonly holds: number;
  readonly doubts: number;
  readonly refused: number;
}

/** The film as the sheet lays it out. */
export interface Score {
  readonly film: Film;
  readonly rows: readonly Row[];
  readonly beats: readonly number[]; // times
  readonly groups: readonly Group[];
  readonly strands: readonly Strand[];
  readonly apart: readonly Pass[]; // silent or refused
  readonly longest: number; // seconds of the longest row
}

/** How the sheet sees a shot of the cut. */
export interface ShotView {
  readonly index: number;
  readonly key: string; // same key: the viewer sees the same
  readonly span: Span;
  readonly shot: Shot;
  readonly state: string;
  readonly pins: readonly number[];
  readonly differs: boolean;
}

// Two frames: a cut may lie so far before its beat.
const sameBeat = 0.02;
/** A cut lies up to two frames before its beat, and so before its row; seconds. */
export const edgeSeconds = 0.1;
// Gaps between lines shorter than this belong to nobody's row.
const leastGap = 0.5;

export function scoreOf(film: Film): Score {
  const beats = (film.song.beats ?? []).map((b) => b.at as number);
  const rows = rowsOf(film, beats);
  const groups: Group[] = [];
  const strands: Strand[] = [];
  const aligned = (film.passes ?? []).filter((p) => p.status === "aligned" && (p.ribbons ?? []).length > 0);
  for (const setup of setupsOf(film)) {
    const mine = aligned.filter((p) => p.setup === setup.name);
    if (mine.length === 0) continue;
    const group = groups.length;
    const of = mine.map((pass, i): Strand => ({ index: strands.length + i, group, pass, label: labelOf(pass.name, setup.name) }));
    strands.push(...of);
    groups.push({ index: group, setup, strands: of, worth: worthOf(mine, beats.length) });
  }
  const apart = (film.passes ?? []).filter((p) => !aligned.includes(p));
  const longest = rows.reduce((most, r) => Math.max(most, lengthOf(r.span)), 1);
  return { film, rows, beats, groups, strands, apart, longest };
}

/** The setups in their order, and any that only passes name. */
export function setupsOf(film: Film): readonly Setup[] {
  const known = [...(film.setups ?? [])];
  for (const p of film.passes ?? []) if (!known.some((s) => s.name === p.setup)) known.push({ name: p.setup });
  return known;
}

function worthOf(passes: readonly Pass[], beats: number): readonly Worth[] {
  const out = Array.from({ length: beats + 1 }, () => ({ holds: 0, doubts: 0, refused: 0 }));
  for (const pass of passes) {
    for (const r of pass.ribbons ?? []) {
      (r.cells ?? []).forEach((c, i) => {
        const at = out[r.first + i + 1];
        if (!at) return;
        if (c.state === "holds") at.holds++;
        else if (c.state === "doubtful") at.doubts++;
        else at.refused++;
      });
    }
  }
  return out;
}

/** A pass as it is called on the page: "hands/C0015.MP4" is hands C0015. */
export const passText = (pass: string): string => pass.replace(/\.[A-Za-z0-9]{2,4}(?=$|[ #])/g, "").replaceAll("/", " ");

function labelOf(pass: string, setup: string): string {
  const name = passText(pass);
  const rest = name.startsWith(setup) ? name.slice(setup.length).replace(/^[\s/_.-]+/, "") : name;
  return rest === "" ? name : rest;
}

export const lineName = (line: Line, sections: readonly Section[]): string => `${sections[line.section]?.name ?? "?"}.${line.number}`;

function rowsOf(film: Film, beats: readonly number[]): readonly Row[] {
  const { song: s } = film;
  const lines = s.lines ?? [];
  const sections = s.sections ?? [];
  const longest = lines.reduce((most, l) => Math.max(most, lengthOf(l.span)), 8);
  const rows: Row[] = [];
  const add = (line: number, name: string, at: Span): void => {
    const l = lines[line];
    const firstBeat = indexAt(beats, at.from - sameBeat) + 1;
    rows.push({
      index: rows.length,
      line,
      name,
      section: l?.section ?? -1,
      span: at,
      text: l?.text ?? "",
      words: l?.words ?? [],
      firstBeat,
      endBeat: Math.max(firstBeat, indexAt(beats, at.to - sameBeat) + 1),
    });
  };
  const gap = (from: number, to: number, name: string): void => {
    if (to - from < leastGap) return;
    const pieces = Math.ceil((to - from) / (longest * 1.05));
    let start = from;
    for (let i = 1; i <= pieces; i++) {
      const wanted = from + ((to - from) * i) / pieces;
      const beat = beats[indexAt(beats, wanted)];
      const end = i === pieces || beat === undefined || beat <= start ? wanted : beat;
      add(-1, name, span(start, end));
      start = end;
    }
  };
  let at = 0;
  lines.forEach((l, i) => {
    gap(at, l.span.from, i === 0 ? "intro" : "between");
    add(i, lineName(l, sections), l.span);
    at = l.span.to;
  });
  if (s.duration > 0) gap(at, s.duration, lines.length > 0 ? "end" : "song");
  return rows;
}

export function shotsOf(cut: Cut): readonly ShotView[] {
  const seconds = frameSeconds(cut.cut.fps);
  const start = cut.cut.song_from_s ?? 0;
  return (cut.cut.shots ?? []).map((shot, index) => ({
    index,
    key: `${shot.first_frame}-${shot.end_frame}-${shot.pass}-${shot.source_start_s.toFixed(3)}`,
    span: span(start + shot.first_frame * seconds, start + shot.end_frame * seconds),
    shot,
    state: cut.states?.[index] ?? "holds",
    pins: cut.pinned?.[index] ?? [],
    differs: cut.differs?.[index] ?? false,
  }));
}

export const shotAt = (shots: readonly ShotView[], t: SongTime): ShotView | undefined => shots[indexAt(shots.map((s) => s.span.from), t)];

export function rowAt(score: Score, t: SongTime): Row | undefined {
  return score.rows[Math.max(0, indexAt(score.rows.map((r) => r.span.from), t + 1e-9))];
}

/** The song address, "A2.3/4". */
export function addressOf(score: Score, t: SongTime): string {
  const row = rowAt(score, t);
  if (!row) return "";
  const beat = indexAt(score.beats, t + sameBeat) - row.firstBeat + 1;
  return row.line < 0 ? row.name : `${row.name}/${Math.max(1, beat)}`;
}

/** Time of a beat; before the first and after the last, the ends of the song. */
export function beatTime(score: Score, i: number): SongTime {
  if (i < 0) return song(0);
  return song(score.beats[i] ?? score.film.song.duration);
}

export interface SectionFacts {
  readonly meanShot: number; // seconds, 0 without shots
  readonly shares: readonly { readonly setup: string; readonly share: number }[];
}

/** Pace and share per setup of a stretch. */
export function factsOf(shots: readonly ShotView[], at: Span): SectionFacts {
  const seconds = new Map<string, number>();
  let count = 0;
  let all = 0;
  for (const s of shots) {
    const common = overlap(s.span, at);
    if (common <= 0) continue;
    count += common / Math.max(lengthOf(s.span), 1e-6);
    all += common;
    const shown = s.shot.file === "" ? "nothing" : s.shot.setup || "setup not named";
    seconds.set(shown, (seconds.get(shown) ?? 0) + common);
  }
  const shares = [...seconds].map(([setup, s]) => ({ setup, share: s / all })).sort((a, b) => b.share - a.share);
  return { meanShot: count > 0 ? all / count : 0, shares };
}
