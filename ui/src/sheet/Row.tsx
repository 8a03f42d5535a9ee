import { memo } from "../base/memo";
import type { ReadonlySignal } from "@preact/signals";
import { useEffect, useMemo, useRef } from "preact/hooks";
import { media } from "../api/client";
import type { PinKind } from "../api/types";
import { frames } from "../base/frame";
import { type SongTime, holds, overlap, song, span } from "../base/time";
import { useHeld } from "../views/hold";
import { drawRow } from "./draw";
import type { Inks, Picture } from "./inks";
import { type Plan, type RowPlan, layRow, layWords, placeAt } from "./layout";
import { type Row as RowData, type Score, type ShotView, edgeSeconds, passText } from "./score";
import { stills } from "./stills";
import { Twin } from "./Twin";

export interface RowProps {
  readonly score: Score;
  readonly plan: Plan;
  readonly row: RowData;
  readonly shots: readonly ShotView[]; // those that touch the row
  readonly inks: Inks;
  readonly near: ReadonlySignal<boolean>; // near enough to the window to be drawn
  readonly changed: ReadonlySet<string>;
  readonly wave: Picture["wave"];
  readonly element: (row: number, e: HTMLElement | null) => void;
}

const dragFrom = 5; // CSS pixels
const holdMS = 1000;
const stillWidth = 240; // pixels; one size for all zooms, so that each is made once
const noRoom = 14; // a picture narrower than this is left out

/** One row of the sheet: the words, the cut with its pictures, the ribbons. */
export const Row = memo(function Row(p: RowProps) {
  const { desk } = useHeld();
  const { score, plan, row } = p;
  const lay = useMemo(() => layRow(score, plan, row), [score, plan, row]);
  const strip = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);

  const near = p.near.value;
  useEffect(() => {
    if (!near) return;
    const paint = (): void => {
      const c = canvas.current;
      const g = c?.getContext("2d");
      if (!c || !g) return;
      const w = Math.ceil((lay.width + 2) * plan.density);
      const h = Math.ceil(lay.height * plan.density);
      if (c.width !== w || c.height !== h) {
        c.width = w;
        c.height = h;
        c.style.width = `${w / plan.density}px`;
        c.style.height = `${h / plan.density}px`;
      }
      g.setTransform(plan.density, 0, 0, plan.density, 0, 0);
      drawRow(g, { score, plan, inks: p.inks, shots: p.shots, wave: p.wave }, row, lay);
    };
    frames.spread(paint);
    return () => frames.forget(paint);
  }, [near, lay, p.inks, p.shots, p.wave]);

  const press = (e: PointerEvent): void => {
    const box = strip.current?.getBoundingClientRect();
    if (!box || e.button !== 0 || (e.target as Element).closest("button")) return;
    const x0 = e.clientX - box.left;
    const y0 = e.clientY - box.top;
    let drawn = false;
    let held = false;
    const timeAt = (x: number): SongTime => song(Math.min(row.span.to - 0.001, Math.max(row.span.from, lay.scale.time(x))));
    const move = (m: PointerEvent): void => {
      const x = m.clientX - box.left;
      if (!drawn && (held || Math.abs(x - x0) < dragFrom || m.pointerType === "touch")) return;
      drawn = true;
      clearTimeout(hold);
      const a = beatUnder(score, row, timeAt(Math.min(x, x0)));
      const b = beatUnder(score, row, timeAt(Math.max(x, x0)));
      desk.place.draw(span(a.from, b.to));
    };
    const touch = (): void => {
      const t = beatUnder(score, row, timeAt(x0)).from;
      const place = y0 > lay.cut.y + lay.cut.height ? placeAt(lay, y0) : undefined;
      if (place && plan.zoom !== "song") desk.player.touch(t, place.strand.pass.name);
      else desk.place.go({ at: t, pass: undefined });
    };
    // A ribbon that is held plays by turns with the cut.
    const hold = setTimeout(() => {
      held = true;
      desk.player.turns.value = true;
      touch();
    }, holdMS);
    const done = (m: PointerEvent): void => {
      clearTimeout(hold);
      window.removeEventListener("pointermove", move);
      window.removeEventListener("pointerup", done);
      window.removeEventListener("pointercancel", done);
      if (!drawn && !held && m.type !== "pointercancel") touch();
    };
    window.addEventListener("pointermove", move);
    window.addEventListener("pointerup", done);
    window.addEventListener("pointercancel", done);
  };

  const current = desk.place.row.value?.index === row.index;
  return (
    <li class="tw-row" ref={(e: HTMLElement | null) => p.element(row.index, e)} data-row={row.index} data-zoom={plan.zoom} data-current={current ? "" : undefined}>
      <div
        class="tw-strip"
        ref={strip}
        onPointerDown={press}
        onDblClick={() => desk.place.nearer(1)}
        style={{ height: `${lay.height}px`, width: `${Math.max(lay.width, plan.columnWidth)}px` }}
      >
        <canvas class="tw-drawing" ref={canvas} aria-hidden="true" />
        <h3 class="tw-address" style={{ top: `${lay.words.y}px`, height: `${lay.words.height}px`, width: `${lay.label}px` }}>
          <button type="button" onClick={() => desk.place.go({ at: beatUnder(score, row, row.span.from).from, pass: undefined })} aria-current={current ? "location" : undefined}>
            {shortName(row, plan)}
            <span class="tw-hidden">{row.text === "" ? ", no words" : `, ${row.text}`}</span>
          </button>
        </h3>
        <Lyric plan={plan} row={row} lay={lay} family={p.inks.serif} />
        {near && lay.cut.height > 0 ? p.shots.map((s) => <ShotPicture key={s.index} s={s} p={p} lay={lay} />) : undefined}
        {plan.zoom === "song" ? <Differences shots={p.shots} row={row} lay={lay} changed={p.changed} /> : undefined}
      </div>
      {current ? <Twin score={score} row={row} shots={p.shots} hidden /> : undefined}
    </li>
  );
});

function shortName(row: RowData, plan: Plan): string {
  if (row.line < 0) return row.name;
  const at = row.name.lastIndexOf(".");
  return plan.zoom === "song" || row.name.length > 8 ? row.name.slice(at + 1) : row.name;
}

/** The beat that holds t; where there are no beats, the row. */
function beatUnder(score: Score, row: RowData, t: SongTime): { readonly from: SongTime; readonly to: SongTime } {
  for (let i = row.endBeat - 1; i >= row.firstBeat; i--) {
    const at = score.beats[i];
    if (at !== undefined && at <= t) return { from: song(at), to: song(Math.min(score.beats[i + 1] ?? row.span.to, row.span.to)) };
  }
  return { from: row.span.from, to: song(score.beats[row.firstBeat] ?? row.span.to) };
}

const measure = (() => {
  let g: CanvasRenderingContext2D | undefined;
  const known = new Map<string, number>();
  return (text: string, font: string): number => {
    const key = font + text;
    let w = known.get(key);
    if (w === undefined) {
      g ??= document.createElement("canvas").getContext("2d") ?? undefined;
      if (g) g.font = font;
      w = g?.measureText(text).width ?? text.length * 10;
      known.set(key, w);
    }
    return w;
  };
})();

const lyricSizes = { song: 0.86, section: 1.32, line: 1.85 } as const;

/** The words over their beats; as plain text where they would not fit so. */
function Lyric({ plan, row, lay, family }: { readonly plan: Plan; readonly row: RowData; readonly lay: RowPlan; readonly family: string }) {
  const style = { top: `${lay.words.y}px`, height: `${lay.words.height}px` };
  if (row.text === "") return row.line < 0 || plan.zoom === "song" ? undefined : <p class="tw-lyric tw-lyric-none" style={{ ...style, left: `${lay.label}px` }} />;
  const full = lyricSizes[plan.zoom] * plan.rem;
  const room = plan.columnWidth - lay.label;
  const whole = measure(row.text, `${full}px ${family}`);
  const size = whole > room ? full * Math.max(0.5, room / whole) : full;
  for (let size = full; plan.zoom !== "song" && row.words.length > 0 && size > full * 0.6; size *= 0.92) {
    const font = `${size}px ${family}`;
    const xs = layWords(
      row.words.map((w) => lay.scale.px(w.span.from)),
      row.words.map((w) => measure(w.text, font)),
      measure(" ", font),
      lay.width,
    );
    if (xs)
      return (
        <p class="tw-lyric" style={{ ...style, fontSize: `${size}px` }} aria-hidden="true">
          {row.words.map((w, i) => (
            <span key={i} class="tw-sung" style={{ left: `${xs[i] ?? 0}px` }}>
              {w.text}
            </span>
          ))}
        </p>
      );
  }
  return (
    <p class="tw-lyric" style={{ ...style, left: `${lay.label}px`, fontSize: `${size}px` }} aria-hidden="true">
      {row.text}
    </p>
  );
}

function ShotPicture({ s, p, lay }: { readonly s: ShotView; readonly p: RowProps; readonly lay: RowPlan }) {
  const { desk } = useHeld();
  const { row, plan, score } = p;
  const from = song(Math.max(s.span.from, row.span.from));
  const to = song(Math.min(s.span.to, row.span.to));
  const left = lay.scale.px(from);
  const width = lay.scale.px(to) - left - 2;
  if (width < 2) return undefined;
  const begins = s.span.from >= row.span.from - edgeSeconds;
  const speed = s.shot.speed || 1;
  const at = s.shot.source_start_s + (from - s.span.from + 0.2) * speed;
  const pins = s.pins.length > 0 ? ", pinned" : "";
  const classes = ["tw-shot"];
  if (p.changed.has(s.key)) classes.push("tw-glows");
  if (s.differs) classes.push("tw-differs");
  if (!begins) classes.push("tw-goes-on");
  if (s.pins.some((i) => stays(score.film.pins?.[i]?.kind))) classes.push("tw-pinned");
  classes.push(`tw-is-${s.state}`);
  const label = s.shot.pass === "" ? "nothing" : passText(s.shot.pass);
  return (
    <button
      type="button"
      tabIndex={-1}
      class={classes.join(" ")}
      style={{ left: `${left}px`, top: `${lay.cut.y}px`, width: `${width}px`, height: `${lay.cut.height}px` }}
      aria-label={`${label}${pins}${s.differs ? ", other than in the whole film" : ""}: ${s.shot.why}`}
      onClick={() => (plan.zoom === "song" ? desk.place.go({ at: from, pass: undefined }) : desk.player.touch(beatUnder(score, row, song(from + 0.02)).from, undefined))}
    >
      {s.shot.pass !== "" && width > noRoom ? (
        <Still url={media.still(s.shot.pass, at, stillWidth)} />
      ) : undefined}
      {plan.zoom !== "song" && width > 34 ? <span class="tw-shot-name">{begins ? label : `… ${label}`}</span> : undefined}
    </button>
  );
}

/** Whether a pin of a kind keeps a shot as it is. */
const stays = (kind: PinKind | undefined): boolean => kind === "show-pass" || kind === "show-setup" || kind === "cut";

function Still({ url }: { readonly url: string }) {
  const img = useRef<HTMLImageElement>(null);
  useEffect(() => {
    if (img.current) stills.show(img.current, url);
  }, [url]);
  useEffect(() => {
    const e = img.current;
    return () => {
      if (e) stills.forget(e);
    };
  }, []);
  return <img ref={img} alt="" decoding="async" draggable={false} />;
}

/** In the whole song, changed and differing shots are marked under their bars. */
function Differences({ shots, row, lay, changed }: { readonly shots: readonly ShotView[]; readonly row: RowData; readonly lay: RowPlan; readonly changed: ReadonlySet<string> }) {
  return (
    <>
      {shots
        .filter((s) => (s.differs || changed.has(s.key)) && overlap(s.span, row.span) > 0)
        .map((s) => {
          const a = lay.scale.px(song(Math.max(s.span.from, row.span.from)));
          const b = lay.scale.px(song(Math.min(s.span.to, row.span.to)));
          return <i key={s.index} class={changed.has(s.key) ? "tw-mark tw-glows" : "tw-mark tw-differs"} style={{ left: `${a}px`, width: `${b - a}px`, top: `${lay.cut.y}px`, height: `${lay.height - lay.cut.y - 4}px` }} />;
        })}
    </>
  );
}

export const shotsIn = (shots: readonly ShotView[], row: RowData): readonly ShotView[] => shots.filter((s) => overlap(s.span, row.span) > edgeSeconds || (holds(row.span, s.span.from) && s.span.to < row.span.to));
