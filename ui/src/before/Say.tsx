import type { ComponentChildren } from "preact";
import type { Answer, PlanVerdict } from "../api/types";

/** How an answer is called where it stands before its reason. */
const called: { readonly [answer: string]: string } = { works: "works", look: "look", "does not work": "does not work", "not known yet": "not known yet" };

/** A verdict with its reason, and what can be done about it. */
export function Say(p: { readonly words?: string; readonly verdict: PlanVerdict; readonly children?: ComponentChildren }) {
  if (p.verdict.say === "" && !p.verdict.answer) return undefined;
  return (
    <div class="tb-say" data-answer={p.verdict.answer}>
      {p.words ? <span class="tb-say-about">{p.words}</span> : undefined}
      <p>
        {p.verdict.answer === "works" ? undefined : <b>{called[p.verdict.answer] ?? p.verdict.answer}: </b>}
        {p.verdict.say || called[p.verdict.answer]}
      </p>
      {p.children ? <div class="tb-say-acts">{p.children}</div> : undefined}
    </div>
  );
}

const order: readonly Answer[] = ["does not work", "look", "not known yet", "works"];

/** The answer of several that is to be told first. */
export function worst(all: readonly (PlanVerdict | undefined)[]): Answer {
  return order.find((a) => all.some((v) => v?.answer === a)) ?? "not known yet";
}
