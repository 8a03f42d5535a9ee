import type { DayLine } from "./types";

/** How far something is, by shape: hollow, half, full. */
export type Fill = "hollow" | "half" | "full";

/** A small square that tells a state without its colour. */
export function Shape({ fill }: { readonly fill: Fill }) {
  return (
    <svg class="shape" viewBox="0 0 20 20" aria-hidden="true">
      <rect x="2" y="2" width="16" height="16" class="line" />
      {fill !== "hollow" && <rect x="2" y={fill === "half" ? 10 : 2} width="16" height={fill === "half" ? 8 : 16} class="full" />}
    </svg>
  );
}

const fills: { readonly [state: string]: Fill | undefined } = { owed: "hollow", one: "half", enough: "full" };
const barWidth = 8;
const gap = 3;
const sectionGap = 8;
const height = 40;

/** The song, a bar a line: hollow is owed, half has one match, full has enough; a notch must be seen. */
export function Bars({ lines }: { readonly lines: readonly DayLine[] }) {
  let x = 0;
  const bars = lines.map((l, i) => {
    if (i > 0) x += barWidth + (lines[i - 1]?.section === l.section ? gap : sectionGap);
    return <Bar key={l.name} x={x} line={l} />;
  });
  const count = (state: string): number => lines.filter((l) => l.state === state).length;
  const said = `${lines.length} lines: ${count("enough")} have enough, ${count("one")} have one match, ${count("owed")} are owed`;
  return (
    <svg class="bars" viewBox={`-1 -1 ${x + barWidth + 2} ${height + 2}`} preserveAspectRatio="none" role="img" aria-label={said}>
      {bars}
    </svg>
  );
}

function Bar({ x, line }: { readonly x: number; readonly line: DayLine }) {
  const fill = fills[line.state];
  const top = line.must_see ? `${x},0 ${x + barWidth / 2},14 ${x + barWidth},0` : `${x},0 ${x + barWidth},0`;
  if (!fill) return <path class="line" d={`M${x} ${height}h${barWidth}`} />;
  return (
    <g>
      {fill === "half" && <rect class="full" x={x} y={height / 2} width={barWidth} height={height / 2} />}
      <polygon class={fill === "full" ? "full" : "line"} points={`${top} ${x + barWidth},${height} ${x},${height}`} />
    </g>
  );
}
