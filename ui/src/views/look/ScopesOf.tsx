import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { api } from "../../api/client";
import type { Levels, Reading, Scopes } from "../../api/types";
import { passTime } from "../../play/programme";
import { useHeld } from "../hold";

/** The instant that is shown, in pictures and numbers. */
export function ScopesOf() {
  const { desk, store } = useHeld();
  const graded = useSignal(true);
  const found = useSignal<Scopes | undefined>(undefined);
  const view = desk.player.seen.value;
  const pass = desk.passNamed(view?.pass);
  const still = desk.player.mode.value === "still";
  const at = view && passTime(view, desk.place.here.value.at);
  const { look, trims } = desk.grading.decided.value;
  const trim = (pass && trims[pass.setup]) || {};
  const ask = { pass: pass?.name ?? "", at_s: Math.max(0, at ?? 0), ...(graded.value ? { look, trim } : {}) };
  useEffect(() => {
    if (!pass || !still) return;
    const asked = new AbortController();
    const wait = setTimeout(() => {
      api
        .scopes(ask as Parameters<typeof api.scopes>[0], asked.signal)
        .then((s) => (found.value = s))
        .catch((e: unknown) => {
          if (!asked.signal.aborted) store.refuse(e);
        });
    }, 200); // not for every place that is only passed
    return () => (clearTimeout(wait), asked.abort());
  }, [JSON.stringify(ask), still]);
  const s = found.value;
  if (!pass) return <p class="tw-quiet">Nothing is shown here.</p>;
  return (
    <>
      <p class="tw-hand" role="group" aria-label="what is measured">
        <button type="button" class="tw-word" aria-pressed={graded.value} onClick={() => (graded.value = true)}>
          with the look
        </button>
        <button type="button" class="tw-word" aria-pressed={!graded.value} onClick={() => (graded.value = false)}>
          as filmed
        </button>
        {s ? undefined : <span class="tw-quiet">measuring …</span>}
      </p>
      {s ? (
        <>
          <div class="tw-scopes">
            <figure>
              <img src={s.waveform} alt="waveform: brightness at each place from left to right" />
              <figcaption>waveform</figcaption>
            </figure>
            <figure>
              <img src={s.vectorscope} alt="vectorscope: which colours there are, and how strong" />
              <figcaption>vectorscope</figcaption>
            </figure>
            <figure>
              <img src={s.histogram} alt="histogram: how often each brightness occurs" />
              <figcaption>histogram</figcaption>
            </figure>
          </div>
          <ul class="tw-levels">
            <LevelWords levels={s.levels} graded={graded.value} />
            {s.face ? <FaceWords face={s.face.reading} /> : <li class="tw-quiet">no face is known here</li>}
          </ul>
        </>
      ) : undefined}
    </>
  );
}

const percent = (v: number, digits = 1): string => `${(100 * v).toFixed(digits)} %`;
const each = (t: readonly [number, number, number]): string => `red ${percent(t[0])}, green ${percent(t[1])}, blue ${percent(t[2])}`;

function LevelWords({ levels, graded }: { readonly levels: Levels; readonly graded: boolean }) {
  return (
    <>
      <li>
        brightness from {percent(levels.low, 0)} to {percent(levels.high, 0)}, half of it below {percent(levels.median, 0)}
      </li>
      <li>clipped at white: {each(levels.clipped_high)}</li>
      <li>clipped at black: {each(levels.clipped_low)}</li>
      <li>
        {percent(levels.out_of_range, 2)} lies beyond −5 to 105 %: {levels.within_r103 ? "within" : "beyond"} the 1 % of EBU R 103{graded && !levels.within_r103 ? "; the film is held within black and white, so drawing is lost there" : ""}
      </li>
    </>
  );
}

function FaceWords({ face }: { readonly face: Reading }) {
  return (
    <li>
      the face stands at {percent(face.luma, 0)}, {Math.abs(face.stops_over).toFixed(1)} stops {face.stops_over < 0 ? "under" : "over"} a grey card; its hue at {face.hue.toFixed(0)}°,{" "}
      {face.skin_sector ? "where skin is expected" : "beside the wide sector of skin, 105° to 135°: look at the white balance"}
    </li>
  );
}
