import { useEffect, useRef, useState } from "preact/hooks";
import type { PlanDayStep, PlanPlan } from "../api/types";
import { planCalls } from "./call";
import { allRules, heldOrder, inPart, put } from "./edit";
import { Act, Fold, Num, Part, Text, Tick } from "./fields";
import { usePlan } from "./hold";
import type { Change } from "./planning";
import { Rows } from "./Rows";
import { Say } from "./Say";

const hold = (first: readonly string[] | undefined): Change => (p) => put(p, "day", put(p.day ?? {}, "rules", put(p.day?.rules ?? allRules, "first", first)));

/** The day on the clock: the best order, unless a hand puts it otherwise; then what that costs. */
export function DayPart() {
  const { plan, told } = usePlan();
  const day = plan.day ?? {};
  const held = day.rules?.first ?? [];
  const rules = day.rules ?? allRules;
  const laid = told.day;
  return (
    <Part id="day" words="Day" counts="schedule" lead="The order that costs the fewest minutes. The musician’s mood outranks it: drag a setup, and the rest is ordered anew.">
      <div class="tb-fields">
        <Text words="everybody is there" usual="09:30" value={day.call} onPut={(v) => inPart("day", "call", v)} />
        <Text words="the first setup is rigged" usual="10:00" value={day.start} onPut={(v) => inPart("day", "start", v)} />
        <Text words="key back" usual="17:30" value={day.key_back} onPut={(v) => inPart("day", "key_back", v)} />
        <Num words="passes sung before" step={1} value={day.voice} onPut={(v) => inPart("day", "voice", v)} />
      </div>
      <Say verdict={laid.verdict} />
      {(laid.steps ?? []).length > 0 ? <Clock /> : undefined}
      {(laid.steps ?? []).length > 0 ? <Steps /> : undefined}
      {laid.plan && laid.finish ? (
        <p class="tb-line">
          {Math.round(laid.plan.work_minutes)} min of work, {Math.round(laid.plan.break_minutes)} min of breaks, {Math.round(laid.plan.slack_minutes)} min of slack, {Math.round(laid.plan.wrap_minutes)} min to put the room back.
        </p>
      ) : undefined}
      {held.length > 0 ? <Cost plan={plan} /> : undefined}
      {(laid.plan?.notes ?? [])
        .filter((n) => !laid.verdict.say.includes(n))
        .map((n) => (
          <p key={n} class="tb-line">
            {n}
          </p>
        ))}
      {(laid.drop ?? []).length > 0 ? (
        <p class="tb-line">
          What can go first:{" "}
          {(laid.drop ?? [])
            .slice(0, 3)
            .map((d) => `${d.setup} (saves ${Math.round(d.saves_minutes)} min)`)
            .join(", then ")}
          .
        </p>
      ) : undefined}
      <Fold words="rules of the order, and people">
        <div class="tb-fields">
          {(
            [
              ["safety_first", "safety first"],
              ["faces_first", "faces before hands"],
              ["one_relight", "no light is built twice"],
              ["inserts_last", "inserts last, by loop"],
            ] as const
          ).map(([rule, words]) => (
            <Tick key={rule} words={words} value={rules[rule]} onPut={(v) => (p) => put(p, "day", put(p.day ?? {}, "rules", { ...(p.day?.rules ?? allRules), [rule]: v }))} />
          ))}
        </div>
        <Rows
          called="a person"
          things={day.people}
          columns={[
            { field: "name", words: "name", text: true },
            { field: "does", words: "does", text: true },
            { field: "phone", words: "phone", text: true },
            { field: "call", words: "is there at", text: true },
          ]}
          fresh={() => ({ name: "" })}
          onPut={(all) => inPart("day", "people", all)}
        />
        <Text words="notes for the day" wide value={day.notes} onPut={(v) => inPart("day", "notes", v)} />
      </Fold>
    </Part>
  );
}

/** What an order put by hand costs against the best one. */
function Cost({ plan }: { readonly plan: PlanPlan }) {
  const { told } = usePlan();
  const [best, setBest] = useState<number>();
  useEffect(() => {
    let gone = false;
    planCalls
      .tell(hold(undefined)(plan))
      .then((t) => gone || setBest(t.day.plan?.order.change_minutes))
      .catch(() => undefined);
    return () => (gone = true);
  }, [told.day]);
  const now = told.day.plan?.order.change_minutes;
  const more = now !== undefined && best !== undefined ? Math.round(now - best) : undefined;
  return (
    <p class="tb-line" data-answer="look">
      Held by hand: {(plan.day?.rules?.first ?? []).join(", ")}. {more === undefined ? "" : more > 0 ? `That costs ${more} min more than the best order. ` : "That costs no minutes. "}
      <Act change={hold(undefined)}>let it be ordered</Act>
    </p>
  );
}

/** The steps of the day, to be put in another order by dragging or by words. */
function Steps() {
  const { planning, told } = usePlan();
  const steps = told.day.steps ?? [];
  const order = steps.map((s) => s.setup);
  const list = useRef<HTMLOListElement>(null);
  const [drag, setDrag] = useState<{ readonly name: string; readonly to: number }>();
  const move = (name: string, to: number): void => planning.decide(hold(heldOrder(order, name, Math.max(0, Math.min(order.length - 1, to)))));
  const rowAt = (y: number): number => {
    const rows = [...(list.current?.children ?? [])].map((r) => r.getBoundingClientRect());
    const i = rows.findIndex((r) => y < r.bottom);
    return i < 0 ? rows.length - 1 : i;
  };
  return (
    <ol class="tb-steps" ref={list}>
      {steps.map((s, i) => (
        <li key={s.setup} data-dragged={drag?.name === s.setup ? "" : undefined} data-before={drag && drag.name !== s.setup && drag.to === i ? (drag.to < order.indexOf(drag.name) ? "above" : "below") : undefined}>
          <span
            class="tb-grab"
            aria-hidden="true"
            onPointerDown={(e) => {
              e.currentTarget.setPointerCapture(e.pointerId);
              setDrag({ name: s.setup, to: i });
            }}
            onPointerMove={(e) => drag && setDrag({ name: drag.name, to: rowAt(e.clientY) })}
            onPointerUp={() => {
              if (drag && drag.to !== order.indexOf(drag.name)) move(drag.name, drag.to);
              setDrag(undefined);
            }}
            onPointerCancel={() => setDrag(undefined)}
          />
          <Step step={s} />
          <span class="tb-step-acts">
            <button type="button" class="tw-word" disabled={i === 0} aria-label={`${s.setup} earlier`} onClick={() => move(s.setup, i - 1)}>
              earlier
            </button>
            <button type="button" class="tw-word" disabled={i === steps.length - 1} aria-label={`${s.setup} later`} onClick={() => move(s.setup, i + 1)}>
              later
            </button>
          </span>
        </li>
      ))}
    </ol>
  );
}

function Step({ step: s }: { readonly step: PlanDayStep }) {
  return (
    <div>
      <p>
        <span class="tb-clock">{s.from}</span> <b>{s.setup}</b> {s.passes}
        <span class="tw-quiet">, until {s.to}</span>
      </p>
      {s.change || s.break ? (
        <p class="tw-quiet">
          {s.break ? `break ${s.break}; ` : ""}
          {s.change ? `change: ${s.change}; filming from ${s.film}` : ""}
        </p>
      ) : undefined}
    </div>
  );
}

/** The day as one line: changes thin, filming thick, breaks open, then slack and putting back. */
function Clock() {
  const { told } = usePlan();
  const p = told.day.plan;
  const steps = p?.steps ?? [];
  const first = steps[0];
  if (!p || !first) return undefined;
  const from = first.start - first.break_minutes;
  const to = Math.max(p.leave, p.leave + (Number.isFinite(p.spare) && p.spare > 0 && p.spare < 600 ? p.spare : 0));
  const x = (m: number): number => ((m - from) / (to - from)) * 100;
  const end = steps.at(-1)?.end ?? from;
  const hours = Array.from({ length: 24 }, (_, h) => h * 60).filter((m) => m > from && m < to);
  return (
    <svg class="tb-day" viewBox="0 0 100 9" preserveAspectRatio="none" aria-hidden="true">
      {hours.map((h) => (
        <path key={h} class="tb-day-hour" d={`M ${x(h)} 0 V 9`} vector-effect="non-scaling-stroke" />
      ))}
      {steps.map((s) => (
        <g key={s.setup}>
          <rect class="tb-day-change" x={x(s.start)} y={4} width={Math.max(0, x(s.start + s.change_minutes) - x(s.start))} height={1} />
          <rect class="tb-day-film" x={x(s.end - s.film_minutes)} y={2} width={Math.max(0.2, x(s.end) - x(s.end - s.film_minutes) - 0.25)} height={5} />
        </g>
      ))}
      <rect class="tb-day-slack" x={x(end)} y={2} width={Math.max(0, x(p.finish) - x(end))} height={5} />
      <rect class="tb-day-wrap" x={x(p.finish)} y={4} width={Math.max(0, x(p.leave) - x(p.finish))} height={1} />
    </svg>
  );
}
