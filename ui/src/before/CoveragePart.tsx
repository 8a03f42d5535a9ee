import { useState } from "preact/hooks";
import type { CoverageCell, CoverageRow } from "../api/types";
import { ofSetup, put } from "./edit";
import { Act, Part } from "./fields";
import { usePlan } from "./hold";
import { Say } from "./Say";

/** What is planned to serve what: setups down, lines of the song across. */
export function CoveragePart() {
  const { plan, told } = usePlan();
  const c = told.coverage;
  const [here, setHere] = useState({ row: 0, column: 0 }); // the cell that the keyboard reaches; arrows go on from there
  const names = c.setups ?? [];
  const rows = c.ledger?.rows ?? [];
  const lines = rows.filter((r) => r.kind === "line");
  const others = rows.filter((r) => r.kind !== "line");
  const bare = c.bare ?? [];
  const sections: { name: string; count: number }[] = [];
  for (const l of lines) {
    const name = l.name.split(".")[0] ?? "";
    const last = sections.at(-1);
    if (last?.name === name) last.count++;
    else sections.push({ name, count: 1 });
  }
  const walk = (e: KeyboardEvent & { currentTarget: HTMLElement }): void => {
    const by = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] }[e.key];
    if (!by) return;
    e.preventDefault();
    const row = Math.max(0, Math.min(names.length - 1, here.row + (by[0] ?? 0)));
    const column = Math.max(0, Math.min(lines.length - 1, here.column + (by[1] ?? 0)));
    setHere({ row, column });
    e.currentTarget.querySelector<HTMLElement>(`[data-cell="${row} ${column}"]`)?.focus();
  };
  return (
    <Part id="coverage" words="Coverage" counts="coverage" lead="Which setup is to serve which line, and what is lost without it.">
      <Say verdict={c.verdict} />
      {bare.length > 0 ? (
        <p class="tb-line" data-answer="does not work">
          <b>No usable picture:</b> {bare.join(", ")}.
        </p>
      ) : undefined}
      {(c.mouth_only ?? []).length > 0 ? (
        <p class="tb-line" data-answer="look">
          Too few setups without a mouth where nobody sings: {(c.mouth_only ?? []).join(", ")}.
        </p>
      ) : undefined}
      {lines.length > 0 ? (
        <div class="tb-scroll" tabIndex={0} role="region" aria-label="setups by lines">
          <table class="tb-coverage" onKeyDown={walk}>
            <caption class="tw-hidden">passes as planned of those wanted; a cell that is pressed is planned, or no more; arrow keys go from cell to cell</caption>
            <thead>
              <tr>
                <td />
                {sections.map((s, i) => (
                  <th key={i} scope="colgroup" colSpan={s.count}>
                    {s.name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {names.map((name, k) => (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  {lines.map((l, i) => (
                    <Cell key={l.name} line={l} cell={l.cells?.[k]} setup={k} name={name} bare={bare.includes(l.name)} place={`${k} ${i}`} reached={here.row === k && here.column === i} onReach={() => setHere({ row: k, column: i })} />
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      ) : undefined}
      {others.length > 0 ? (
        <ul class="tb-needs">
          {others.map((r) => (
            <li key={`${r.kind} ${r.name}`} data-answer={r.have < r.wanted && r.kind === "must-see" ? "look" : undefined}>
              <i>{r.name}</i> {r.text ? `${r.text}, ` : ""}
              {r.kind === "must-see" ? `must be seen${r.shows ? ` (${r.shows})` : ""}: ${r.have} of ${r.wanted} planned` : `nobody sings: ${r.views} of ${r.wanted} setups without a mouth`}
            </li>
          ))}
        </ul>
      ) : undefined}
      {(c.without ?? []).length > 0 ? (
        <ul class="tb-needs">
          {(c.without ?? []).map((l) => (
            <li key={l.setup}>{l.say}</li>
          ))}
        </ul>
      ) : undefined}
      {c.outlook ? <p class="tb-line">{c.outlook.say}</p> : undefined}
      {(plan.setups ?? []).some((s) => s.lines) ? <Act change={(p) => put(p, "setups", (p.setups ?? []).map((s) => put(s, "lines", undefined)))}>every setup serves its sections again</Act> : undefined}
    </Part>
  );
}

function Cell(p: { readonly line: CoverageRow; readonly cell: CoverageCell | undefined; readonly setup: number; readonly name: string; readonly bare: boolean; readonly place: string; readonly reached: boolean; readonly onReach: () => void }) {
  const { planning, told } = usePlan();
  const planned = (p.cell?.wanted ?? 0) > 0;
  const have = p.cell?.have ?? 0;
  const serves = told.setups?.[p.setup]?.serves ?? [];
  const turned = planned ? serves.filter((l) => l !== p.line.name) : [...serves, p.line.name];
  const words = planned ? `${have} of ${p.cell?.wanted} planned` : have > 0 ? "seen, not planned" : "not planned";
  return (
    <td data-bare={p.bare ? "" : undefined}>
      <button
        type="button"
        class="tb-cell"
        data-cell={p.place}
        tabIndex={p.reached ? 0 : -1}
        onFocus={p.onReach}
        data-state={planned ? (have >= (p.cell?.wanted ?? 1) ? "enough" : have > 0 ? "one" : "owed") : "none"}
        aria-pressed={planned}
        aria-label={`${p.name}, ${p.line.name}: ${words}`}
        title={`${p.line.name} ${p.line.text ?? ""}\n${p.name}: ${words}`}
        onClick={() => planning.decide(ofSetup(p.setup, (s) => put(s, "lines", turned)))}
      />
    </td>
  );
}
