import { useState } from "preact/hooks";
import type { Day } from "./day";
import { Grid, type Item, Screen } from "./parts";
import type { Go } from "./Phone";
import type { DayStrike, Struck } from "./types";

interface Props {
  readonly day: Day;
  readonly go: Go;
}

/** May I strike this? Hold its name. */
export function Strike({ day, go }: Props) {
  const [asked, ask] = useState<DayStrike | undefined>(undefined);
  const [noting, note] = useState(false);
  // The answer may change while it is looked at.
  const answer = day.answer.value?.strikes?.find((s) => s.kind === asked?.kind && s.name === asked.name);
  if (asked && noting) return <TakeDown day={day} what={asked.kind} name={asked.name} close={() => go("day")} />;
  if (asked) return <Answer day={day} answer={answer ?? asked} note={() => note(true)} close={() => ask(undefined)} />;
  const items: Item[] = (day.answer.value?.strikes ?? []).map((s) => ({ word: nameOf(s), hold: () => ask(s), tap: () => day.say("hold it") }));
  return (
    <Screen
      above={
        <>
          <h1>May I strike this? Hold its name.</h1>
          <p role="status">{day.said.value}</p>
        </>
      }
    >
      <Grid items={items} close={() => go("day")} />
    </Screen>
  );
}

const nameOf = (s: DayStrike): string => s.name || "player";

interface AnswerProps {
  readonly day: Day;
  readonly answer: DayStrike;
  readonly note: () => void;
  readonly close: () => void;
}

function Answer({ day, answer, note, close }: AnswerProps) {
  // Of what was not sent the program knows nothing: then no answer is safe.
  const sure = day.current;
  const word = sure ? answer.may : "WAIT";
  const reason = sure ? answer.say.slice(answer.say.indexOf(":") + 1).trim() : "the program has not heard all that was logged";
  const look = sure ? (answer.look ?? []) : [];
  const may = sure && answer.may !== "NO" && answer.kind !== "musician";
  return (
    <main class="told">
      <div class="above">
        <b class="figure" role="status">
          {word}
        </b>
        <p>
          {nameOf(answer)}: {reason}
        </p>
      </div>
      <Grid two items={[look.length > 0 ? { word: "looked at", tap: () => day.looked(look) } : { word: "note it", off: !may, tap: note }]} close={close} />
    </main>
  );
}

const gels = ["none", "¼ CTO", "½ CTO", "CTO", "¼ CTB", "½ CTB", "CTB", "frost", "other"];

interface TakeDownProps {
  readonly day: Day;
  readonly what: string;
  readonly name: string;
  readonly close: () => void;
}

type Draft = { -readonly [K in keyof Struck]: Struck[K] };
const steps = ["photo", "height", "distance", "dial", "gel"] as const;

/** What is needed to set it up again, one thing after another. */
function TakeDown({ day, what, name, close }: TakeDownProps) {
  const [draft, change] = useState<Draft>({ what, name, height_cm: 150, distance_cm: 150, dial: "50 %" });
  const [step, go] = useState(0);
  const set = (some: Partial<Draft>): void => change({ ...draft, ...some });
  const next = (some: Partial<Draft> = {}): void => {
    set(some);
    const last = what === "lamp" ? steps.length - 1 : 2;
    if (step < last) go(step + 1);
    else {
      const { dial, gel, ...rest } = { ...draft, ...some };
      day.strike(what === "lamp" ? { ...rest, ...(dial ? { dial } : {}), ...(gel ? { gel } : {}) } : rest);
      close();
    }
  };
  const shown = { day, name, draft, set, next, close };
  switch (steps[step]) {
    case "photo":
      return <Photo {...shown} />;
    case "height":
      return <Amount {...shown} word="height" unit="cm" value={draft.height_cm ?? 0} put={(v) => ({ height_cm: v })} by={[5, 50]} />;
    case "distance":
      return <Amount {...shown} word="distance" unit="cm" value={draft.distance_cm ?? 0} put={(v) => ({ distance_cm: v })} by={[5, 50]} />;
    case "dial":
      return <Amount {...shown} word="dial" unit="%" value={Number.parseInt(draft.dial ?? "0")} put={(v) => ({ dial: `${Math.min(100, v)} %` })} by={[1, 10]} />;
    default:
      return (
        <Screen above={<h1>{name}: which gel?</h1>}>
          <Grid items={gels.map((gel) => ({ word: gel, tap: () => next({ gel }) }))} />
        </Screen>
      );
  }
}

interface StepProps {
  readonly day: Day;
  readonly name: string;
  readonly draft: Draft;
  readonly set: (some: Partial<Draft>) => void;
  readonly next: (some?: Partial<Draft>) => void;
  readonly close: () => void;
}

function Photo({ day, name, next }: StepProps) {
  const take = (e: Event): void => {
    const file = (e.currentTarget as HTMLInputElement).files?.[0];
    if (file) void day.photo(file).then((photo) => next({ photo }));
  };
  return (
    <Screen above={<h1>{name}: one photo of how it stands.</h1>}>
      <div class="grid two">
        <label class="target">
          <input type="file" accept="image/*" capture="environment" onChange={take} />
          <span>photo</span>
        </label>
        <button type="button" class="target" onClick={() => next()}>
          <span>without</span>
        </button>
      </div>
    </Screen>
  );
}

interface AmountProps extends StepProps {
  readonly word: string;
  readonly unit: string;
  readonly value: number;
  readonly put: (v: number) => Partial<Draft>;
  readonly by: readonly [number, number];
}

function Amount({ name, word, unit, value, put, by, set, next, close }: AmountProps) {
  const add = (n: number): Item => ({ word: `${n > 0 ? "+" : "−"}${Math.abs(n)}`, tap: () => set(put(Math.max(0, value + n))) });
  const [small, large] = by;
  return (
    <Screen
      above={
        <>
          <h1>
            {name}: {word} in {unit}
          </h1>
          <b class="figure">{value}</b>
        </>
      }
    >
      <Grid two items={[add(-large), add(large), add(-small), add(small), { word: "next", tap: () => next() }]} close={close} />
    </Screen>
  );
}
