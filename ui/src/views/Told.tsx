import { useHeld } from "./hold";
import { Word } from "./Word";

/** All that was decided, in words; what undo takes back and redo brings again. */
export function Told() {
  const { store } = useHeld();
  const film = store.film.value;
  const done = film?.done ?? [];
  const undone = film?.undone ?? [];
  return (
    <>
      <p class="tw-hand">
        <Word act="undo" disabled={done.length === 0}>
          take back
        </Word>
        <Word act="redo" disabled={undone.length === 0}>
          do again
        </Word>
      </p>
      {done.length + undone.length === 0 ? <p class="tw-quiet">Nothing has been decided yet.</p> : undefined}
      <ol class="tw-told">
        {[...undone].reverse().map((w, i) => (
          <li key={`u${i}`} class="tw-undone">
            <s>{w}</s>
          </li>
        ))}
        {[...done].reverse().map((w, i) => (
          <li key={`d${i}`}>{w}</li>
        ))}
      </ol>
    </>
  );
}
