import { useEffect, useRef } from "preact/hooks";
import { media } from "../api/client";
import type { Order, Pass } from "../api/types";
import { indexAt } from "../base/laid";
import { boxOf } from "../play/box";
import { type View, ribbonAt } from "../play/programme";
import { type Row, passText } from "../sheet/score";
import { useHeld } from "./hold";
import { Card } from "./look/Card";
import { Graded } from "./look/Graded";
import { Split } from "./look/Split";

/** The one picture. */
export function Plate() {
  const { desk, store } = useHeld();
  const a = useRef<HTMLVideoElement>(null);
  const b = useRef<HTMLVideoElement>(null);
  const still = useRef<HTMLImageElement>(null);
  useEffect(() => {
    if (a.current && b.current) desk.player.attach(a.current, b.current);
  }, []);
  const seen = desk.player.seen.value;
  const pass = desk.passNamed(seen?.pass);
  const file = pass?.files?.find((f) => f.clip === seen?.clip);
  const error = desk.player.ahead.value;
  const standIn = seen && !seen.playable;
  return (
    <figure class="tw-plate">
      <div class="tw-plate-picture" data-playing={desk.player.mode.value === "still" ? undefined : ""} data-ahead-ms={error?.toFixed(1)} onClick={() => desk.player.press()}>
        <div class="tw-plate-frame">
          <video class="tw-screen" ref={a} tabIndex={-1} aria-hidden="true" disablePictureInPicture />
          <video class="tw-screen" ref={b} tabIndex={-1} aria-hidden="true" disablePictureInPicture />
          {standIn ? <img ref={still} class="tw-screen tw-screen-seen" src={media.still(seen.pass, desk.place.here.value.at * seen.speed + seen.slip, 960)} alt="" onLoad={() => desk.grading.turn.value++} /> : undefined}
          <Graded videos={[a, b]} still={still} />
          <Split />
          {pass ? <Card pass={pass} /> : undefined}
          {desk.corners.value && pass && seen ? <Corners pass={pass} view={seen} orders={store.film.value?.orders ?? []} /> : undefined}
          {standIn ? (
            <p class="tw-plate-word">
              {file?.small === "making" ? "a small copy is being made" : "this browser cannot play the clip"}
              {file?.small === "wanted" ? (
                <button type="button" class="tw-word" onClick={(e) => (e.stopPropagation(), void store.begin({ do: "small" }))}>
                  make small copies
                </button>
              ) : undefined}
            </p>
          ) : undefined}
          {desk.player.shows.value ? undefined : <p class="tw-plate-word tw-plate-hole">{(store.cut.value?.cut.shots ?? []).length > 0 ? "nothing can be shown here" : "no picture yet"}</p>}
        </div>
      </div>
      <Caption />
    </figure>
  );
}

/** What is seen, said in one line like the caption of a plate in a book. */
function Caption() {
  const { desk, store } = useHeld();
  const score = store.score.value;
  const row = desk.place.row.value;
  if (!score || !row) return <figcaption class="tw-caption" />;
  const { at, pass } = desk.place.here.value;
  const shot = desk.place.shot.value;
  const name = pass ?? shot?.shot.pass ?? "";
  const known = desk.passNamed(name);
  return (
    <figcaption class="tw-caption">
      <div class="tw-said-here" aria-live={desk.player.mode.value === "film" ? "off" : "polite"}>
      <h2 class="tw-where">
        <span class="tw-where-line">{row.line < 0 ? row.name : row.name}</span>
        {row.line < 0 ? undefined : <span class="tw-where-beat">/{Math.max(1, indexAt(score.beats, at + 0.02) - row.firstBeat + 1)}</span>}
      </h2>
      <p class="tw-what">
        {name === "" ? (
          (store.cut.value?.cut.shots ?? []).length > 0 ? <b>nothing</b> : ""
        ) : (
          <>
            {pass === undefined ? "the cut shows " : ""}
            <b>{passText(name)}</b>
            {known ? <StateWords pass={known} at={at} line={row.line} row={row} /> : undefined}
          </>
        )}
        {shot?.differs && pass === undefined ? <u> other than in the whole film</u> : undefined}
      </p>
      </div>
      <p class="tw-heard">
        {desk.player.reading.value ? `reading ${desk.player.reading.value} … ` : ""}
        {desk.player.turns.value ? "by turns with the cut. " : ""}
        {desk.player.ear.value ? "left: the record, right: the pass. " : ""}
        {desk.player.mode.value !== "still" && desk.player.ahead.value !== undefined ? aheadText(desk.player.ahead.value) : ""}
      </p>
    </figcaption>
  );
}

const together = 20; // ms: half a frame of the slowest rates in use

function aheadText(ms: number): string {
  const whole = Math.round(ms);
  return Math.abs(whole) <= together ? "picture and record together" : `picture ${Math.abs(whole)} ms ${whole > 0 ? "before" : "after"} the record`;
}

function StateWords({ pass, at, line, row }: { readonly pass: Pass; readonly at: number; readonly line: number; readonly row: Row }) {
  const { store } = useHeld();
  const score = store.score.value;
  const ribbon = ribbonAt(pass, row.span);
  if (!score || !ribbon) return <> is not here</>;
  const cell = ribbon.cells?.[indexAt(score.beats, at + 0.02) - ribbon.first];
  const lay = ribbon.lays?.[line];
  const state = !cell ? ", not here at this beat" : cell.state === "holds" ? `, holds ${Math.min(cell.hold_s, 99).toFixed(1)} s from here` : `, ${cell.state}${cell.why ? `: ${cell.why}` : ""}`;
  return (
    <>
      {state}
      {lay && line >= 0 ? `; parts by ${Math.round(lay.worst_ms)} ms at most in this line${lay.fits ? "" : ", more than the setup bears"}` : ""}
    </>
  );
}

/** Thin corners of each ordered shape; a shape that a shot is cut to has its own. */
function Corners({ pass, view, orders }: { readonly pass: Pass; readonly view: View; readonly orders: readonly Order[] }) {
  const { store, desk } = useHeld();
  const w = pass.width || 16;
  const h = pass.height || 9;
  const shapes = [...new Map(orders.map((o) => [o.shape, o])).values()];
  const active = orders.find((o) => o.id === store.order.value)?.shape;
  return (
    <svg class="tw-corners" viewBox={`0 0 ${w} ${h}`} aria-hidden="true">
      {shapes.map((o) => {
        const r = boxOf(pass, o, o.shape === active ? view : undefined, desk.player.now.value);
        if (!r || (r.w > 0.995 * w && r.h > 0.995 * h)) return undefined;
        const l = 0.05 * Math.min(w, h);
        const path = [
          [r.x, r.y, 1, 1],
          [r.x + r.w, r.y, -1, 1],
          [r.x, r.y + r.h, 1, -1],
          [r.x + r.w, r.y + r.h, -1, -1],
        ]
          .map(([x = 0, y = 0, sx = 1, sy = 1]) => `M${x + sx * l} ${y}H${x}V${y + sy * l}`)
          .join("");
        return (
          <g key={o.shape} class={o.shape === active ? "tw-corner tw-corner-active" : "tw-corner"}>
            <path d={path} stroke-width={h / 220} />
            <text x={r.x + h * 0.018} y={r.y + h * 0.05} font-size={h * 0.036}>
              {o.shape}
            </text>
          </g>
        );
      })}
    </svg>
  );
}
