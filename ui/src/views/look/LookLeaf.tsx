import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { canPaint } from "../../look/press";
import { useHeld } from "../hold";
import { Word } from "../Word";
import { Hardest } from "./Hardest";
import { Pair } from "./Pair";
import { ScopesOf } from "./ScopesOf";
import { Steps } from "./Steps";
import { Trims } from "./Trims";

const parts: readonly { readonly words: string; readonly body: () => ComponentChildren }[] = [
  { words: "steps", body: () => <Steps /> },
  { words: "trims", body: () => <Trims /> },
  { words: "hardest instants", body: () => <Hardest /> },
  { words: "blind pair", body: () => <Pair /> },
  { words: "scopes", body: () => <ScopesOf /> },
];

/** The look of the film: its steps, and how to see whether it is right. */
export function LookLeaf() {
  const { desk } = useHeld();
  const part = useSignal(0);
  return (
    <div class="tw-look">
      <p class="tw-hand" role="group" aria-label="the look">
        {parts.map((p, i) => (
          <button key={p.words} type="button" class="tw-word" aria-pressed={part.value === i} onClick={() => (part.value = i)}>
            {p.words}
          </button>
        ))}
        <span class="tw-look-split">
          <Word act="split" on={desk.grading.split.value !== undefined}>
            before and after
          </Word>
        </span>
      </p>
      {canPaint() ? undefined : <p class="tw-no-room">This browser cannot paint the look: it has no WebGL 2. Pictures are seen as filmed; the films have the look all the same.</p>}
      {parts[part.value]?.body()}
    </div>
  );
}
