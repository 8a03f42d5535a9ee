import { useEffect, useMemo, useState } from "preact/hooks";
import { KeysPage } from "../views/KeysPage";
import { useHeld } from "../views/hold";
import { Slip } from "../views/Slip";
import { Working } from "../views/Working";
import { titleText } from "../views/Head";
import { Word } from "../views/Word";
import { Begin, beginning } from "./Begin";
import { CoveragePart } from "./CoveragePart";
import { DayPart } from "./DayPart";
import { DefaultsPart } from "./DefaultsPart";
import { goTo, Part } from "./fields";
import { Findings } from "./Findings";
import { PlanningHolder } from "./hold";
import { LightPart } from "./LightPart";
import { MeansPart } from "./MeansPart";
import { Planning } from "./planning";
import { RoomLengths } from "./RoomLengths";
import { RoomPlan } from "./RoomPlan";
import { SetupsPart } from "./SetupsPart";
import { SongPart } from "./SongPart";

const parts: readonly (readonly [string, string])[] = [
  ["room", "room"],
  ["setups", "setups"],
  ["light", "light"],
  ["day", "day"],
  ["coverage", "coverage"],
  ["song", "song"],
  ["means", "cards, hours, kit"],
  ["defaults", "numbers"],
  ["paper", "paper"],
];

/** What is decided before the day: what does not work yet, the room, and all that follows from the plan. */
export function Before() {
  const { store } = useHeld();
  const planning = useMemo(() => new Planning(store), [store]);
  useEffect(() => planning.open(), [planning]);
  const film = store.film.value;
  const ready = planning.plan.value !== undefined && planning.told.value !== undefined;
  const [begins, setBegins] = useState<boolean>();
  const plan = planning.plan.value;
  useEffect(() => {
    if (begins === undefined && plan) setBegins(beginning(plan));
  }, [plan]);
  return (
    <PlanningHolder value={planning}>
      <div class="tw-page tb-page">
        <header class="tw-head">
          <h1>{film ? titleText(film.name) : "takeweave"}</h1>
          <p class="tw-facts">
            <a class="tw-word" href="#">
              the song sheet
            </a>
            <span aria-current="page">before the day</span>
          </p>
          {ready && !begins ? (
            <nav class="tw-head-words" aria-label="parts of the plan">
              {parts.map(([id, words]) => (
                <button key={id} type="button" class="tw-word" onClick={() => goTo(id)}>
                  {words}
                </button>
              ))}
              <Word act="undo">take back</Word>
              <Word act="redo">do again</Word>
              <Word act="keys">keys</Word>
            </nav>
          ) : undefined}
        </header>
        <Working />
        {!ready || begins === undefined ? (
          <main class="tw-first">
            <p class="tw-first-words">Opening the plan …</p>
          </main>
        ) : begins ? (
          <main class="tb-begin-page">
            <Begin onEnough={() => setBegins(false)} />
          </main>
        ) : (
          <main class="tb-spread">
            <div class="tb-left">
              <Findings />
              <Part id="room" words="Room" counts="room">
                <RoomPlan />
                <RoomLengths />
              </Part>
            </div>
            <div class="tb-right">
              <SetupsPart />
              <LightPart />
              <DayPart />
              <CoveragePart />
              <SongPart />
              <MeansPart />
              <DefaultsPart />
              <PrintPages />
            </div>
          </main>
        )}
        <Slip />
        <KeysPage />
      </div>
    </PlanningHolder>
  );
}

const papers: readonly (readonly [string, string])[] = [
  ["call-sheet", "call sheet"],
  ["shot-sheet", "shot sheet"],
  ["room-and-light", "room and light"],
  ["song-sheet", "song sheet"],
  ["packing-list", "packing list"],
  ["charge-list", "charge list"],
];

/** The pages that go on paper: one sheet each. */
function PrintPages() {
  return (
    <Part id="paper" words="On paper" lead="One sheet each, to be printed from the browser; read in dim light.">
      <p class="tb-fields">
        {papers.map(([page, words]) => (
          <a key={page} class="tw-word" href={`/print/${page}`} target="_blank" rel="noopener">
            {words}
          </a>
        ))}
      </p>
    </Part>
  );
}
