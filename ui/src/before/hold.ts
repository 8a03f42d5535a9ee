import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { PlanPlan, PlanTold } from "../api/types";
import type { Planning } from "./planning";

const context = createContext<Planning | undefined>(undefined);

export const PlanningHolder = context.Provider;

export function usePlanning(): Planning {
  const p = useContext(context);
  if (!p) throw new Error("a part outside of the plan");
  return p;
}

/** The planning with the plan and the answer, for parts that are shown once both are there. */
export function usePlan(): { readonly planning: Planning; readonly plan: PlanPlan; readonly told: PlanTold } {
  const planning = usePlanning();
  const plan = planning.plan.value;
  const told = planning.told.value;
  if (!plan || !told) throw new Error("a part before the plan");
  return { planning, plan, told };
}
