import { useState } from "preact/hooks";
import type { Day, Verdict } from "./day";
import { Grid, type Item, Screen } from "./parts";
import type { Go } from "./Phone";

interface Props {
  readonly day: Day;
  readonly go: Go;
}

/** Setups that most days have; those of the film come before them. */
const usualSetups = ["wide", "face", "hands", "insert", "room"];

function setupsOf(day: Day): string[] {
  return [...new Set([...(day.answer.value?.setups ?? []).map((s) => s.name), day.state.value.setup, ...usualSetups])].filter((s) => s !== "");
}

export function Setups({ day, go }: Props) {
  const choose = (name: string) => (): void => {
    day.setSetup(name);
    go("day");
  };
  return (
    <Screen above={<h1>Which setup stands?</h1>}>
      <Grid items={[...setupsOf(day).map((name) => ({ word: name, on: name === day.state.value.setup, tap: choose(name) }))]} close={() => go("day")} />
    </Screen>
  );
}

/** The lines that the next passes loop: as advised, or from one line to another. */
export function Loop({ day, go }: Props) {
  const [section, setSection] = useState("");
  const [from, setFrom] = useState("");
  const set = (lines: string): void => {
    day.setLoop(lines);
    go("day");
  };
  const lines = day.answer.value?.lines ?? [];
  const asked = (day.answer.value?.asks ?? []).find((a) => a.lines && a.setup === day.state.value.setup)?.lines;
  const whole: Item = { word: "whole song", on: day.loop.value === "", tap: () => set("") };
  if (section === "") {
    const advised: Item[] = asked ? [{ word: asked, tap: () => set(asked) }] : [];
    return (
      <Screen above={<h1>{asked ? "Loop as advised, or which section?" : "Loop in which section?"}</h1>}>
        <Grid
          items={[whole, ...advised, ...[...new Set(lines.map((l) => l.section))].map((s) => ({ word: s, tap: () => setSection(s) }))]}
          close={() => go("day")}
        />
      </Screen>
    );
  }
  const choose = (name: string): void => {
    if (from === "") setFrom(name);
    else set(from === name ? name : [from, name].sort((a, b) => place(a) - place(b)).join("-"));
  };
  const place = (name: string): number => lines.findIndex((l) => l.name === name);
  return (
    <Screen above={<h1>{from === "" ? "From which line?" : `From ${from} to which line?`}</h1>}>
      <Grid
        key={section}
        items={[...lines.filter((l) => l.section === section).map((l) => ({ word: l.name, on: l.name === from, tap: () => choose(l.name) }))]}
        close={() => setSection("")}
      />
    </Screen>
  );
}

/** Words for notes; "looked at" says that focus and playback are good. */
const noteWords = ["looked at", "soft", "late", "wrong word", "wrong chord", "noise", "lovely", "out of frame", "flare", "new light", "new lens", "false start"];

export function Notes({ day, go }: Props) {
  const choose = (word: string) => (): void => {
    day.note(word);
    go("day");
  };
  const pass = day.last;
  return (
    <Screen
      above={
        <>
          <h1>{pass ? `Pass ${pass.number}, ${pass.setup}:` : "No pass yet"}</h1>
          <p>{pass?.notes?.join(", ")}</p>
        </>
      }
    >
      <Grid items={noteWords.map((word) => ({ word, tap: choose(word) }))} close={() => go("day")} />
    </Screen>
  );
}

/** A pass that was not tapped: its setup, its verdict, its place among the others. */
export function Added({ day, go }: Props) {
  const [setup, setSetup] = useState("");
  const [verdict, judge] = useState<Verdict | undefined>(undefined);
  const close = (): void => go("day");
  if (setup === "") {
    return (
      <Screen above={<h1>Add a pass that was not tapped: in which setup?</h1>}>
        <Grid items={setupsOf(day).map((name) => ({ word: name, tap: () => setSetup(name) }))} close={close} />
      </Screen>
    );
  }
  if (!verdict) {
    return (
      <Screen above={<h1>Add a pass in {setup}: how was it?</h1>}>
        <Grid
          two
          items={[
            { word: "Keep", fill: "full", tap: () => judge("keep") },
            { word: "Perhaps", fill: "half", tap: () => judge("perhaps") },
            { word: "Lost", fill: "hollow", tap: () => judge("lost") },
          ]}
          close={close}
        />
      </Screen>
    );
  }
  const add = (after: string) => (): void => {
    day.add(setup, verdict, after);
    close();
  };
  const before = [...(day.state.value.entries ?? [])].reverse();
  return (
    <Screen above={<h1>After which pass was it?</h1>}>
      <Grid items={[{ word: "the last", tap: add("") }, ...before.slice(1).map((e) => ({ word: `${e.number}`, tap: add(e.id) }))]} close={close} />
    </Screen>
  );
}

const usualLamps = ["key", "fill", "back", "lamp 1", "lamp 2", "lamp 3"];

export function Lamps({ day, go }: Props) {
  const lamps = new Map(usualLamps.map((name) => [name, false]));
  for (const l of day.state.value.lamps ?? []) lamps.set(l.name, l.on);
  return (
    <Screen above={<h1>Which lamps burn? A full square burns.</h1>}>
      <Grid items={[...[...lamps].map(([word, on]) => ({ word, on, fill: on ? ("full" as const) : ("hollow" as const), tap: () => day.setLamp(word, !on) }))]} close={() => go("day")} />
    </Screen>
  );
}

const cardsGB = [32, 64, 128, 256, 512, 1000];

export function Card({ day, go }: Props) {
  const choose = (gb: number) => (): void => {
    day.setCard(gb);
    go("day");
  };
  return (
    <Screen above={<h1>A new card goes in. How much is free on it, in GB?</h1>}>
      <Grid items={[...cardsGB.map((gb) => ({ word: `${gb}`, tap: choose(gb) }))]} close={() => go("day")} />
    </Screen>
  );
}

const voices: readonly (readonly [string, string])[] = [
  ["", "full"],
  ["half", "half"],
  ["none", "none"],
];

export function Voice({ day, go }: Props) {
  const choose = (voice: string) => (): void => {
    day.setVoice(voice);
    go("day");
  };
  return (
    <Screen above={<h1>How does the voice sing from now on?</h1>}>
      <Grid items={[...voices.map(([voice, word]) => ({ word, on: (day.state.value.voice ?? "") === voice, tap: choose(voice) }))]} close={() => go("day")} />
    </Screen>
  );
}

export function More({ day, go }: Props) {
  return (
    <Screen above={<h1>{day.link.connected.value ? "The rest of the day" : `Offline: all is kept here, ${day.link.waiting.value} to send`}</h1>}>
      <Grid
        items={[
          { word: "leaving", tap: () => go("leaving") },
          { word: "why", tap: () => go("why") },
          { word: "add", tap: () => go("add") },
          { word: "lamps", tap: () => go("lamps") },
          { word: "put back", tap: () => go("put back") },
          { word: "card", tap: () => go("card") },
          { word: "voice", tap: () => go("voice") },
          { word: "call", on: day.calls.value, fill: day.calls.value ? "full" : "hollow", tap: () => day.setCalls(!day.calls.value) },
          { word: "left", on: day.left.value, fill: day.left.value ? "full" : "hollow", tap: () => day.setHand(!day.left.value) },
        ]}
        close={() => go("day")}
      />
    </Screen>
  );
}
