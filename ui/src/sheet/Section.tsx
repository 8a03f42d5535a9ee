import { useState } from "preact/hooks";
import { useHeld } from "../views/hold";
import { type Score, type ShotView, factsOf } from "./score";

const calm = 6; // seconds, as editors use the words
const restless = 3;

/** A section's name with its pace and what each setup has of it. */
export function Section({ score, index, shots, brief }: { readonly score: Score; readonly index: number; readonly shots: readonly ShotView[]; readonly brief: boolean }) {
  const { store } = useHeld();
  const [open, setOpen] = useState(false);
  const section = score.film.song.sections?.[index];
  if (!section) return undefined;
  const facts = factsOf(shots, section.span);
  const pace = section.pace_s ?? 0;
  const set = (seconds: number): void => {
    setOpen(false);
    void store.edit("pace", { section: index, seconds });
  };
  return (
    <header class="tw-section" data-brief={brief ? "" : undefined}>
      <h2>{section.name}</h2>
      {facts.meanShot > 0 && !brief ? (
        <>
          <button type="button" class="tw-pace" aria-expanded={open} onClick={() => setOpen(!open)}>
            {facts.meanShot.toFixed(1)} s a shot{pace > 0 ? `, wanted ${paceWord(pace)}` : ""}
          </button>
          <p class="tw-shares">
            {facts.shares.slice(0, 6).map((s) => (
              <span key={s.setup}>
                <i>{s.setup}</i> {Math.round(100 * s.share)} %
              </span>
            ))}
          </p>
        </>
      ) : undefined}
      {open ? (
        <form
          class="tw-pace-form"
          onSubmit={(e) => {
            e.preventDefault();
            const value = Number(new FormData(e.currentTarget).get("seconds"));
            if (value > 0) set(value);
          }}
        >
          <button type="button" class="tw-word" aria-pressed={pace === calm} onClick={() => set(calm)}>
            calm, {calm} s
          </button>
          <button type="button" class="tw-word" aria-pressed={pace === restless} onClick={() => set(restless)}>
            restless, {restless} s
          </button>
          <label>
            or <input name="seconds" type="number" min="0.5" max="60" step="0.5" value={pace > 0 ? pace : 4} /> s
          </label>
          <button type="submit" class="tw-word">
            set
          </button>
          <button type="button" class="tw-word" aria-pressed={pace === 0} onClick={() => set(0)}>
            as the film
          </button>
        </form>
      ) : undefined}
    </header>
  );
}

const paceWord = (s: number): string => (s === calm ? `calm, ${s} s` : s === restless ? `restless, ${s} s` : `${s} s`);
