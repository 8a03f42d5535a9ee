import { useHeld } from "./hold";

/** A slip of paper with what was said last; read out as it comes. */
export function Slip() {
  const { store, keys } = useHeld();
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
            {!said.refused && said.changes.length > 0 && (store.film.value?.done ?? []).length > 0 ? (
              <button type="button" class="tw-word" onClick={() => void store.undo()}>
                <span>take back</span> <kbd aria-hidden="true">{keys.of("undo").toUpperCase()}</kbd>
              </button>
            ) : undefined}
            <button type="button" class="tw-word" onClick={() => store.hush()}>
              <span>put away</span>
            </button>
          </p>
        </div>
      ) : undefined}
    </div>
  );
}
