import { passText } from "../sheet/score";
import { Hands } from "./Hands";
import { useHeld } from "./hold";

/** What is decided here and why it is so. */
export function HereLeaf() {
  const { desk, store } = useHeld();
  const why = desk.judge.why.value;
  const shot = desk.place.shot.value;
  const pins = desk.judge.pins();
  return (
    <>
      <Hands />
      {why ? (
        <p class="tw-why" role="status">
          <b>{passText(why.pass)}</b>: {why.words}
          {why.overrulable ? " You may let it stand all the same." : ""}
        </p>
      ) : shot && desk.place.here.value.pass === undefined && shot.shot.why !== "" ? (
        <p class="tw-why">
          {shot.shot.pass === "" ? "Nothing is shown: " : "Chosen: "}
          {shot.shot.why}
        </p>
      ) : undefined}
      {pins.length > 0 ? (
        <ul class="tw-pins" aria-label="pins here">
          {pins.map((p) => (
            <li key={p.id}>
              {p.words}{" "}
              <button type="button" class="tw-word" onClick={() => void store.decide({ do: "unpin", id: p.id })} aria-label={`take out ${p.words}`}>
                take out
              </button>
            </li>
          ))}
        </ul>
      ) : undefined}
    </>
  );
}
