import type { File, Pass, Ribbon } from "../api/types";
import { passAt } from "../base/laid";
import { type PassTime, type SongTime, type Span, frameSeconds, overlap, song } from "../base/time";
import type { Row, Score, ShotView } from "../sheet/score";
import { shotAt } from "../sheet/score";

/** What is to be seen for a while: one stretch of one file at one slip. */
export interface View {
  readonly key: string; // another key is another picture
  readonly clip: number;
  readonly playable: boolean; // by the browser
  readonly pass: string;
  readonly slip: number; // file time = song time · speed + offset
  readonly speed: number;
  readonly offset: number;
  readonly until: SongTime; // song time at which another view follows
  readonly frame: number; // seconds that a frame of the film lasts
  readonly shot: ShotView | undefined;
}

export const fileTime = (v: View, t: SongTime): number => t * v.speed + v.offset;

/** Says what is seen at a song time. */
export type Programme = (t: SongTime) => View | undefined;

export function ribbonAt(pass: Pass, s: Span): Ribbon | undefined {
  let best: Ribbon | undefined;
  let most = 0;
  for (const r of pass.ribbons ?? []) {
    const common = overlap(r.span, s);
    if (common > most) [best, most] = [r, common];
  }
  return best;
}

/** The slip at which a pass would be cut into a row. */
export function slipOf(pass: Pass, row: Row): number | undefined {
  const ribbon = ribbonAt(pass, row.span);
  if (!ribbon) return undefined;
  const lay = ribbon.lays?.[row.line];
  if (lay) return lay.slip_s;
  const middle = song((Math.max(row.span.from, ribbon.span.from) + Math.min(row.span.to, ribbon.span.to)) / 2);
  const at = passAt(ribbon.knots ?? [], middle);
  return at === undefined ? undefined : at - middle;
}

function viewOf(pass: Pass, slip: number, speed: number, offset: number, t: SongTime, until: SongTime, fps: string, tag: string, shot: ShotView | undefined): View | undefined {
  const at = t * speed + offset;
  const files: readonly File[] = pass.files ?? [];
  const file = files.find((f) => at >= f.at_s && at < f.at_s + f.seconds) ?? files[0];
  if (!file) return undefined;
  const ends = song((file.at_s + file.seconds - offset) / speed);
  return {
    key: `${tag}${pass.name}:${file.clip}:${offset.toFixed(4)}`,
    clip: file.clip,
    playable: file.small === "none" || file.small === "ready",
    pass: pass.name,
    slip,
    speed,
    offset: offset - file.at_s,
    until: song(ends > t ? Math.min(ends, until) : until),
    frame: frameSeconds(fps),
    shot,
  };
}

/** One pass under one row, at the slip that a shot of that row would have. */
export function passProgramme(pass: Pass, row: Row): Programme {
  const slip = slipOf(pass, row) ?? 0;
  return (t) => viewOf(pass, slip, 1, slip, t, song(Infinity), pass.fps, "", undefined);
}

/** The cut, shot by shot. */
export function cutProgramme(score: Score, shots: readonly ShotView[]): Programme {
  const passes = new Map((score.film.passes ?? []).map((p) => [p.name, p]));
  return (t) => {
    const s = shotAt(shots, t);
    const pass = s && passes.get(s.shot.pass);
    if (!s || !pass) return undefined;
    const speed = s.shot.speed || 1;
    const offset = s.shot.source_start_s - s.span.from * speed;
    return viewOf(pass, offset, speed, offset, t, s.span.to, pass.fps, `${s.index}:`, s);
  };
}

/** Other shots within their stretch, the base around them. */
export function instead(score: Score, base: Programme, shots: readonly ShotView[], tag: string): Programme {
  const tried = cutProgramme(score, shots);
  const first = shots[0]?.span.from ?? song(Infinity);
  const end = shots[shots.length - 1]?.span.to ?? song(-Infinity);
  return (t) => {
    if (t >= first && t < end) {
      const v = tried(t);
      return v && { ...v, key: `${tag}?${v.key}` };
    }
    const v = base(t);
    return v && t < first ? { ...v, until: song(Math.min(v.until, first)) } : v;
  };
}

/** The moment of the pass that a view shows at a song time. */
export const passTime = (v: View, t: SongTime): PassTime => Math.max(0, t * v.speed + v.slip) as PassTime;
