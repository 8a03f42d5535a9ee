import type { ComponentChildren } from "preact";
import { useRef, useState } from "preact/hooks";
import { type Fill, Shape } from "./shapes";

/** A word that does something when it is tapped, or when it is held. */
export interface Item {
  readonly word: string;
  readonly fill?: Fill | undefined; // a state, by shape
  readonly on?: boolean | undefined; // it is the one that is chosen
  readonly off?: boolean | undefined; // it can do nothing now
  readonly tap?: () => void;
  readonly hold?: () => void;
}

const holdMS = 450;

export function Target({ item, big }: { readonly item: Item; readonly big?: boolean }) {
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const stop = (): void => clearTimeout(timer.current);
  const press = (): void => {
    if (item.hold) timer.current = setTimeout(item.hold, holdMS);
  };
  return (
    <button
      type="button"
      class={big ? "target big" : "target"}
      disabled={item.off ?? false}
      aria-pressed={item.on}
      onPointerDown={press}
      onPointerUp={stop}
      onPointerLeave={stop}
      onPointerCancel={stop}
      onContextMenu={(e) => e.preventDefault()}
      onClick={(e) => (item.hold && e.detail === 0 ? item.hold() : item.tap?.())}
    >
      {item.fill && <Shape fill={item.fill} />}
      <span>{item.word}</span>
    </button>
  );
}

const perPage = 9;

interface GridProps {
  readonly items: readonly Item[];
  readonly two?: boolean;
  /** The way back, always in the same corner. */
  readonly close?: () => void;
}

/** Targets in the lower half; what does not fit comes after "next". */
export function Grid({ items, two, close }: GridProps) {
  const [page, turn] = useState(0);
  const room = perPage - (close ? 1 : 0);
  let shown = items;
  if (items.length > room) {
    const first = page * (room - 1);
    const last = first + room - 1;
    shown = [...items.slice(first, last), { word: "next", tap: () => turn(last < items.length ? page + 1 : 0) }];
  }
  return (
    <div class={two ? "grid two" : "grid"}>
      {shown.map((i) => (
        <Target key={i.word} item={i} />
      ))}
      {close && (
        <div class="corner">
          <Target item={{ word: "close", tap: close }} />
        </div>
      )}
    </div>
  );
}

/** A screen: what is told above, what can be done below. */
export function Screen({ above, children }: { readonly above: ComponentChildren; readonly children: ComponentChildren }) {
  return (
    <main>
      <div class="above">{above}</div>
      <div class="below">{children}</div>
    </main>
  );
}
