import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import { api } from "../../api/client";
import type { Effect, Look, Looked, Step } from "../../api/types";
import { isOn, isSet, steps, switched } from "../../look/words";
import { useHeld } from "../hold";
import { Curve } from "./Curve";
import { EdgeStep, ExposureStep, LetterboxStep, WhiteStep } from "./Plain";
import { SlopePower } from "./SlopePower";
import { Tables, takeFile } from "./Tables";

/** What a step is given to show and to try. */
export interface StepProps {
  readonly look: Look;
  readonly told: Looked | undefined;
  readonly onTry: (l: Look) => void;
}

const bodies: { readonly [step in Step]: (p: StepProps) => ComponentChildren } = {
  trim: () => <span class="tw-quiet">what brings each setup to the others: they lie under “trims”</span>,
  exposure: (p) => <ExposureStep {...p} />,
  white: (p) => <WhiteStep {...p} />,
  cdl: (p) => <SlopePower {...p} />,
  curve: (p) => <Curve {...p} />,
  "lut-a": (p) => <Tables {...p} second={false} />,
  "lut-b": (p) => <Tables {...p} second={true} />,
  edge: (p) => <EdgeStep {...p} />,
  letterbox: (p) => <LetterboxStep {...p} />,
};

/** The steps of the look in their fixed order, each with what it does. */
export function Steps() {
  const { store, desk } = useHeld();
  const told = useTold();
  const { look, trims } = desk.grading.now.value;
  const onTry = (l: Look): void => desk.grading.tryLook(l);
  const props = { look, told, onTry };
  return (
    <div
      onDragOver={(e) => e.preventDefault()}
      onDrop={(e) => {
        e.preventDefault();
        const file = e.dataTransfer?.files[0];
        if (file) void takeFile(store, desk.grading, file, (look.lut_a?.file ?? "") !== "");
      }}
    >
      <ol class="tw-steps">
        {steps.map(({ step, words }) => {
          const set = isSet(look, trims, step);
          const on = isOn(look, step);
          return (
            <li key={step} data-off={set && !on ? "" : undefined}>
              <label class="tw-step-name">
                <input type="checkbox" checked={set && on} disabled={!set} onChange={(e) => onTry(switched(look, step, e.currentTarget.checked))} /> {words}
              </label>
              <div class="tw-step-body">{bodies[step](props)}</div>
              <p class="tw-step-does">{set ? doesText(step, on, told?.effects?.find((e) => e.step === step), told) : ""}</p>
            </li>
          );
        })}
      </ol>
      <p class="tw-quiet">
        Each number is how far colours move, in CIEDE2000 over pictures of all passes: on average, and at most. About 1 is the least an attentive eye sees side by side.
        {told ? ` As one table the look is ${told.baked_error.mean.toFixed(2)} off, ${told.baked_error.max.toFixed(2)} at most.` : " Measuring …"}
      </p>
      <p class="tw-hand">
        <button type="button" class="tw-word" disabled={!steps.some((s) => s.step !== "trim" && isSet(look, null, s.step))} onClick={() => onTry({})}>
          no look at all
        </button>
      </p>
    </div>
  );
}

function doesText(step: Step, on: boolean, e: Effect | undefined, told: Looked | undefined): string {
  if (!on) return "off";
  if (step === "letterbox" || step === "trim" || !told) return "";
  if (!e) return "does nothing";
  const numbers = `${e.mean.toFixed(1)}, at most ${e.max.toFixed(1)}`;
  return e.dead ? `dead: ${numbers}, it could be left out` : numbers;
}

/** What the decided look does, asked anew when it changes. */
function useTold(): Looked | undefined {
  const { store, desk } = useHeld();
  const told = useSignal<Looked | undefined>(undefined);
  const { look, trims } = desk.grading.decided.value;
  useEffect(() => {
    const asked = new AbortController();
    api
      .look(asked.signal)
      .then((l) => (told.value = l))
      .catch((e: unknown) => {
        if (!asked.signal.aborted) store.refuse(e);
      });
    return () => asked.abort();
  }, [JSON.stringify([look, trims])]);
  return told.value;
}
