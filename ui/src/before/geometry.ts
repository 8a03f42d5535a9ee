import type { PlanPlan, PlanSetup, RoomPoint } from "../api/types";

const radians = (deg: number): number => (deg * Math.PI) / 180;

/** The point so far from another in a direction of the plan: degrees clockwise from up. */
export const pointAt = (from: RoomPoint, deg: number, metres: number): RoomPoint => ({ x: from.x + metres * Math.sin(radians(deg)), y: from.y + metres * Math.cos(radians(deg)) });

export const bearingOf = (from: RoomPoint, to: RoomPoint): number => (Math.atan2(to.x - from.x, to.y - from.y) * 180) / Math.PI;

/** Where a camera stands around the musician; undefined while that is not known. */
export function cameraAt(p: PlanPlan, s: PlanSetup): RoomPoint | undefined {
  const m = p.musician?.at;
  if (!m || !s.distance) return undefined;
  return pointAt(m, (p.musician?.faces ?? 0) + (s.angle_deg ?? 0), s.distance);
}
