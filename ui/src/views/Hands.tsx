import { passText } from "../sheet/score";
import { useHeld } from "./hold";
import { Word } from "./Word";
import type { Reach } from "../state/place";

const reaches: readonly Reach[] = ["line", "shot", "bar", "beat", "word"];

/** What can be done here, in words. */
export function Hands() {
  const { desk } = useHeld();
  const playing = desk.player.mode.value;
  const reach = desk.place.reach.value;
  const pass = desk.place.pass.value;
  return (
    <dl class="tw-hands">
      <dt>hear</dt>
      <dd>
        <Word act="play" on={playing === "line"}>
          {playing === "still" ? "the line" : "stop"}
        </Word>
        <Word act="film" on={playing === "film"}>
          the film
        </Word>
        <Word act="turns" on={desk.player.turns.value}>
          by turns
        </Word>
        <Word act="ear" on={desk.player.ear.value}>
          flam ear
        </Word>
      </dd>
      <dt id="tw-reach-name">for the</dt>
      <dd>
        <span class="tw-hands-row" role="radiogroup" aria-labelledby="tw-reach-name">
        {reaches.map((r) => (
          <button
            key={r}
            type="button"
            role="radio"
            aria-checked={reach === r}
            class="tw-word"
            disabled={r === "word" && (desk.place.row.value?.words.length ?? 0) === 0}
            onClick={() => desk.place.choose(r)}
          >
            {r}
          </button>
        ))}
        </span>
        {reach === "drawn" ? <em class="tw-lead">the stretch that was drawn</em> : undefined}
      </dd>
      <dt>decide</dt>
      <dd>
        <Word act="keep" disabled={!pass}>
          show {pass ? passText(pass) : "it"} here
        </Word>
        <Word act="promise" disabled={!pass}>
          promise it
        </Word>
        <Word act="never" disabled={!pass}>
          never here
        </Word>
        <Word act="setup-here" disabled={!pass}>
          this setup
        </Word>
        <Word act="setup-never" disabled={!pass}>
          never this setup
        </Word>
        <Word act="cut">a cut</Word>
        <Word act="no-cut">no cut</Word>
        <Word act="unpin">unpin</Word>
      </dd>
      <dt>ask</dt>
      <dd>
        <Word act="why" disabled={!pass}>
          why
        </Word>
        <Word act="overrule" disabled={!pass}>
          let it stand
        </Word>
        <Word act="others">other ways</Word>
        <Word act="undo">take back</Word>
        <Word act="redo">do again</Word>
      </dd>
      <dt>look</dt>
      <dd>
        <Word act="corners" on={desk.corners.value}>
          corners
        </Word>
        <Word act="large" on={desk.large.value}>
          picture larger
        </Word>
        <Word act="farther">farther</Word>
        <Word act="nearer">nearer</Word>
      </dd>
    </dl>
  );
}
