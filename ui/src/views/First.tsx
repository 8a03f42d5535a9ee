import { passText } from "../sheet/score";
import { TakeIn } from "./Clips";
import { useHeld } from "./hold";

/** What is said while something is still missing, in place of what it would give. */
export function First() {
  const { store } = useHeld();
  const film = store.film.value;
  if (!film) {
    const failed = store.said.value?.refused;
    return (
      <div class="tw-first">
        <p class="tw-first-words">{failed ? "The film cannot be opened." : "Opening the film …"}</p>
        {failed ? (
          <button type="button" class="tw-word" onClick={() => void store.load()}>
            try again
          </button>
        ) : undefined}
      </div>
    );
  }
  const missing = film.missing ?? [];
  const busy = store.work.value !== undefined && !store.work.value.ended;
  if (film.record === "")
    return (
      <div class="tw-first">
        <p class="tw-first-words">A film begins with its record.</p>
        <p>
          Give the finished sound to <code>takeweave new</code>, then open its folder here:
        </p>
        <pre>takeweave new slow-ferry --song master.wav{"\n"}takeweave serve slow-ferry</pre>
      </div>
    );
  if (missing.includes("song") && (film.song.lines ?? []).length === 0)
    return (
      <div class="tw-first">
        <p class="tw-first-words">“{film.record}” lies here and has not been heard.</p>
        <p>It takes some seconds to find its beats, lines and sections. All of it can be corrected afterwards.</p>
        <button type="button" class="tw-word tw-strong" disabled={busy} onClick={() => void store.begin({ do: "lineup" })}>
          hear the record
        </button>
      </div>
    );
  return (
    <div class="tw-first">
      <p class="tw-first-words">There is nothing to set yet.</p>
    </div>
  );
}

/** Under the song while there is nothing to see of it. */
export function NoClips() {
  const { store } = useHeld();
  const film = store.film.value;
  if (!film || film.record === "") return undefined;
  const passes = film.passes ?? [];
  const busy = store.work.value !== undefined && !store.work.value.ended;
  const lined = passes.some((p) => p.status === "aligned");
  if (lined) return undefined;
  if (passes.length === 0)
    return (
      <aside class="tw-first tw-first-small">
        <p class="tw-first-words">The song is set. Now the clips.</p>
        <TakeIn />
      </aside>
    );
  if (passes.some((p) => p.status !== "refused" && p.status !== "silent"))
    return (
      <aside class="tw-first tw-first-small">
        <p class="tw-first-words">{busy ? "The passes are being laid on the song." : "The passes wait to be laid on the song."}</p>
        {busy ? undefined : (
          <button type="button" class="tw-word tw-strong" onClick={() => void store.begin({ do: "lineup" })}>
            line them up
          </button>
        )}
      </aside>
    );
  return (
    <aside class="tw-first tw-first-small">
      <p class="tw-first-words">No pass could be laid on the song.</p>
      <p>Each says why under “clips”. Clips without sound need a few seconds of any sound of the playing: switch the camera’s microphone on next time, however bad it is.</p>
      <TakeIn />
    </aside>
  );
}

/** The passes that are not on the sheet, with the reason. */
export function Apart() {
  const { store } = useHeld();
  const apart = store.score.value?.apart ?? [];
  if (apart.length === 0) return undefined;
  return (
    <aside class="tw-apart">
      <h2>Not on the sheet</h2>
      <ul>
        {apart.map((p) => (
          <li key={p.name}>
            <b>{passText(p.name)}</b> <i>{p.status || "waiting"}</i>{p.reason ? `: ${p.reason}` : ""}
          </li>
        ))}
      </ul>
    </aside>
  );
}
