import type { Wave } from "../api/types";
import type { Plan } from "./layout";
import type { Score, ShotView } from "./score";

/** The colours of the drawing, read from the style sheet's tokens. */
export interface Inks {
  readonly ink: string;
  readonly soft: string;
  readonly faint: string;
  readonly hair: string;
  readonly ribbon: string;
  readonly paper: string;
  readonly thread: string;
  readonly madder: string;
  readonly sans: string;
  readonly serif: string;
}

export interface Picture {
  readonly score: Score;
  readonly plan: Plan;
  readonly inks: Inks;
  readonly shots: readonly ShotView[];
  readonly wave: Wave | undefined;
}
