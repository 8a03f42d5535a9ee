import { useEffect, useRef, useState } from "preact/hooks";
import { type Hand, actions, keyText } from "../state/keys";
import { type Light, textSizes } from "../state/looks";
import { useHeld } from "./hold";

const hands: readonly { readonly hand: Hand; readonly words: string }[] = [
  { hand: "go", words: "One hand goes through the song" },
  { hand: "judge", words: "The other judges" },
  { hand: "look", words: "The page" },
];

const lights: readonly { readonly light: Light; readonly words: string }[] = [
  { light: "system", words: "as the system" },
  { light: "light", words: "light" },
  { light: "dark", words: "dark" },
];

/** Half a page of keys, to print or to change, and how the page looks. */
export function KeysPage() {
  const { desk, keys, looks } = useHeld();
  const dialog = useRef<HTMLDialogElement>(null);
  const [asking, setAsking] = useState<string>();
  const open = desk.keysOpen.value;
  useEffect(() => {
    const d = dialog.current;
    if (open && d && !d.open) d.showModal();
    if (!open && d?.open) d.close();
  }, [open]);
  const take = (e: KeyboardEvent): void => {
    if (!asking || ["Shift", "Control", "Alt", "Meta", "Tab"].includes(e.key)) return;
    e.preventDefault();
    e.stopPropagation();
    if (e.key !== "Escape") keys.choose(asking, e.key.toLowerCase());
    setAsking(undefined);
  };
  return (
    <dialog class="tw-keys" ref={dialog} aria-labelledby="tw-keys-title" onClose={() => (desk.keysOpen.value = false)} onKeyDown={take} data-takes-keys>
      <h2 id="tw-keys-title">Keys</h2>
      <div class="tw-keys-hands">
        {hands.map((h) => (
          <section key={h.hand}>
            <h3>{h.words}</h3>
            <dl>
              {actions
                .filter((a) => a.hand === h.hand)
                .map((a) => (
                  <div key={a.id}>
                    <dt>
                      <button type="button" aria-label={`${a.words}: ${keyText(keys.of(a.id))}; change`} onClick={() => setAsking(a.id)}>
                        {asking === a.id ? "press" : keyText(keys.of(a.id))}
                      </button>
                    </dt>
                    <dd>{a.words}</dd>
                  </div>
                ))}
              {h.hand === "judge" ? (
                <div>
                  <dt>1 – 9</dt>
                  <dd>ribbons of that setup; 0: the cut</dd>
                </div>
              ) : undefined}
            </dl>
          </section>
        ))}
      </div>
      <p class="tw-quiet tw-not-printed">Arrows go by beat and ribbon, page up and down by line. To give an action another key press the one it has.</p>
      <div class="tw-hand tw-not-printed">
        <span class="tw-lead">light</span>
        {lights.map((l) => (
          <button key={l.light} type="button" class="tw-word" aria-pressed={looks.light.value === l.light} onClick={() => (looks.light.value = l.light)}>
            {l.words}
          </button>
        ))}
      </div>
      <div class="tw-hand tw-not-printed">
        <span class="tw-lead">text</span>
        {textSizes.map((s) => (
          <button key={s} type="button" class="tw-word" aria-pressed={looks.text.value === s} onClick={() => (looks.text.value = s)}>
            {s} %
          </button>
        ))}
      </div>
      <label class="tw-hand tw-not-printed">
        <span class="tw-lead">sound</span>
        <input
          type="range"
          min="0"
          max="1"
          step="0.01"
          value={looks.volume.value}
          onInput={(e) => {
            looks.volume.value = e.currentTarget.valueAsNumber;
            desk.player.volume = looks.volume.value;
          }}
        />
      </label>
      <p class="tw-hand tw-not-printed">
        <button type="button" class="tw-word" onClick={() => print()}>
          print the keys
        </button>
        <button type="button" class="tw-word" onClick={() => keys.reset()}>
          as they were made
        </button>
        <button type="button" class="tw-word" onClick={() => (desk.keysOpen.value = false)}>
          close
        </button>
      </p>
    </dialog>
  );
}
