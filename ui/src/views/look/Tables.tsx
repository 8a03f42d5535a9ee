import { api } from "../../api/client";
import type { Layer, Look } from "../../api/types";
import type { Grading } from "../../state/grading";
import type { Store } from "../../state/store";
import { useHeld } from "../hold";
import { Slide } from "./Slide";
import type { StepProps } from "./Steps";

/** A table of the film's folder of looks, and how strongly it is laid on. */
export function Tables({ look, told, onTry, second }: StepProps & { readonly second: boolean }) {
  const { store, desk } = useHeld();
  const layer = (second ? look.lut_b : look.lut_a) ?? {};
  const change = (l: Layer): void => onTry(withLayer(look, second, l));
  const name = second ? "second table" : "table";
  return (
    <>
      <select aria-label={name} value={layer.file ?? ""} onChange={(e) => change(e.currentTarget.value === "" ? {} : { ...layer, file: e.currentTarget.value, strength: layer.strength ?? 1 })}>
        <option value="">none</option>
        {(store.film.value?.luts ?? []).map((f) => (
          <option key={f} value={f}>
            {f}
          </option>
        ))}
      </select>
      <label class="tw-word tw-file">
        bring a file
        <input
          type="file"
          class="tw-hidden"
          aria-label={`bring a file for the ${name}`}
          accept=".cube,.clf,.spi1d,.spi3d"
          onChange={(e) => {
            const file = e.currentTarget.files?.[0];
            e.currentTarget.value = "";
            if (file) void takeFile(store, desk.grading, file, second);
          }}
        />
      </label>
      {layer.file ? <Slide words="laid on by" unit="%" value={100 * (layer.strength ?? 0)} from={0} to={100} step={1} onTry={(v) => change({ ...layer, strength: v / 100 })} /> : undefined}
      {second && layer.file ? (
        <span class="tw-hands-row" role="radiogroup" aria-label="how the second table lies">
          {(["over", "beside"] as const).map((p) => (
            <button key={p} type="button" role="radio" class="tw-word" aria-checked={(look.lut_b_placing || "over") === p} onClick={() => onTry({ ...look, lut_b_placing: p })}>
              {p} the first
            </button>
          ))}
          {told?.apart ? (
            <span class="tw-quiet">
              the two are {told.apart.mean.toFixed(1)} apart, {told.apart.max.toFixed(1)} at most
            </span>
          ) : undefined}
        </span>
      ) : undefined}
    </>
  );
}

function withLayer(look: Look, second: boolean, layer: Layer): Look {
  return second ? { ...look, lut_b: layer } : { ...look, lut_a: layer };
}

/** Takes a table file into the film and lays it on. */
export async function takeFile(store: Store, grading: Grading, file: File, second: boolean): Promise<void> {
  try {
    const taken = await api.takeLUT({ name: file.name, text: await file.text() });
    const warnings = taken.warnings ?? [];
    if (warnings.length > 0) store.say({ words: `${taken.name} may not fit`, changes: warnings, refused: false });
    grading.tryLook(withLayer(grading.now.value.look, second, { file: taken.name, strength: second ? 0.3 : 1 }));
  } catch (e) {
    store.refuse(e);
  }
}
