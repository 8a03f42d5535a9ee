import { call, post } from "../api/client";
import type { Decided, PlanPlan, PlanTold, Planned } from "../api/types";

/** What the page asks the program about the plan. */
export const planCalls = {
  planned: () => call<Planned>("/api/plan"),
  /** What would follow from a plan that is not decided. */
  tell: (p: PlanPlan) => call<PlanTold>("/api/plan/told", post(p)),
  toRecord: () => call<Decided>("/api/plan/to-record", post()),
  decide: (p: PlanPlan) => call<Decided>("/api/plan", post(p)),
};
