import { type Signal, effect, signal } from "@preact/signals";

export type Light = "system" | "light" | "dark";
export const textSizes = [100, 115, 130, 150, 175, 200] as const;

/** How the page looks and sounds here; kept in the browser. */
export class Looks {
  readonly light: Signal<Light>;
  readonly text: Signal<number>;
  readonly volume: Signal<number>;
  /** Rises when colours or sizes change, for what is drawn. */
  readonly turn = signal(0);

  constructor(storage: Storage, root: HTMLElement) {
    const light = storage.getItem("takeweave light");
    this.light = signal<Light>(light === "light" || light === "dark" ? light : "system");
    const text = Number(storage.getItem("takeweave text"));
    this.text = signal(textSizes.some((s) => s === text) ? text : 100);
    const volume = Number(storage.getItem("takeweave volume") ?? "0.8");
    this.volume = signal(volume >= 0 && volume <= 1 ? volume : 0.8);
    effect(() => {
      root.dataset["light"] = this.light.value;
      root.dataset["text"] = String(this.text.value);
      storage.setItem("takeweave light", this.light.value);
      storage.setItem("takeweave text", String(this.text.value));
      storage.setItem("takeweave volume", String(this.volume.value));
      this.turn.value = this.turn.peek() + 1;
    });
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.turn.value++);
  }
}
