import { useState } from "preact/hooks";
import type { Day } from "./day";
import { Grid, Screen } from "./parts";
import type { Go } from "./Phone";
import type { Plan } from "./types";

interface Props {
  readonly day: Day;
  readonly go: Go;
}

const roomToneS = 60;

/** The last twenty minutes: what is still to be done, and when nothing is, one word. */
export function Leaving({ day, go }: Props) {
  const [tone, begin] = useState(0); // when the room tone began
  const [cards, count] = useState(false);
  const asks = day.answer.value?.asks ?? [];
  const out = outOfPlace(day);
  const left = roomToneS - Math.floor((day.now.value - tone) / 1000);
  const open = once.filter((t) => !day.ticked(t));
  const fill = (t: string): "full" | "hollow" => (day.ticked(t) ? "full" : "hollow");
  if (cards) return <Cards day={day} close={() => count(false)} />;
  const toneTap = (): void => {
    if (tone > 0 && left <= 0) {
      day.tick("room tone");
      begin(0);
    } else begin(tone > 0 ? 0 : Date.now());
  };
  return (
    <Screen above={<Told day={day} asks={asks.map((a) => a.say.replace("Ask for: ", ""))} out={out.map((o) => o.word)} open={open} tone={tone > 0 ? Math.max(0, left) : undefined} />}>
      <Grid
        items={[
          { word: tone > 0 ? (left > 0 ? "stop" : "done") : "tone", fill: fill("room tone"), off: day.ticked("room tone"), tap: toneTap },
          { word: "signed", fill: fill("release"), off: day.ticked("release"), tap: () => day.tick("release") },
          { word: "cards", fill: fill("cards"), off: day.ticked("cards"), tap: () => count(true) },
          { word: "things", fill: out.length === 0 ? "full" : "hollow", tap: () => go("put back") },
          { word: "undo", off: !day.canUndo, tap: () => day.undo() },
        ]}
        close={() => go("day")}
      />
    </Screen>
  );
}

interface ToldProps {
  readonly day: Day;
  readonly asks: readonly string[];
  readonly out: readonly string[];
  readonly open: readonly string[];
  readonly tone: number | undefined;
}

function Told({ day, asks, out, open, tone }: ToldProps) {
  if (tone !== undefined) {
    return (
      <>
        <h1>{tone > 0 ? "Quiet: the room" : "Enough of the room"}</h1>
        <b class="figure">{tone}</b>
      </>
    );
  }
  const all = [...asks.slice(0, 3), ...(out.length > 0 ? [`put back: ${out.join(", ")}`] : []), ...(open.length > 0 ? [open.join(", ")] : [])];
  if (all.length > 0) {
    return (
      <ol class="owed">
        {all.map((a) => (
          <li key={a}>{a}</li>
        ))}
      </ol>
    );
  }
  if (day.unplanned > 0) return <h1>No setup is meant for {day.unplanned} lines.</h1>;
  if (!day.current) return <h1>All is done here, but {day.link.waiting.value} taps are not sent yet.</h1>;
  return <b class="figure">Leave.</b>;
}

/** Cards that went into the camera, and cards in the hand. */
function Cards({ day, close }: { readonly day: Day; readonly close: () => void }) {
  const went = day.events.value.filter((e) => e.kind === "card").length;
  const [held, hold] = useState<number | undefined>(undefined);
  const choose = (n: number) => (): void => {
    if (n === went) {
      day.tick("cards");
      close();
    } else hold(n);
  };
  return (
    <Screen above={<h1>{held === undefined ? `How many cards do you hold? ${went} went into the camera.` : `You hold ${held}, and ${went} went in. Look for the rest.`}</h1>}>
      <Grid items={[0, 1, 2, 3, 4, 5, 6].map((n) => ({ word: `${n}`, tap: choose(n) }))} close={close} />
    </Screen>
  );
}

/** What has to be done once before leaving, beside what goes back. */
const once = ["room tone", "release", "cards"];

/** What is not back where it was: by the plan and by the log. */
function outOfPlace(day: Day): { readonly word: string; readonly back: () => void }[] {
  const planned = (day.answer.value?.put_back ?? []).filter((t) => !day.ticked(t)).map((word) => ({ word, back: () => day.tick(word) }));
  const logged = (day.state.value.put_back ?? []).filter((p) => !p.done && !once.includes(p.text)).map((p) => ({ word: p.text, back: () => day.isBack(p.id) }));
  return [...planned, ...logged];
}

const things = ["picture", "chair", "table", "rug", "lamp", "fridge", "heating", "curtain", "plug", "clock"];

/** What was moved or switched off, and goes back. */
export function PutBack({ day, go }: Props) {
  const [adding, add] = useState(false);
  const out = outOfPlace(day);
  if (adding) {
    return (
      <Screen above={<h1>What goes back before leaving?</h1>}>
        <Grid
          items={things.map((word) => ({
            word,
            tap: () => {
              day.toPutBack(word);
              add(false);
            },
          }))}
          close={() => add(false)}
        />
      </Screen>
    );
  }
  return (
    <Screen above={<h1>{out.length > 0 ? "Tap what is back where it was." : "Nothing is to be put back."}</h1>}>
      <Grid
        items={[{ word: "add", tap: () => add(true) }, ...out.map((o) => ({ word: o.word, fill: "hollow" as const, tap: o.back }))]}
        close={() => go("day")}
      />
    </Screen>
  );
}

/** When all that is owed will be done, against the key. */
function finish(p: Plan, nowMS: number): string {
  if (p.other_s <= 0) return "";
  const at = nowMS + 1000 * p.other_s;
  const words = `What is owed takes until ${new Date(at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false })}`;
  const spare = Math.round((p.key_back_ms - at) / 60_000);
  if (p.key_back_ms <= 0) return `${words}.`;
  return spare >= 0 ? `${words}, ${spare} min before the key goes back.` : `${words}, ${-spare} min after the key went back.`;
}

/** What stands behind the advice, one thing after another. */
export function Why({ day, go }: Props) {
  const [at, turn] = useState(0);
  const a = day.answer.value;
  const texts = [day.ask.value?.why, a?.judged && `${a.judged.pass}: ${a.judged.good} of ${a.judged.of} lines agree.`, a?.stop, a?.outlook, a && finish(a.plan, day.now.value), a?.battery, ...(a?.files ?? [])].filter((t): t is string => !!t);
  return (
    <main class="told">
      <div class="above">
        <p>{texts[at] ?? "Nothing is known yet."}</p>
      </div>
      <Grid
        two
        items={[{ word: "next", off: texts.length < 2, tap: () => turn((at + 1) % texts.length) }]}
        close={() => go("day")}
      />
    </main>
  );
}
