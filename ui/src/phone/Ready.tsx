import type { Day } from "./day";
import { Grid, Screen, Target } from "./parts";
import { Bars } from "./shapes";
import type { Go } from "./Phone";

/** Between passes: what to ask for, how far the song is, and one huge button. */
export function Ready({ day, go }: { readonly day: Day; readonly go: Go }) {
  const s = day.state.value;
  const setup = s.setup || "no setup";
  const lens = day.answer.value?.setups?.find((u) => u.name === s.setup)?.lens ?? "";
  return (
    <Screen
      above={
        <>
          <p class="ask">{advice(day)}</p>
          <div class="pass">
            <p>
              <span class="cutoff">{`${setup} ${lens}`.trim()}</span>
              <span class="cutoff" role="status">
                {news(day)}
              </span>
            </p>
            <b class="figure" aria-label={`next pass ${s.next}`}>
              {s.next}
            </b>
          </div>
          <Bars lines={day.answer.value?.lines ?? []} />
          <Facts day={day} />
        </>
      }
    >
      <Target
        big
        item={{
          word: "Rolling",
          tap: () => (s.setup ? day.rolling() : go("setup")),
        }}
      />
      <Grid
        items={[
          { word: "setup", tap: () => go("setup") },
          { word: "loop", on: day.loop.value !== "", tap: () => go("loop") },
          { word: "strike", tap: () => go("strike") },
          { word: "undo", off: !day.canUndo, tap: () => day.undo() },
          { word: "note", off: !day.last, tap: () => go("note") },
          { word: "more", tap: () => go("more") },
        ]}
      />
    </Screen>
  );
}

/** The one sentence: what to ask for next. */
function advice(day: Day): string {
  if (day.link.refused.value) return "Scan the code again: this phone is not known.";
  if (day.state.value.setup === "") return "Choose a setup, then let it roll.";
  if (day.ask.value) return day.ask.value.say;
  if (day.unplanned > 0) return `No setup is meant for ${day.unplanned} lines.`;
  return day.answer.value?.lines?.length ? "Nothing is owed." : "Log the passes; the song comes later.";
}

/** What is new, in a few words. */
function news(day: Day): string {
  const waits = day.link.waiting.value;
  if (day.said.value) return day.said.value;
  if (!day.link.connected.value) return waits > 0 ? `${waits} to send` : "offline";
  if (day.loop.value) return `loop ${day.loop.value}`;
  const last = day.last;
  return last?.verdict ? `${last.number}: ${last.verdict}` : "";
}

function Facts({ day }: { readonly day: Day }) {
  const f = day.figures.value;
  const whole = (n: number | undefined): string => (n === undefined ? "–" : String(Math.floor(n)));
  const facts = [
    [whole(f.minutesLeft), "min"],
    [whole(f.passesLeft), "on card"],
    [`${f.voice}/${day.answer.value?.full_voice ?? 12}`, "voice"],
  ] as const;
  return (
    <dl class="facts">
      {facts.map(([value, word]) => (
        <div key={word}>
          <dt>{word}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
