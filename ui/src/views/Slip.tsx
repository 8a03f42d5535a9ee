import { useHeld } from "./hold";
import { Word } from "./Word";

/** A slip of paper with what was said last; read out as it comes. */
export function Slip() {
  const { store } = useHeld();
  const said = store.said.value;
  return (
    <div class="tw-slip-place" role="status" aria-live="polite" aria-atomic="true">
      {said ? (
        <div class="tw-slip" data-refused={said.refused ? "" : undefined} key={said.number}>
          <p class="tw-slip-words">{said.words}</p>
          {said.hint ? <p class="tw-slip-hint">{said.hint}</p> : undefined}
          {said.changes.length > 0 ? (
            <ul>
              {said.changes.map((c, i) => (
                <li key={i}>{c}</li>
              ))}
            </ul>
          ) : undefined}
          <p class="tw-slip-acts">
            {said.turn === "undo" ? <Word act="undo">take back</Word> : undefined}
            {said.turn === "redo" ? <Word act="redo">do again</Word> : undefined}
            <button type="button" class="tw-word" onClick={() => store.hush()}>
              <span>put away</span>
            </button>
          </p>
        </div>
      ) : undefined}
    </div>
  );
}
