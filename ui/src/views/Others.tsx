import { passText } from "../sheet/score";
import { useHeld } from "./hold";
import { Word } from "./Word";

/** Other ways to show the stretch, tried by walking up and down. */
export function Others() {
  const { desk } = useHeld();
  const others = desk.judge.others.value;
  if (!others) return <p class="tw-quiet">looking for other ways …</p>;
  if (others.length === 0) return <p class="tw-quiet">There is no other way here that differs to the eye: nothing else agrees, or pins leave no room.</p>;
  return (
    <>
      <ol class="tw-others">
        <li data-at-hand={desk.judge.other.value < 0 ? "" : undefined}>
          <button type="button" onClick={() => desk.try(-1 - desk.judge.other.value)}>
            as it is
          </button>
        </li>
        {others.map((o, i) => (
          <li key={i} data-at-hand={desk.judge.other.value === i ? "" : undefined}>
            <button type="button" aria-current={desk.judge.other.value === i ? "true" : undefined} onClick={() => desk.try(i - desk.judge.other.value)}>
              <b>{[...new Set((o.shots ?? []).map((s) => passText(s.pass)))].join(", then ") || passText(o.pass)}</b> {o.cost}
              {(o.words ?? []).length > 0 ? <small>{(o.words ?? []).join("; ")}</small> : undefined}
            </button>
          </li>
        ))}
      </ol>
      <p class="tw-hand">
        <Word act="up">up</Word>
        <Word act="down">down</Word>
        <Word act="keep" disabled={desk.judge.other.value < 0}>
          take this one
        </Word>
      </p>
    </>
  );
}
