import type { Ribbon } from "../api/types";
import { overlap } from "../base/time";
import { ribbonAt } from "../play/programme";
import { useHeld } from "../views/hold";
import { type Row, type Score, type ShotView, type Strand, addressOf, beatTime, passText } from "./score";

/** A row said as a list: what the cut shows and what each pass is worth there. */
export function Twin({ score, row, shots, hidden }: { readonly score: Score; readonly row: Row; readonly shots: readonly ShotView[]; readonly hidden?: boolean }) {
  const { desk } = useHeld();
  const strands = score.strands.filter((s) => ribbonAt(s.pass, row.span));
  return (
    <ul class={hidden ? "tw-hidden" : "tw-twin"}>
      {shots.map((s) => (
        <li key={`s${s.index}`}>
          <button type="button" tabIndex={hidden ? -1 : 0} onClick={() => desk.player.touch(s.span.from < row.span.from ? row.span.from : s.span.from, undefined)}>
            The cut from {addressOf(score, s.span.from < row.span.from ? row.span.from : s.span.from)}: {passText(s.shot.pass) || "nothing"}
            {s.pins.length > 0 ? ", pinned" : ""}
            {s.differs ? ", other than in the whole film" : ""}
          </button>
        </li>
      ))}
      {strands.map((s) => (
        <li key={s.index}>
          <button type="button" tabIndex={hidden ? -1 : 0} aria-current={desk.place.here.value.pass === s.pass.name ? "true" : undefined} onClick={() => desk.player.touch(row.span.from, s.pass.name)}>
            {passText(s.pass.name)}: {wordsOf(score, s, row)}
          </button>
        </li>
      ))}
    </ul>
  );
}

/** What a pass is worth under a row, in words. */
export function wordsOf(score: Score, strand: Strand, row: Row): string {
  const parts: string[] = [];
  for (const r of strand.pass.ribbons ?? []) if (overlap(r.span, row.span) > 0.05) parts.push(...runs(score, r, row));
  return parts.length > 0 ? parts.join("; ") : "not here";
}

function runs(score: Score, r: Ribbon, row: Row): string[] {
  const cells = r.cells ?? [];
  const out: string[] = [];
  const from = Math.max(0, row.firstBeat - r.first);
  const to = Math.min(cells.length, row.endBeat - r.first);
  for (let i = from; i < to; ) {
    const cell = cells[i];
    let end = i + 1;
    while (end < to && cells[end]?.state === cell?.state) end++;
    const beat = r.first + i - row.firstBeat + 1;
    const last = r.first + end - row.firstBeat;
    const where = beat === 1 && end === to ? "throughout" : last > beat ? `beats ${beat} to ${last}` : `beat ${beat}`;
    if (cell?.state === "holds") out.push(`${where} holds, ${Math.min(cell.hold_s, 60).toFixed(1)} s from ${addressOf(score, beatTime(score, r.first + i))}`);
    else out.push(`${where} ${cell?.state ?? "unknown"}${cell?.why ? ` (${cell.why})` : ""}`);
    i = end;
  }
  return out;
}
