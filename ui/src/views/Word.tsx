import type { ComponentChildren } from "preact";
import { keyText } from "../state/keys";
import { useHeld } from "./hold";

/** A word that does something, with its key beside it. The page has no signs, only words. */
export function Word(p: {
  readonly act?: string; // of an action: its key is shown and it is run
  readonly run?: () => void;
  readonly on?: boolean; // of one that can be on
  readonly disabled?: boolean;
  readonly children: ComponentChildren;
}) {
  const { desk, keys } = useHeld();
  const key = p.act ? keys.of(p.act) : "";
  const run = p.run ?? (() => keys.action(key)?.run(desk));
  return (
    <button type="button" class="tw-word" onClick={run} disabled={p.disabled ?? false} aria-pressed={p.on} aria-keyshortcuts={key ? keyText(key) : undefined}>
      <span>{p.children}</span>
      {key ? <kbd aria-hidden="true">{keyText(key)}</kbd> : undefined}
    </button>
  );
}
