import { media } from "../../api/client";
import { useHeld } from "../hold";
import { Still, useInstants } from "./stills";

/** The six instants that are hardest for the look, side by side with it. */
export function Hardest() {
  const { desk, store } = useHeld();
  const instants = useInstants();
  if (!instants) return <p class="tw-quiet">measuring the shots of the cut …</p>;
  if (instants.length === 0) return <p class="tw-quiet">There is no cut yet to choose from.</p>;
  const split = desk.grading.split.value;
  return (
    <>
      <ol class="tw-hardest">
        {instants.map((n) => (
          <li key={n.name}>
            <button type="button" onClick={() => desk.place.go({ at: n.song_s, pass: n.pass })} aria-label={`go to ${n.name}, ${n.address}`}>
              <Still instant={n} {...(split === undefined ? {} : { split })} />
            </button>
            <p>
              <b>{n.name}</b> <span class="tw-quiet">{n.address}, {n.why}</span>
            </p>
          </li>
        ))}
      </ol>
      <p class="tw-hand">
        <a class="tw-word" href={media.lookSheet(store.order.value)} download="look.html">
          a sheet to send: before and after
        </a>
      </p>
    </>
  );
}
