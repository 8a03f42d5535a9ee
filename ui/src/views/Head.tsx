import { clockText } from "../base/time";
import { beforeHash } from "../before/place";
import type { Zoom } from "../sheet/layout";
import { useHeld } from "./hold";
import { Word } from "./Word";

const zooms: readonly { readonly zoom: Zoom; readonly words: string }[] = [
  { zoom: "song", words: "the whole song" },
  { zoom: "section", words: "by section" },
  { zoom: "line", words: "by line" },
];

/** A folder's name as a title: "slow-ferry-home" is Slow Ferry Home. */
export const titleText = (name: string): string => (name.includes(" ") ? name : name.replace(/[-_]+/g, " ").replace(/(^|\s)\p{L}/gu, (c) => c.toUpperCase()));

/** The head of the sheet, as on printed music: title, tempo, what it is for. */
export function Head() {
  const { store, desk } = useHeld();
  const film = store.film.value;
  const score = store.score.value;
  const order = film?.orders?.find((o) => o.id === store.order.value);
  return (
    <header class="tw-head">
      <h1>{film ? titleText(film.name) : "takeweave"}</h1>
      {film && score ? (
        <p class="tw-facts">
          {film.song.tempo_bpm > 0 ? <span>{Math.round(film.song.tempo_bpm)} to the minute</span> : undefined}
          <span>{clockText(film.song.duration)}</span>
          {score.strands.length > 0 ? (
            <span>
              {score.strands.length} {score.strands.length === 1 ? "pass" : "passes"} of {score.groups.length} {score.groups.length === 1 ? "setup" : "setups"}
            </span>
          ) : undefined}
        </p>
      ) : undefined}
      <div class="tw-head-words" role="group" aria-label="how near">
        {zooms.map((z) => (
          <button key={z.zoom} type="button" class="tw-word" aria-pressed={desk.place.zoom.value === z.zoom && !desk.asList.value} onClick={() => ((desk.asList.value = false), (desk.place.zoom.value = z.zoom))}>
            {z.words}
          </button>
        ))}
        <Word act="list" on={desk.asList.value}>
          list
        </Word>
        {order && order.width > 0 ? (
          <Word act="shape">
            {order.shape} {order.part ?? ""}
            <span class="tw-hidden">, show the next shape</span>
          </Word>
        ) : undefined}
        <a class="tw-word" href={beforeHash}>
          before the day
        </a>
        <Word act="keys">keys</Word>
      </div>
    </header>
  );
}
