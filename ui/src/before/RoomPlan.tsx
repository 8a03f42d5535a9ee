import { useEffect, useRef, useState } from "preact/hooks";
import type { PlanPlan, PlanTold, RoomOutline, RoomPoint } from "../api/types";
import { cm, moveCamera, moveLamp, ofPlaced, ofSetup, put, at as nth } from "./edit";
import { bearingOf, cameraAt, pointAt } from "./geometry";
import { usePlan } from "./hold";
import type { Change } from "./planning";

/** Something that is moved about in the room. */
interface Piece {
  readonly id: string;
  readonly kind: "musician" | "camera" | "lamp" | "practical" | "furniture";
  readonly name: string;
  readonly at: RoomPoint;
  readonly says: string; // beside its name
  readonly radius: number;
  readonly hit?: boolean; // it belongs to the setup at hand
  readonly towards?: number; // where it looks or shines, degrees
  move(to: RoomPoint): Change;
}

const lampHead = 0.16;

/** What stands in the room, as the hands have it now. */
export function piecesOf(plan: PlanPlan, told: PlanTold, light: number, setup: number): readonly Piece[] {
  const m = plan.musician?.at;
  const faces = plan.musician?.faces ?? 0;
  const pieces: Piece[] = (plan.room?.things ?? []).map((t, i) => ({
    id: `thing ${i}`,
    kind: "furniture",
    name: t.name || "thing",
    at: t.at,
    says: "",
    radius: t.radius || 0.2,
    move: (to) => (p) => put(p, "room", put(p.room ?? {}, "things", nth(p.room?.things, i, (o) => ({ ...o, at: to })))),
  }));
  if (!m) return pieces;
  const lit = told.lights?.[light];
  (plan.lights?.[light]?.lamps ?? []).forEach((l, i) => {
    const level = (l.distance ?? 0) * Math.cos(((l.elevation ?? 0) * Math.PI) / 180);
    const at = l.at ?? (l.distance ? pointAt(m, faces + (l.bearing ?? 0), level) : undefined);
    if (!at) return;
    const lux = lit?.lamps?.find((o) => o.lamp === l.lamp)?.lux;
    pieces.push({
      id: `lamp ${i}`,
      kind: "lamp",
      name: l.lamp,
      at,
      says: lux ? `${Math.round(lux)} lx` : "",
      radius: lampHead,
      towards: bearingOf(at, m),
      move: (to) => ofPlaced(light, i, (o) => moveLamp(o, to, m, faces)),
    });
  });
  (plan.practicals ?? []).forEach((l, i) => {
    if (!l.at) return;
    pieces.push({ id: `practical ${i}`, kind: "practical", name: l.name || "practical", at: l.at, says: "", radius: 0.1, move: (to) => (p) => put(p, "practicals", nth(p.practicals, i, (o) => ({ ...o, at: to }))) });
  });
  pieces.push({ id: "musician", kind: "musician", name: plan.musician?.name || "musician", at: m, says: "", radius: 0.28, towards: faces, move: (to) => (p) => put(p, "musician", { ...p.musician, at: to }) });
  (plan.setups ?? []).forEach((s, i) => {
    const at = cameraAt(plan, s);
    if (!at) return;
    pieces.push({ id: `camera ${i}`, kind: "camera", name: s.name, at, says: i === setup ? `${(s.distance ?? 0).toFixed(2)} m` : "", radius: 0.14, hit: i === setup, towards: bearingOf(at, m), move: (to) => ofSetup(i, (o) => moveCamera(o, to, m, faces)) });
  });
  return pieces;
}

const points = (o: RoomOutline): string => (o.points ?? []).map((p) => `${p.x},${-p.y}`).join(" ");

/** How much of the plan is to be seen: the walls with some air, or what stands around the musician. */
function extent(told: PlanTold, pieces: readonly Piece[]): { x: number; y: number; w: number; h: number } {
  const d = told.room.drawing;
  const corners = d ? [d.low, d.high] : [{ x: -3, y: -3 }, { x: 3, y: 3 }];
  const all = [...corners, ...pieces.map((p) => p.at)];
  const air = 0.45;
  const low = { x: Math.min(...all.map((p) => p.x)) - air, y: Math.min(...all.map((p) => p.y)) - air };
  const high = { x: Math.max(...all.map((p) => p.x)) + air, y: Math.max(...all.map((p) => p.y)) + air };
  return { x: low.x, y: -high.y, w: high.x - low.x, h: high.y - low.y };
}

const stepM = 0.05;
const arrows: { readonly [key: string]: RoomPoint } = { ArrowLeft: { x: -1, y: 0 }, ArrowRight: { x: 1, y: 0 }, ArrowUp: { x: 0, y: 1 }, ArrowDown: { x: 0, y: -1 } };

/** The room in plan, to scale. Whatever stands in it is moved by hand or by arrow keys. */
export function RoomPlan() {
  const { planning, plan, told } = usePlan();
  const svg = useRef<SVGSVGElement>(null);
  const [wide, setWide] = useState(600);
  const frozen = useRef<ReturnType<typeof extent> | undefined>(undefined); // while a hand drags, the plan keeps its scale
  const grip = useRef<{ id: string; off: RoomPoint; moved: boolean } | undefined>(undefined);
  useEffect(() => {
    if (!svg.current) return undefined;
    const watch = new ResizeObserver(([e]) => e && setWide(e.contentRect.width));
    watch.observe(svg.current);
    return () => watch.disconnect();
  }, [svg.current]);
  const setup = planning.setup.value;
  const pieces = piecesOf(plan, told, planning.light.value, setup);
  const empty = !told.room.drawing && pieces.length === 0;
  const view = frozen.current ?? extent(told, pieces);
  const em = (view.w / Math.max(200, wide)) * 12.5; // letters of one size, however large the room
  const select = (p: Piece): void => {
    planning.item.value = p.id;
    if (p.kind === "camera") planning.setup.value = Number(p.id.split(" ")[1]);
  };
  const under = (e: PointerEvent): RoomPoint | undefined => {
    const m = svg.current?.getScreenCTM();
    if (!m) return undefined;
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(m.inverse());
    return { x: p.x, y: -p.y };
  };
  const take = (p: Piece, e: PointerEvent & { currentTarget: SVGGElement }): void => {
    const here = under(e);
    if (!here || e.button !== 0) return;
    e.currentTarget.setPointerCapture(e.pointerId);
    frozen.current = view;
    grip.current = { id: p.id, off: { x: p.at.x - here.x, y: p.at.y - here.y }, moved: false };
    select(p);
  };
  const drag = (p: Piece, e: PointerEvent): void => {
    const g = grip.current;
    const here = under(e);
    if (!g || g.id !== p.id || !here) return;
    const to = { x: cm(here.x + g.off.x), y: cm(here.y + g.off.y) };
    if (!g.moved && Math.hypot(to.x - p.at.x, to.y - p.at.y) < 0.02) return;
    g.moved = true;
    planning.try(p.move(to));
  };
  const drop = (): void => {
    const moved = grip.current?.moved ?? false;
    grip.current = undefined;
    frozen.current = undefined;
    if (moved) planning.decide();
  };
  const nudge = (p: Piece, e: KeyboardEvent): void => {
    const by = arrows[e.key];
    if (!by) return;
    e.preventDefault();
    e.stopPropagation();
    const step = stepM * (e.shiftKey ? 5 : 1);
    select(p);
    planning.nudge(p.move({ x: cm(p.at.x + by.x * step), y: cm(p.at.y + by.y * step) }));
  };
  const outlines = told.room.drawing?.outlines ?? [];
  const views = outlines.filter((o) => o.kind === "view");
  const built = outlines.filter((o) => ["wall", "door", "window", "mirror", "glass", "socket"].includes(o.kind));
  const line = em * 0.12;
  if (empty) return undefined;
  return (
    <svg ref={svg} class="tb-plan" viewBox={`${view.x} ${view.y} ${view.w} ${view.h}`} role="group" aria-label="the room in plan; what stands in it is moved with the arrow keys" font-size={em} stroke-width={line}>
      {told.room.drawing ? <polygon class="tb-floor" points={(told.room.room?.corners ?? []).map((c) => `${c.x},${-c.y}`).join(" ")} /> : <rect class="tb-floor" data-open="" x={view.x + em} y={view.y + em} width={view.w - 2 * em} height={view.h - 2 * em} />}
      {views.map((o) => (
        <polygon key={`view ${o.name}`} class="tb-view" data-hand={o.name === plan.setups?.[setup]?.name ? "" : undefined} points={points(o)} />
      ))}
      {built.map((o, i) => (
        <Built key={i} outline={o} em={em} middle={{ x: view.x + view.w / 2, y: -(view.y + view.h / 2) }} />
      ))}
      {(told.room.room?.corners ?? []).map((c, i, all) => (
        <WallNumber key={i} number={i + 1} from={c} to={all[(i + 1) % all.length] ?? c} em={em} />
      ))}
      <Scale view={view} em={em} />
      {pieces.map((p) => (
        <g
          key={p.id}
          class="tb-piece"
          data-kind={p.kind}
          data-piece={p.id}
          data-hand={planning.item.value === p.id || p.hit ? "" : undefined}
          tabIndex={0}
          role="button"
          aria-roledescription="to be moved"
          aria-label={`${p.kind} ${p.name === p.kind ? "" : p.name}${p.says ? `, ${p.says}` : ""}, ${p.at.x.toFixed(2)} m across, ${p.at.y.toFixed(2)} m along`}
          transform={`translate(${p.at.x} ${-p.at.y})`}
          onPointerDown={(e) => take(p, e)}
          onPointerMove={(e) => drag(p, e)}
          onPointerUp={drop}
          onPointerCancel={drop}
          onFocus={() => select(p)}
          onKeyDown={(e) => nudge(p, e)}
          onBlur={() => planning.settle()}
        >
          <circle class="tb-grip" r={Math.max(p.radius, em * 1.1)} />
          <Shape piece={p} />
          <text y={p.kind === "camera" ? Math.max(p.radius, em * 0.4) + em * 1.05 : -Math.max(p.radius, em * 0.35) - em * 0.4} text-anchor="middle">
            {p.name}
            {p.says ? <tspan class="tb-soft"> {p.says}</tspan> : undefined}
          </text>
        </g>
      ))}
    </svg>
  );
}

/** A piece as it is drawn; each kind has a shape of its own. */
function Shape({ piece: p }: { readonly piece: Piece }) {
  const r = p.radius;
  switch (p.kind) {
    case "musician":
      return (
        <g transform={`rotate(${p.towards ?? 0})`}>
          <ellipse class="tb-body" rx={r} ry={r * 0.55} />
          <circle class="tb-head" r={r * 0.42} />
          <path class="tb-nose" d={`M 0 ${-r * 0.42} V ${-r * 0.85}`} />
        </g>
      );
    case "camera":
      return <path class="tb-camera" transform={`rotate(${p.towards ?? 0})`} d={`M ${-r * 0.85} ${r} H ${r * 0.85} V ${-r * 0.3} H ${r * 0.4} L ${r * 0.7} ${-r} H ${-r * 0.7} L ${-r * 0.4} ${-r * 0.3} H ${-r * 0.85} Z`} />;
    case "lamp":
      return (
        <g transform={`rotate(${p.towards ?? 0})`}>
          <path class="tb-beam" d={`M 0 ${-r * 0.6} V ${-r * 3.2} M ${-r * 0.7} ${-r * 0.6} L ${-r * 1.5} ${-r * 2.9} M ${r * 0.7} ${-r * 0.6} L ${r * 1.5} ${-r * 2.9}`} />
          <path class="tb-lamp" d={`M ${-r} ${-r * 0.4} H ${r} L ${r * 0.55} ${r * 0.6} H ${-r * 0.55} Z`} />
        </g>
      );
    case "practical":
      return <path class="tb-practical" d={`M 0 ${-r} L ${r * 0.3} ${-r * 0.3} L ${r} 0 L ${r * 0.3} ${r * 0.3} L 0 ${r} L ${-r * 0.3} ${r * 0.3} L ${-r} 0 L ${-r * 0.3} ${-r * 0.3} Z`} />;
    case "furniture":
      return <circle class="tb-thing" r={r} />;
  }
}

/** A wall, or what is built into one, with its name. */
function Built({ outline: o, em, middle }: { readonly outline: RoomOutline; readonly em: number; readonly middle: RoomPoint }) {
  const first = o.points?.[0];
  const last = o.points?.at(-1);
  if (!first || !last) return undefined;
  if (o.kind === "wall") return o.closed ? <polygon class="tb-wall" points={points(o)} /> : <polyline class="tb-wall" points={points(o)} />;
  if (o.kind === "socket")
    return (
      <g class="tb-socket" transform={`translate(${first.x} ${-first.y})`}>
        <title>socket {o.name}</title>
        <circle r={em * 0.36} />
        <path d={`M ${-em * 0.13} 0 h 0.001 M ${em * 0.13} 0 h 0.001`} />
      </g>
    );
  const mid = { x: (first.x + last.x) / 2, y: (first.y + last.y) / 2 };
  const in_ = { x: Math.sign(middle.x - mid.x), y: Math.sign(middle.y - mid.y) };
  const upright = Math.abs(first.x - last.x) < Math.abs(first.y - last.y);
  const words = o.name && o.name !== o.kind ? o.name : o.kind;
  return (
    <g class="tb-opening" data-kind={o.kind}>
      <polyline class="tb-gap" points={points(o)} />
      <polyline points={points(o)} />
      <text transform={upright ? `translate(${mid.x - in_.x * em * 0.55} ${-mid.y}) rotate(-90)` : `translate(${mid.x} ${-mid.y + in_.y * em * 0.55})`} dominant-baseline="middle" text-anchor="middle">
        {words}
      </text>
    </g>
  );
}

/** The number of a wall, inside of it: the room lies on its right. */
function WallNumber({ number, from, to, em }: { readonly number: number; readonly from: RoomPoint; readonly to: RoomPoint; readonly em: number }) {
  const at = pointAt({ x: from.x + 0.12 * (to.x - from.x), y: from.y + 0.12 * (to.y - from.y) }, bearingOf(from, to) + 90, em);
  return (
    <text class="tb-wall-number" x={at.x} y={-at.y} text-anchor="middle" dominant-baseline="middle">
      {number}
    </text>
  );
}

/** A metre, to see how large the room is. */
function Scale({ view, em }: { readonly view: { x: number; y: number; w: number; h: number }; readonly em: number }) {
  const x = view.x + view.w - 1 - em * 0.6;
  const y = view.y + view.h - em * 0.7;
  return (
    <g class="tb-scale">
      <path d={`M ${x} ${y - em * 0.3} V ${y} H ${x + 1} V ${y - em * 0.3}`} />
      <text x={x + 0.5} y={y - em * 0.35} text-anchor="middle">
        1 m
      </text>
    </g>
  );
}
