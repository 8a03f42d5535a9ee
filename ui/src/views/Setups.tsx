import type { Setup, Shows, Size } from "../api/types";
import { setupsOf } from "../sheet/score";
import { useHeld } from "./hold";

const sizes: readonly Size[] = ["", "wide", "mid", "close", "insert"];
const shows: readonly Shows[] = ["", "lips", "hands", "both", "neither"];

/** What each setup is: its name, size, what must look in sync in it. */
export function Setups() {
  const { store } = useHeld();
  const film = store.film.value;
  if (!film) return undefined;
  const setups = setupsOf(film);
  if (setups.length === 0) return <p class="tw-quiet">There are no setups yet; they come with the clips, one for each folder.</p>;
  return (
    <ol class="tw-setups">
      {setups.map((s) => (
        <SetupRow key={s.name} setup={s} passes={(film.passes ?? []).filter((p) => p.setup === s.name).length} />
      ))}
    </ol>
  );
}

function SetupRow({ setup, passes }: { readonly setup: Setup; readonly passes: number }) {
  const { store } = useHeld();
  const change = (more: Partial<Setup>): void => void store.decide({ do: "setup", setup: { ...setup, ...more } });
  return (
    <li>
      <form
        onSubmit={(e) => {
          e.preventDefault();
          const name = String(new FormData(e.currentTarget).get("name") ?? "").trim();
          if (name !== "" && name !== setup.name) void store.decide({ do: "setup", setup, rename: name });
        }}
      >
        <input name="name" value={setup.name} aria-label="name of the setup" class="tw-setup-name" onBlur={(e) => e.currentTarget.form?.requestSubmit()} />
        <span class="tw-quiet">{passes === 1 ? "1 pass" : `${passes} passes`}</span>
        <label>
          size{" "}
          <select value={setup.size ?? ""} onChange={(e) => change({ size: sizes[e.currentTarget.selectedIndex] ?? "" })}>
            {sizes.map((s) => (
              <option key={s} value={s}>
                {s || "not said"}
              </option>
            ))}
          </select>
        </label>
        <label>
          shows{" "}
          <select value={setup.shows ?? ""} onChange={(e) => change({ shows: shows[e.currentTarget.selectedIndex] ?? "" })}>
            {shows.map((s) => (
              <option key={s} value={s}>
                {s || "not said"}
              </option>
            ))}
          </select>
        </label>
        <label>
          <input type="checkbox" checked={setup.safety ?? false} onChange={(e) => change({ safety: e.currentTarget.checked })} /> opens and closes the film
        </label>
      </form>
    </li>
  );
}
