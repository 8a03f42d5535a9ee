import type { ComponentChildren } from "preact";
import type { Leaf } from "../state/desk";
import { Clips } from "./Clips";
import { Films } from "./Films";
import { useHeld } from "./hold";
import { HereLeaf } from "./HereLeaf";
import { LookLeaf } from "./look/LookLeaf";
import { Others } from "./Others";
import { Setups } from "./Setups";
import { SongLeaf } from "./SongLeaf";
import { Told } from "./Told";

const leaves: readonly { readonly id: Leaf; readonly words: string }[] = [
  { id: "here", words: "here" },
  { id: "others", words: "other ways" },
  { id: "song", words: "the song" },
  { id: "setups", words: "setups" },
  { id: "look", words: "the look" },
  { id: "films", words: "films" },
  { id: "clips", words: "clips" },
  { id: "told", words: "decided" },
];

/** What lies under the picture: one leaf at a time. */
export function Leaves() {
  const { desk } = useHeld();
  const leaf = desk.leaf.value;
  return (
    <section class="tw-leaves">
      <nav class="tw-leaf-names" aria-label="under the picture">
        {leaves.map((l) => (
          <button key={l.id} type="button" aria-pressed={leaf === l.id} onClick={() => (l.id === "others" ? void desk.others() : (desk.leaf.value = l.id))}>
            {l.words}
          </button>
        ))}
      </nav>
      <div class="tw-leaf">{bodyOf(leaf)}</div>
    </section>
  );
}

function bodyOf(leaf: Leaf): ComponentChildren {
  switch (leaf) {
    case "here":
      return <HereLeaf />;
    case "others":
      return <Others />;
    case "song":
      return <SongLeaf />;
    case "setups":
      return <Setups />;
    case "look":
      return <LookLeaf />;
    case "films":
      return <Films />;
    case "clips":
      return <Clips />;
    case "told":
      return <Told />;
  }
}
