import { signal } from "@preact/signals";
import type { Desk } from "../state/desk";
import type { Keys } from "../state/keys";

export const beforeHash = "#before";

/** Whether the page shows what is planned before the day, or the song sheet. */
export const atBefore = signal(location.hash.startsWith(beforeHash));

addEventListener("hashchange", () => (atBefore.value = location.hash.startsWith(beforeHash)));

/** Of the keys of the sheet only those that take back, do again and tell of keys count here. */
export function pressBefore(e: KeyboardEvent, keys: Keys, desk: Desk): boolean {
  const of = keys.action(e.key.toLowerCase())?.id ?? "";
  return ["undo", "redo", "keys"].includes(of) || e.key === "Escape" ? keys.press(e, desk) : false;
}
