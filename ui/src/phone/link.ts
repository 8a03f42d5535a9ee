import { signal } from "@preact/signals";
import type { DayEvents, DayPhoto, DayState, Event } from "./types";
import type { Photos } from "./keep";

/** What the link needs of the log. */
export interface Log {
  readonly film: string;
  all(): readonly Event[];
  answered(a: DayState): void;
}

const patienceMS = 8000;
const atOnce = 200; // events in one request
const firstWaitMS = 500;
const longestWaitMS = 8000;

/**
 * The link to the program. Whatever was logged is sent in order and again until the
 * program has it: an event that arrives twice counts once.
 */
export class Link {
  /** Events that the program has surely not got yet. */
  readonly waiting = signal(0);
  readonly connected = signal(false);
  /** The program does not know this phone any more. */
  readonly refused = signal(false);
  readonly #has = new Set<string>();
  #rev = 0; // of the last answer
  #busy = false;
  #again = false;
  #wait = firstWaitMS;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #live: EventSource | undefined;

  constructor(
    readonly log: Log,
    readonly photos: Photos,
  ) {}

  open(): void {
    this.count();
    void this.meet();
    addEventListener("online", () => this.soon(0));
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.soon(0));
  }

  count(): void {
    this.waiting.value = this.log.all().filter((e) => !this.#has.has(e.id)).length;
  }

  /** Meets the program after a while. */
  soon(ms: number): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.meet(), ms);
  }

  /** Sends what waits and asks for what is new; tries again until it has gone well. */
  async meet(): Promise<void> {
    if (this.#busy) {
      this.#again = true;
      return;
    }
    this.#busy = true;
    clearTimeout(this.#timer);
    try {
      await this.#send();
      await this.#ask();
      await this.#sendPhotos();
      this.connected.value = true;
      this.refused.value = false;
      this.#wait = firstWaitMS;
      this.#listen();
      if (this.waiting.value > 0) this.#again = true;
    } catch (e) {
      this.refused.value = e instanceof Unpaired;
      this.connected.value = false;
      this.#live?.close();
      this.#live = undefined;
      this.soon(this.#wait);
      this.#wait = Math.min(2 * this.#wait, longestWaitMS);
      return;
    } finally {
      this.#busy = false;
    }
    if (this.#again) {
      this.#again = false;
      this.soon(0);
    }
  }

  async #send(): Promise<void> {
    for (;;) {
      const some = this.log.all().filter((e) => !this.#has.has(e.id)).slice(0, atOnce);
      if (some.length === 0) return;
      const body: DayEvents = { film: this.log.film, events: some };
      await post("/events", body);
      for (const e of some) this.#has.add(e.id);
      this.count();
    }
  }

  async #ask(): Promise<void> {
    const answer = (await (await reach("/state")).json()) as DayState;
    if (answer.film !== this.log.film) {
      location.reload(); // the page was kept for another film
      return;
    }
    this.#rev = answer.rev;
    this.#has.clear();
    for (const e of answer.events ?? []) this.#has.add(e.id);
    this.log.answered(answer);
    this.count();
  }

  async #sendPhotos(): Promise<void> {
    for (const name of await this.photos.names()) {
      const photo: DayPhoto = { name, jpeg: await this.photos.get(name) };
      await post("/photo", photo);
      await this.photos.drop(name);
    }
  }

  #listen(): void {
    if (this.#live) return;
    const live = new EventSource("/live");
    this.#live = live;
    live.addEventListener("rev", (e) => {
      if (Number(e.data) > this.#rev) this.soon(100);
    });
    live.onerror = () => {
      live.close();
      if (this.#live === live) this.#live = undefined;
      this.connected.value = false;
      this.soon(this.#wait);
    };
  }
}

class Unpaired extends Error {}

async function reach(path: string, init?: RequestInit): Promise<Response> {
  const answer = await fetch(path, { ...init, signal: AbortSignal.timeout(patienceMS) });
  if (answer.status === 403) throw new Unpaired();
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return answer;
}

const post = (path: string, body: unknown): Promise<Response> =>
  reach(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
