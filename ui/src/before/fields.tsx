import { useId, useRef, useState } from "preact/hooks";
import type { ComponentChildren } from "preact";
import { usePlanning } from "./hold";
import type { Change } from "./planning";

const numberOf = (text: string): number | undefined => (text.trim() === "" ? undefined : Number(text.trim().replace(",", ".")));

const shown = (v: number | undefined): string => (v === undefined || v === 0 ? "" : String(+v.toFixed(3)));

/**
 * A number that is typed: what it would do is shown while it is typed, and decided
 * when the hand leaves it. Arrow keys count it up and down. Empty is not known yet.
 */
export function Num(p: {
  readonly words: string;
  readonly unit?: string | undefined;
  readonly value: number | undefined;
  readonly usual?: number | undefined; // what counts while nothing is typed
  readonly step?: number;
  readonly short?: boolean; // its words are said, not shown
  readonly zero?: boolean; // 0 is a value
  readonly about?: string; // which of several it belongs to, for those who hear it
  readonly onPut: (v: number | undefined) => Change;
}) {
  const planning = usePlanning();
  const [text, setText] = useState<string>();
  const typed = useRef(false);
  const type = (now: string): void => {
    typed.current = true;
    setText(now);
    const v = numberOf(now);
    if (v === undefined || Number.isFinite(v)) planning.try(p.onPut(v));
  };
  const count = (by: number): void => {
    const from = text === undefined ? (p.value ?? p.usual ?? 0) : (numberOf(text) ?? 0);
    type(String(+(from + by * (p.step ?? 0.05)).toFixed(3)));
  };
  const rest = (): void => {
    if (!typed.current) return;
    typed.current = false;
    setText(undefined);
    planning.decide();
  };
  return (
    <label class="tb-field">
      <span class={p.short ? "tw-hidden" : "tb-field-words"}>
        {p.words}
        {p.about ? <span class="tw-hidden"> of {p.about}</span> : undefined}
      </span>
      <input
        type="text"
        inputMode="decimal"
        autocomplete="off"
        class="tb-num"
        value={text ?? (p.zero && p.value === 0 ? "0" : shown(p.value))}
        placeholder={p.usual === undefined ? "" : shown(p.usual)}
        onInput={(e) => type(e.currentTarget.value)}
        onKeyDown={(e) => {
          if (e.key === "Enter") rest();
          if (e.key !== "ArrowUp" && e.key !== "ArrowDown") return;
          e.preventDefault();
          count((e.key === "ArrowUp" ? 1 : -1) * (e.shiftKey ? 10 : 1));
        }}
        onBlur={rest}
      />
      {p.unit ? <span class="tb-unit">{p.unit}</span> : undefined}
    </label>
  );
}

/** Words that are typed, decided when the hand leaves them. */
export function Text(p: {
  readonly words: string;
  readonly value: string | undefined;
  readonly usual?: string;
  readonly short?: boolean;
  readonly wide?: boolean;
  readonly about?: string;
  readonly onPut: (v: string) => Change;
}) {
  const planning = usePlanning();
  return (
    <label class="tb-field" data-wide={p.wide ? "" : undefined}>
      <span class={p.short ? "tw-hidden" : "tb-field-words"}>
        {p.words}
        {p.about ? <span class="tw-hidden"> of {p.about}</span> : undefined}
      </span>
      <input type="text" autocomplete="off" value={p.value ?? ""} placeholder={p.usual ?? ""} onChange={(e) => planning.decide(p.onPut(e.currentTarget.value.trim()))} />
    </label>
  );
}

/** One of several words. */
export function Pick(p: {
  readonly words: string;
  readonly value: string | undefined;
  readonly of: readonly string[];
  readonly none?: string; // how no value is called
  readonly short?: boolean;
  readonly about?: string;
  readonly onPut: (v: string) => Change;
}) {
  const planning = usePlanning();
  const of = p.value && !p.of.includes(p.value) ? [...p.of, p.value] : p.of;
  return (
    <label class="tb-field">
      <span class={p.short ? "tw-hidden" : "tb-field-words"}>
        {p.words}
        {p.about ? <span class="tw-hidden"> of {p.about}</span> : undefined}
      </span>
      <select value={p.value ?? ""} onChange={(e) => planning.decide(p.onPut(e.currentTarget.value))}>
        {p.none !== undefined ? <option value="">{p.none}</option> : undefined}
        {of.map((o) => (
          <option key={o} value={o}>
            {o}
          </option>
        ))}
      </select>
    </label>
  );
}

export function Tick(p: { readonly words: string; readonly value: boolean; readonly onPut: (v: boolean) => Change }) {
  const planning = usePlanning();
  return (
    <label class="tb-field">
      <input type="checkbox" checked={p.value} onChange={(e) => planning.decide(p.onPut(e.currentTarget.checked))} /> <span>{p.words}</span>
    </label>
  );
}

/** A word that decides something. */
export function Act(p: { readonly change: Change; readonly strong?: boolean; readonly label?: string; readonly children: ComponentChildren }) {
  const planning = usePlanning();
  return (
    <button type="button" class={p.strong ? "tw-word tw-strong" : "tw-word"} aria-label={p.label} onClick={() => planning.decide(p.change)}>
      <span>{p.children}</span>
    </button>
  );
}

/** A part that opens: what is seldom needed stands behind a word. */
export function Fold(p: { readonly words: string; readonly id?: string; readonly open?: boolean; readonly children: ComponentChildren }) {
  return (
    <details class="tb-fold" id={p.id} tabIndex={p.id ? -1 : undefined} open={p.open ?? false}>
      <summary>{p.words}</summary>
      <div>{p.children}</div>
    </details>
  );
}

/** Goes to a part of the page, and opens it. */
export function goTo(part: string): void {
  const to = document.getElementById(`part-${part}`);
  const fold = to?.closest("details");
  if (fold) fold.open = true;
  to?.scrollIntoView({ block: "start", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
  to?.focus({ preventScroll: true });
}

/** A part of the page under its name; counts is the room whose defaults it counts with. */
export function Part(p: { readonly id: string; readonly words: string; readonly lead?: string; readonly counts?: string; readonly children: ComponentChildren }) {
  const id = useId();
  return (
    <section class="tb-part" id={`part-${p.id}`} aria-labelledby={id} tabIndex={-1}>
      <div class="tb-part-head">
        <h2 id={id}>{p.words}</h2>
        {p.counts ? (
          <button type="button" class="tw-word" onClick={() => goTo(`defaults-${p.counts}`)}>
            the numbers it counts with
          </button>
        ) : undefined}
      </div>
      {p.lead ? <p class="tw-lead">{p.lead}</p> : undefined}
      {p.children}
    </section>
  );
}
