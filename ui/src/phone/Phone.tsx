import { useState } from "preact/hooks";
import { Added, Card, Lamps, Loop, More, Notes, Setups, Voice } from "./Choose";
import type { Day } from "./day";
import { Leaving, PutBack, Why } from "./Leaving";
import { Ready } from "./Ready";
import { Rolling } from "./Rolling";
import { Strike } from "./Strike";

const pages = { setup: Setups, loop: Loop, strike: Strike, note: Notes, more: More, add: Added, lamps: Lamps, card: Card, voice: Voice, leaving: Leaving, "put back": PutBack, why: Why };

export type Page = keyof typeof pages | "day";
export type Go = (page: Page) => void;

/** The page of the day. A pass that rolls is always in front. */
export function Phone({ day }: { readonly day: Day }) {
  const [page, go] = useState<Page>("day");
  const pass = day.running.value;
  document.documentElement.dataset["hand"] = day.left.value ? "left" : "right";
  if (pass) return <Rolling day={day} pass={pass} />;
  if (page === "day") return <Ready day={day} go={go} />;
  const Shown = pages[page];
  return <Shown day={day} go={go} />;
}
