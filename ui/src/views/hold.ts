import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { Desk } from "../state/desk";
import type { Keys } from "../state/keys";
import type { Looks } from "../state/looks";
import type { Store } from "../state/store";

/** What every view may hold on to. */
export interface Held {
  readonly store: Store;
  readonly desk: Desk;
  readonly keys: Keys;
  readonly looks: Looks;
}

const context = createContext<Held | undefined>(undefined);

export const Holder = context.Provider;

export function useHeld(): Held {
  const held = useContext(context);
  if (!held) throw new Error("a view outside of the page");
  return held;
}
