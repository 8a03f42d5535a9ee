import { useState } from "preact/hooks";
import type { PlanFinding } from "../api/types";
import { goTo } from "./fields";
import { usePlan } from "./hold";
import { Say } from "./Say";

const few = 3;

/** Where on the page a topic is. */
const partOf: { readonly [topic: string]: string } = {
  song: "song",
  room: "room",
  setups: "setups",
  light: "light",
  power: "power",
  cards: "means",
  day: "day",
  coverage: "coverage",
  gates: "means",
  defaults: "defaults",
};

/** What does not work yet, and why; then what to look at; then what is not known. */
export function Findings() {
  const { planning, plan, told } = usePlan();
  const [all, setAll] = useState(false);
  const findings = told.findings ?? [];
  const failing = findings.filter((f) => f.answer === "does not work").length;
  const open = findings.filter((f) => f.answer === "not known yet").length;
  const go = (f: PlanFinding): void => {
    const setup = (plan.setups ?? []).findIndex((s) => `${f.about} `.startsWith(`setup ${s.name} `));
    if (setup >= 0) planning.setup.value = setup;
    const state = setup >= 0 ? told.setups?.[setup]?.light.state : f.about.replace(/^light /, "");
    const light = (plan.lights ?? []).findIndex((l) => l.name === state);
    if (f.topic === "light" && light >= 0) planning.light.value = light;
    goTo(partOf[f.topic] ?? "room");
  };
  return (
    <section class="tb-findings" aria-label="what does not work yet">
      <h2>
        {failing === 0 ? "Nothing stands in the way" : failing === 1 ? "One thing does not work" : `${failing} things do not work`}
        {open > 0 ? <small>{open === 1 ? "one is not known yet" : `${open} are not known yet`}</small> : undefined}
      </h2>
      <ol>
        {(all ? findings : findings.slice(0, few)).map((f, i) => (
          <li key={i}>
            <button type="button" class="tb-finding" onClick={() => go(f)}>
              <Say words={f.about} verdict={f} />
            </button>
          </li>
        ))}
      </ol>
      {findings.length > few ? (
        <button type="button" class="tw-word" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? "only the first" : `and ${findings.length - few} more`}
        </button>
      ) : undefined}
    </section>
  );
}
