// Made from the Go types by a test in internal/workbench/page; do not edit.

export interface DayAsk {
  readonly say: string;
  readonly why: string;
  readonly setup: string;
  readonly lines?: string;
}

export interface DayEvents {
  readonly film: string;
  readonly events: readonly Event[] | null;
}

export interface DayJudged {
  readonly pass: string;
  readonly good: number;
  readonly of: number;
}

export interface DayLine {
  readonly name: string;
  readonly section: string;
  readonly state: string;
  readonly must_see?: boolean;
}

export interface DayPhoto {
  readonly name: string;
  readonly jpeg: string;
}

export interface DaySetup {
  readonly name: string;
  readonly lens?: string;
}

export interface DayState {
  readonly rev: number;
  readonly film: string;
  readonly events: readonly Event[] | null;
  readonly lines: readonly DayLine[] | null;
  readonly setups: readonly DaySetup[] | null;
  readonly asks: readonly DayAsk[] | null;
  readonly stop: string;
  readonly outlook?: string;
  readonly judged?: DayJudged;
  readonly battery?: string;
  readonly files: readonly string[] | null;
  readonly strikes: readonly DayStrike[] | null;
  readonly put_back: readonly string[] | null;
  readonly plan: Plan;
  readonly full_voice: number;
}

export interface DayStrike {
  readonly kind: string;
  readonly name: string;
  readonly may: string;
  readonly say: string;
  readonly look?: readonly string[];
}

export interface DayTaken {
  readonly added: number;
}

export interface Entry {
  readonly id: string;
  readonly number: number;
  readonly setup: string;
  readonly rolling_ms?: number;
  readonly cut_ms?: number;
  readonly verdict?: string;
  readonly lines?: string;
  readonly voice?: string;
  readonly flags_ms?: readonly number[];
  readonly notes?: readonly string[];
  readonly origin?: string;
}

export interface Event {
  readonly id: string;
  readonly phone: string;
  readonly count: number;
  readonly at_ms: number;
  readonly kind: string;
  readonly entry?: string;
  readonly of?: string;
  readonly after?: string;
  readonly number?: number;
  readonly setup?: string;
  readonly rolling_ms?: number;
  readonly cut_ms?: number;
  readonly verdict?: string;
  readonly lines?: string;
  readonly voice?: string;
  readonly origin?: string;
  readonly text?: string;
  readonly photo?: string;
  readonly on?: boolean;
  readonly free_gb?: number;
  readonly struck?: Struck;
}

export interface LampState {
  readonly name: string;
  readonly on: boolean;
}

export interface Plan {
  readonly song_s: number;
  readonly roll_s: number;
  readonly between_s: number;
  readonly gb_per_pass: number;
  readonly key_back_ms: number;
  readonly passes_to_go: number;
  readonly other_s: number;
}

export interface PutBackItem {
  readonly id: string;
  readonly text: string;
  readonly photo?: string;
  readonly done?: boolean;
}

export interface State {
  readonly entries: readonly Entry[] | null;
  readonly removed?: readonly Entry[];
  readonly running?: string;
  readonly next: number;
  readonly setup: string;
  readonly voice?: string;
  readonly lamps?: readonly LampState[];
  readonly struck?: readonly Struck[];
  readonly put_back?: readonly PutBackItem[];
  readonly card_free_gb?: number;
  readonly card_at_ms?: number;
}

export interface Struck {
  readonly what: string;
  readonly name: string;
  readonly photo?: string;
  readonly height_cm?: number;
  readonly distance_cm?: number;
  readonly dial?: string;
  readonly gel?: string;
}
