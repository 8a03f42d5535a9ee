import type { Work } from "./types";

export interface Listener {
  rev(n: number): void;
  work(w: Work): void;
  /** false while the program does not answer. */
  connected(is: boolean): void;
}

/** Listens to the program and comes back by itself when the line breaks. */
export function listen(to: Listener): () => void {
  let source: EventSource | undefined;
  let again: ReturnType<typeof setTimeout> | undefined;
  let wait = 250;
  const open = (): void => {
    source = new EventSource("/api/live");
    source.onopen = () => {
      wait = 250;
      to.connected(true);
    };
    source.addEventListener("rev", (e) => to.rev(Number(e.data)));
    source.addEventListener("work", (e) => to.work(JSON.parse(e.data) as Work));
    source.onerror = () => {
      to.connected(false);
      source?.close();
      again = setTimeout(open, wait);
      wait = Math.min(wait * 2, 5000);
    };
  };
  open();
  return () => {
    clearTimeout(again);
    source?.close();
  };
}
