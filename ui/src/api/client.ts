import type {
  Cut,
  Decided,
  Decision,
  Failure,
  Film,
  Instants,
  Looked,
  LUTFile,
  LUTTaken,
  Match,
  MatchAsk,
  Others,
  Scopes,
  ScopesAsk,
  Start,
  TableAsk,
  Wave,
  Why,
} from "./types";

/** What went wrong, with what to do about it. */
export class Refusal extends Error {
  constructor(
    message: string,
    readonly hint: string,
    readonly status: number,
  ) {
    super(message);
  }
}

async function ask(path: string, init?: RequestInit): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, init);
  } catch (e) {
    if (e instanceof DOMException && e.name === "AbortError") throw e;
    throw new Refusal("the program does not answer", "look whether takeweave still runs; what was decided is kept", 0);
  }
  if (!answer.ok) {
    const said: Partial<Failure> = await answer.json().catch(() => ({}));
    throw new Refusal(said.message ?? `the program answered ${answer.status}`, said.hint ?? "", answer.status);
  }
  return answer;
}

export async function call<T>(path: string, init?: RequestInit): Promise<T> {
  const text = await (await ask(path, init)).text();
  return (text === "" ? undefined : JSON.parse(text)) as T;
}

export const post = (body?: unknown): RequestInit => ({
  method: "POST",
  headers: { "Content-Type": "application/json" },
  body: JSON.stringify(body ?? {}),
});

const query = (fields: { readonly [name: string]: string | number }): string =>
  new URLSearchParams(Object.entries(fields).map(([k, v]) => [k, String(v)])).toString();

export const api = {
  film: (signal?: AbortSignal) => call<Film>("/api/film", signal ? { signal } : {}),
  cut: (of: string, signal?: AbortSignal) => call<Cut>(`/api/cut?${query({ of })}`, signal ? { signal } : {}),
  others: (of: string, from: number, to: number, signal: AbortSignal) => call<Others>(`/api/others?${query({ of, from, to })}`, { signal }),
  why: (of: string, pass: string, at: number, signal: AbortSignal) => call<Why>(`/api/why?${query({ of, pass, at })}`, { signal }),
  decide: (d: Decision) => call<Decided>("/api/decide", post(d)),
  undo: () => call<Decided>("/api/undo", post()),
  redo: () => call<Decided>("/api/redo", post()),
  work: (s: Start) => call<void>("/api/work", post(s)),
  stop: () => call<void>("/api/stop", post()),
  wave: () => call<Wave>("/media/wave"),
  look: (signal: AbortSignal) => call<Looked>("/api/look", { signal }),
  table: async (t: TableAsk) => (await ask("/api/table", post(t))).arrayBuffer(),
  instants: (of: string, signal: AbortSignal) => call<Instants>(`/api/instants?${query({ of })}`, { signal }),
  scopes: (s: ScopesAsk, signal: AbortSignal) => call<Scopes>("/api/scopes", { ...post(s), signal }),
  match: (m: MatchAsk) => call<Match>("/api/match", post(m)),
  takeLUT: (f: LUTFile) => call<LUTTaken>("/api/lut", post(f)),
};

export const media = {
  record: "/media/record",
  clip: (id: number) => `/media/clip/${id}`,
  ear: (pass: string) => `/media/ear/${encodeURIComponent(pass)}`,
  still: (pass: string, at: number, width: number) => `/media/still/${encodeURIComponent(pass)}?${query({ at: Math.max(0, at).toFixed(2), w: width })}`,
  film: (order: string) => `/media/film/${encodeURIComponent(order)}`,
  lookSheet: (of: string) => `/media/look-sheet?${query({ of })}`,
};
