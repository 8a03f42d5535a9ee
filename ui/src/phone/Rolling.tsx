import type { Day } from "./day";
import { Grid, Screen } from "./parts";
import type { Entry } from "./types";

/** While the camera rolls: nothing moves but the clock, and three words end it. */
export function Rolling({ day, pass }: { readonly day: Day; readonly pass: Entry }) {
  const seconds = Math.max(0, Math.floor((day.now.value - (pass.rolling_ms ?? 0)) / 1000));
  const flags = pass.flags_ms ?? [];
  const last = flags.at(-1);
  return (
    <Screen
      above={
        <div class="roll">
          <p>
            {pass.setup} {pass.lines ?? ""}
          </p>
          <b class="figure">{pass.number}</b>
          <b class="figure">{clock(seconds)}</b>
          <p role="status">
            {last === undefined ? "tap here: there!" : `there! ${flags.length} at ${clock(Math.floor((last - (pass.rolling_ms ?? 0)) / 1000))}`}
          </p>
          <button type="button" class="there" onClick={() => day.there()} aria-label="there!" />
        </div>
      }
    >
      <Grid
        two
        items={[
          { word: "Keep", fill: "full", tap: () => day.cut("keep") },
          { word: "Perhaps", fill: "half", tap: () => day.cut("perhaps") },
          { word: "Lost", fill: "hollow", tap: () => day.cut("lost") },
          { word: "undo", tap: () => day.undo() },
        ]}
      />
    </Screen>
  );
}

export const clock = (s: number): string => `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;
