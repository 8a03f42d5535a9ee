import { useRef } from "preact/hooks";
import type { Pass } from "../../api/types";
import { useHeld } from "../hold";

/** Where a grey card is drawn on the picture; the leaf has the same in numbers, for keys. */
export function Card({ pass }: { readonly pass: Pass }) {
  const { card } = useHeld().desk.grading;
  const svg = useRef<SVGSVGElement>(null);
  const from = useRef<{ x: number; y: number } | undefined>(undefined);
  const box = card.value;
  if (!box) return undefined;
  const w = pass.width || 16;
  const h = pass.height || 9;
  const place = (e: PointerEvent): { x: number; y: number } | undefined => {
    const screen = svg.current?.getScreenCTM();
    if (!screen) return undefined;
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(screen.inverse());
    return { x: Math.min(1, Math.max(0, p.x / w)), y: Math.min(1, Math.max(0, p.y / h)) };
  };
  const draw = (e: PointerEvent): void => {
    const a = from.current;
    const b = place(e);
    if (a && b) card.value = { x: Math.min(a.x, b.x), y: Math.min(a.y, b.y), w: Math.abs(a.x - b.x), h: Math.abs(a.y - b.y) };
  };
  return (
    <svg
      class="tw-card"
      ref={svg}
      viewBox={`0 0 ${w} ${h}`}
      aria-hidden="true"
      onClick={(e) => e.stopPropagation()}
      onPointerDown={(e) => {
        from.current = place(e);
        e.currentTarget.setPointerCapture(e.pointerId);
      }}
      onPointerMove={draw}
      onPointerUp={(e) => {
        draw(e);
        from.current = undefined;
      }}
    >
      <rect x={box.x * w} y={box.y * h} width={box.w * w} height={box.h * h} stroke-width={h / 240} />
    </svg>
  );
}
