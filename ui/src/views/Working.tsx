import { waitText } from "../base/time";
import { useHeld } from "./hold";

/** The work that runs: how far, how long still, and a way to stop it. */
export function Working() {
  const { store } = useHeld();
  const w = store.work.value;
  if (!store.connected.value)
    return (
      <p class="tw-working" role="status" data-away="">
        The program does not answer. What was decided is kept; the page comes back by itself as soon as takeweave runs again.
      </p>
    );
  if (!w || w.ended) return undefined;
  const known = w.total > 0;
  return (
    <div class="tw-working">
      <p role="status">
        <i>{w.stage || "at work"}</i>
        {known ? `, ${Math.floor(w.done)} of ${Math.round(w.total)} ${w.unit}` : ""}
        {w.remaining_s >= 0 && known ? `, ${waitText(w.remaining_s)} still` : ""}
        {w.note ? ` · ${w.note}` : ""}
      </p>
      {known ? <progress max={w.total} value={w.done} aria-label={w.stage} /> : <progress aria-label={w.stage} />}
      <button type="button" class="tw-word" onClick={() => void store.stopWork()}>
        stop
      </button>
    </div>
  );
}
