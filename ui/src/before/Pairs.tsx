import type { PlanPair } from "../api/types";
import { usePlan } from "./hold";

/** Every two setups: whether they cut together, with the two numbers that decide it. */
export function Pairs() {
  const { planning, told } = usePlan();
  const names = (told.setups ?? []).map((s) => s.name);
  const pairs = told.pairs ?? [];
  const of = (a: string, b: string): PlanPair | undefined => pairs.find((p) => (p.a === a && p.b === b) || (p.a === b && p.b === a));
  const jumps = pairs.filter((p) => p.pair && !p.pair.together);
  return (
    <>
      <p class="tw-quiet">
        {jumps.length === 0 ? "No two of them jump." : `${jumps.length === 1 ? "One pair jumps" : `${jumps.length} pairs jump`}: ${jumps.map((j) => `${j.a} and ${j.b}`).join(", ")}.`} In each cell: how many times as large, and how far apart the axes are.
      </p>
      <div class="tb-scroll" tabIndex={0} role="region" aria-label="which setups cut together">
        <table class="tb-pairs">
          <thead>
            <tr>
              <td />
              {names.slice(1).map((n) => (
                <th key={n} scope="col">
                  {n}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {names.slice(0, -1).map((a, i) => (
              <tr key={a}>
                <th scope="row">
                  <button type="button" class="tw-word" onClick={() => (planning.setup.value = i)}>
                    {a}
                  </button>
                </th>
                {names.slice(1).map((b, j) => (
                  <Cell key={b} pair={j >= i ? of(a, b) : undefined} />
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

function Cell({ pair }: { readonly pair: PlanPair | undefined }) {
  if (!pair) return <td />;
  const p = pair.pair;
  const word = !p ? "not known" : p.together ? "cuts" : "jumps";
  return (
    <td data-jumps={p && !p.together ? "" : undefined} title={pair.verdict.say}>
      <b>{word}</b>
      {p ? (
        <small>
          {p.size_ratio.toFixed(2)}× {Math.round(p.axis)}°
        </small>
      ) : undefined}
      {pair.crosses ? <small>crosses the line</small> : undefined}
      {pair.opposed ? <small>moves oppose</small> : undefined}
      <span class="tw-hidden">{pair.verdict.say}</span>
    </td>
  );
}
