import type { Entry, Plan, State } from "./types";

/** The few numbers that are shown; undefined where nothing is known. */
export interface Figures {
  readonly voice: number; // full-voice passes that went at least half through the song
  readonly minutesLeft: number | undefined; // until the key goes back
  readonly passesLeft: number | undefined; // whole passes that fit on the card
}

/** As the program counts them; a test compares the two. */
export function figuresAt(s: State, p: Plan, nowMS: number): Figures {
  let voice = 0;
  let onCardS = 0;
  for (const e of s.entries ?? []) {
    const rolled = rolledBy(e, p, nowMS, e.id === s.running);
    if (!e.voice && !e.lines && rolled >= p.song_s / 2) voice++;
    if ((e.rolling_ms ?? 0) >= (s.card_at_ms ?? 0)) onCardS += rolled;
  }
  let passesLeft: number | undefined;
  if (s.card_at_ms && p.gb_per_pass > 0 && p.roll_s > 0) {
    const left = (s.card_free_gb ?? 0) - (onCardS * p.gb_per_pass) / p.roll_s;
    passesLeft = Math.max(0, Math.floor(left / p.gb_per_pass + 1e-9));
  }
  const minutesLeft = p.key_back_ms > 0 ? Math.max(0, (p.key_back_ms - nowMS) / 60_000) : undefined;
  return { voice, minutesLeft, passesLeft };
}

function rolledBy(e: Entry, p: Plan, nowMS: number, running: boolean): number {
  if (e.rolling_ms && e.cut_ms) return Math.max(0, (e.cut_ms - e.rolling_ms) / 1000);
  if (running) return Math.max(0, (nowMS - (e.rolling_ms ?? 0)) / 1000);
  return e.lines ? 0 : p.roll_s;
}
