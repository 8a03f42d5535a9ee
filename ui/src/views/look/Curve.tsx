import type { Knot, Look } from "../../api/types";
import { CurvePlot } from "./CurvePlot";
import { Slide } from "./Slide";
import type { StepProps } from "./Steps";

const straight: readonly Knot[] = [
  { in: 0, out: 0 },
  { in: 0.25, out: 0.25 },
  { in: 0.75, out: 0.75 },
  { in: 1, out: 1 },
];
const mostKnots = 32;

/** The points of the contrast curve: what is so light becomes so light. */
export function Curve({ look, onTry }: StepProps) {
  const knots = look.curve ?? [];
  const change = (next: readonly Knot[]): void => onTry(withCurve(look, next));
  return (
    <>
      {knots.length > 1 ? <CurvePlot knots={knots} onTry={change} /> : undefined}
      {knots.map((k, i) => (
        <span key={i} class="tw-step-row tw-knot">
          <Slide
            short
            words="at"
            unit="%"
            value={100 * k.in}
            from={100 * (knots[i - 1]?.in ?? -0.01) + 1}
            to={100 * (knots[i + 1]?.in ?? 1.01) - 1}
            step={1}
            onTry={(v) => change(knots.map((old, j) => (j === i ? { ...old, in: v / 100 } : old)))}
          />
          <Slide words="becomes" unit="%" value={100 * k.out} from={0} to={100} step={0.5} onTry={(v) => change(knots.map((old, j) => (j === i ? { ...old, out: v / 100 } : old)))} />
          <button type="button" class="tw-word" disabled={knots.length <= 2} aria-label={`without the point at ${Math.round(100 * k.in)} %`} onClick={() => change(knots.filter((_, j) => j !== i))}>
            drop
          </button>
        </span>
      ))}
      <span class="tw-step-row">
        <button type="button" class="tw-word" onClick={() => change(knots.length === 0 ? straight : more(knots))} disabled={knots.length >= mostKnots}>
          {knots.length === 0 ? "bend it" : "one more point"}
        </button>
        {knots.length === 0 ? undefined : (
          <button type="button" class="tw-word" onClick={() => change([])}>
            straight
          </button>
        )}
      </span>
    </>
  );
}

function withCurve(look: Look, curve: readonly Knot[]): Look {
  const { curve: _old, ...rest } = look;
  return curve.length === 0 ? rest : { ...rest, curve };
}

/** A point more in the middle of the widest gap. */
function more(knots: readonly Knot[]): readonly Knot[] {
  let at = 0;
  for (let i = 1; i + 1 < knots.length; i++) if (gap(knots, i) > gap(knots, at)) at = i;
  const [a, b] = [knots[at], knots[at + 1]];
  if (!a || !b) return knots;
  return [...knots.slice(0, at + 1), { in: (a.in + b.in) / 2, out: (a.out + b.out) / 2 }, ...knots.slice(at + 1)];
}

const gap = (knots: readonly Knot[], i: number): number => (knots[i + 1]?.in ?? 0) - (knots[i]?.in ?? 0);
