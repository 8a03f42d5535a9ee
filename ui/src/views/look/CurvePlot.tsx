import { useRef } from "preact/hooks";
import type { Knot } from "../../api/types";
import { curveThrough } from "../../look/curve";
import { useHeld } from "../hold";

const side = 100;
const reach = 10; // how near a finger must come to a point

/** The contrast curve, its points to be dragged; beside it they lie in numbers, for keys. */
export function CurvePlot({ knots, onTry }: { readonly knots: readonly Knot[]; readonly onTry: (k: readonly Knot[]) => void }) {
  const { grading } = useHeld().desk;
  const svg = useRef<SVGSVGElement>(null);
  const held = useRef(-1);
  const at = curveThrough(knots);
  const line = Array.from({ length: side + 1 }, (_, x) => `${x},${side - side * at(x / side)}`).join(" ");
  const place = (e: PointerEvent): Knot => {
    const screen = svg.current?.getScreenCTM();
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(screen?.inverse());
    return { in: p.x / side, out: 1 - p.y / side };
  };
  const nearest = (p: Knot): number => {
    const far = knots.map((k) => side * Math.hypot(k.in - p.in, k.out - p.out));
    const least = Math.min(...far);
    return least < reach ? far.indexOf(least) : -1;
  };
  const drag = (e: PointerEvent): void => {
    const i = held.current;
    if (i >= 0) onTry(knots.map((k, j) => (j === i ? between(place(e), knots[i - 1], knots[i + 1]) : k)));
  };
  return (
    <svg
      class="tw-curve"
      ref={svg}
      viewBox={`-3 -3 ${side + 6} ${side + 6}`}
      aria-hidden="true"
      onPointerDown={(e) => {
        held.current = nearest(place(e));
        if (held.current < 0) return;
        e.currentTarget.setPointerCapture(e.pointerId);
        grading.hold();
      }}
      onPointerMove={drag}
      onPointerUp={() => {
        if (held.current >= 0) grading.release();
        held.current = -1;
      }}
    >
      <path d={`M0 ${side}L${side} 0M0 0V${side}H${side}`} />
      <polyline points={line} />
      {knots.map((k, i) => (
        <circle key={i} cx={side * k.in} cy={side - side * k.out} r={3} />
      ))}
    </svg>
  );
}

const apart = 0.01;

/** A point held between its neighbours. */
function between(p: Knot, before: Knot | undefined, after: Knot | undefined): Knot {
  const x = Math.min(after ? after.in - apart : 1, Math.max(before ? before.in + apart : 0, p.in));
  return { in: +x.toFixed(3), out: +Math.min(1, Math.max(0, p.out)).toFixed(3) };
}
