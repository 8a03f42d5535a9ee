import type { CDL } from "../../api/types";
import { neutralCDL } from "../../look/words";
import { Slide } from "./Slide";
import type { StepProps } from "./Steps";

type Triple = readonly [number, number, number];
type Row = "slope" | "offset" | "power";

const rows: readonly { readonly row: Row; readonly from: number; readonly to: number }[] = [
  { row: "slope", from: 0, to: 2 },
  { row: "offset", from: -0.3, to: 0.3 },
  { row: "power", from: 0.3, to: 3 },
];
const channels = ["red", "green", "blue"] as const;

/** Slope, offset and power, all channels at once or each alone, and saturation. */
export function SlopePower({ look, onTry }: StepProps) {
  const cdl = look.cdl ?? neutralCDL;
  const change = (more: Partial<CDL>): void => {
    const next = { ...cdl, ...more };
    const { cdl: _old, ...rest } = look;
    onTry(isNeutral(next) ? rest : { ...look, cdl: next });
  };
  return (
    <>
      {rows.map(({ row, from, to }) => (
        <span key={row} class="tw-step-row">
          <Slide words={row} value={mean(cdl[row])} from={from} to={to} step={0.01} onTry={(v) => change({ [row]: moved(cdl[row], v - mean(cdl[row]), from, to) })} />
          {channels.map((c, i) => (
            <Slide key={c} short words={c} value={cdl[row][i] ?? 0} from={from} to={to} step={0.01} onTry={(v) => change({ [row]: replaced(cdl[row], i, v) })} />
          ))}
        </span>
      ))}
      <Slide words="saturation" value={cdl.saturation} from={0} to={2} step={0.01} onTry={(v) => change({ saturation: v })} />
    </>
  );
}

const mean = (t: Triple): number => (t[0] + t[1] + t[2]) / 3;
const moved = (t: Triple, by: number, from: number, to: number): Triple => map(t, (v) => Math.min(to, Math.max(from, +(v + by).toFixed(4))));
const replaced = (t: Triple, at: number, v: number): Triple => map(t, (old, i) => (i === at ? v : old));
const map = (t: Triple, f: (v: number, i: number) => number): Triple => [f(t[0], 0), f(t[1], 1), f(t[2], 2)];

function isNeutral(c: CDL): boolean {
  return c.saturation === 1 && rows.every(({ row }) => c[row].every((v, i) => v === neutralCDL[row][i]));
}
