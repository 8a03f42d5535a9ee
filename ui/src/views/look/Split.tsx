import { useHeld } from "../hold";

const places = 200;

/** The line between before and after on the large picture, moved by mouse and keys. */
export function Split() {
  const { split } = useHeld().desk.grading;
  const at = split.value;
  if (at === undefined) return undefined;
  return (
    <div class="tw-split" onClick={(e) => e.stopPropagation()}>
      <span class="tw-split-line" style={{ left: `${100 * at}%` }} />
      <span class="tw-split-word">as filmed</span>
      <span class="tw-split-word tw-split-after">with the look</span>
      <input
        type="range"
        min={0}
        max={places}
        value={Math.round(at * places)}
        aria-label="line between as filmed, to its left, and with the look"
        onInput={(e) => (split.value = Number(e.currentTarget.value) / places)}
      />
    </div>
  );
}
