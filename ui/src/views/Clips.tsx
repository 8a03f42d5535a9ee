import { passText } from "../sheet/score";
import { useHeld } from "./hold";

const statusWords = { aligned: "lined up", refused: "refused", silent: "silent" } as const;

/** Where clips come from, and what became of each pass. */
export function Clips() {
  const { store } = useHeld();
  const film = store.film.value;
  const passes = film?.passes ?? [];
  const small = passes.flatMap((p) => p.files ?? []);
  const missing = small.filter((f) => f.small === "wanted" || f.small === "making").length;
  return (
    <>
      <TakeIn />
      {missing > 0 ? (
        <p class="tw-hand">
          <span class="tw-quiet">
            {missing} of {small.length} clips play only by a small copy.
          </span>
          <button type="button" class="tw-word" onClick={() => void store.begin({ do: "small" })}>
            make small copies
          </button>
        </p>
      ) : undefined}
      <ol class="tw-passes">
        {passes.map((p) => (
          <li key={p.name} data-status={p.status}>
            <b>{passText(p.name)}</b> <i>{statusWords[p.status] ?? "waits to be lined up"}</i> <span class="tw-quiet">{p.reason}</span>
          </li>
        ))}
      </ol>
    </>
  );
}

/** A field for a folder of clips. Nothing is copied or changed there. */
export function TakeIn() {
  const { store } = useHeld();
  const busy = store.work.value !== undefined && !store.work.value.ended;
  return (
    <form
      class="tw-line-form"
      onSubmit={(e) => {
        e.preventDefault();
        const clips = String(new FormData(e.currentTarget).get("clips") ?? "").trim();
        void store.begin({ do: "lineup", ...(clips ? { clips } : {}) });
      }}
    >
      <label class="tw-wide">
        a folder of clips <input name="clips" placeholder="/cards/day1" spellcheck={false} autocomplete="off" autocapitalize="off" />
      </label>
      <button type="submit" class="tw-word" disabled={busy}>
        take them in
      </button>
      <small class="tw-quiet">One folder for each setup is best. The originals stay where they are and are never changed.</small>
    </form>
  );
}
