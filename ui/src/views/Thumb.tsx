import { useHeld } from "./hold";
import { Word } from "./Word";

/** On a phone: the words that the thumb needs. */
export function Thumb() {
  const { desk } = useHeld();
  const pass = desk.place.pass.value;
  return (
    <nav class="tw-thumb" aria-label="at hand">
      <Word act="play" on={desk.player.mode.value !== "still"}>
        {desk.player.mode.value === "still" ? "play" : "stop"}
      </Word>
      <Word act="up">up</Word>
      <Word act="down">down</Word>
      <Word act="why" disabled={!pass}>
        why
      </Word>
      <Word act="keep" disabled={!pass}>
        keep
      </Word>
      <Word act="never" disabled={!pass}>
        never
      </Word>
      <Word run={() => (desk.more.value = !desk.more.value)} on={desk.more.value}>
        more
      </Word>
    </nav>
  );
}
