import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { api } from "../../api/client";
import type { Match, MatchAsk, Setup, Trim } from "../../api/types";
import { trimSet } from "../../look/words";
import { passTime } from "../../play/programme";
import { setupsOf } from "../../sheet/score";
import { useHeld } from "../hold";
import { Slide } from "./Slide";

/** The small corrections of the setups, apart from the film's look. */
export function Trims() {
  const { store, desk } = useHeld();
  const film = store.film.value;
  const setups = film ? setupsOf(film) : [];
  if (setups.length === 0) return <p class="tw-quiet">There are no setups yet; they come with the clips.</p>;
  const seen = desk.passNamed(desk.player.seen.value?.pass)?.setup;
  return (
    <ol class="tw-steps">
      {setups.map((s) => (
        <TrimOf key={s.name} setup={s} seen={s.name === seen} others={setups.filter((o) => o.name !== s.name)} />
      ))}
    </ol>
  );
}

function TrimOf({ setup, seen, others }: { readonly setup: Setup; readonly seen: boolean; readonly others: readonly Setup[] }) {
  const { grading } = useHeld().desk;
  const trim: Trim = grading.now.value.trims[setup.name] ?? {};
  const change = (more: Trim): void => grading.tryTrim(setup.name, { ...trim, ...more });
  return (
    <li data-seen={seen ? "" : undefined}>
      <h3 class="tw-step-name">
        {setup.name}
        {seen ? <span class="tw-quiet"> is seen</span> : undefined}
      </h3>
      <div class="tw-step-body">
        <Slide words="lighter by" unit="stops" value={trim.exposure_stops ?? 0} from={-3} to={3} step={0.05} onTry={(v) => change({ exposure_stops: v })} />
        <Slide words="warmer by" unit="mired" value={trim.temperature_mired ?? 0} from={-150} to={150} step={1} onTry={(v) => change({ temperature_mired: v })} />
        <Slide words="to magenta by" value={trim.tint ?? 0} from={-50} to={50} step={0.5} onTry={(v) => change({ tint: v })} />
        <Slide words="colours by" unit="%" value={100 * (trim.saturation ?? 0)} from={-100} to={100} step={1} onTry={(v) => change({ saturation: v / 100 })} />
        {trimSet(trim) ? (
          <button type="button" class="tw-word" onClick={() => grading.tryTrim(setup.name, {})}>
            no trim
          </button>
        ) : undefined}
        <MatchOf setup={setup} seen={seen} others={others} />
      </div>
    </li>
  );
}

/** Brings a setup to another, or to a grey card; shown before it is kept. */
function MatchOf({ setup, seen, others }: { readonly setup: Setup; readonly seen: boolean; readonly others: readonly Setup[] }) {
  const { store, desk } = useHeld();
  const { grading } = desk;
  const found = useSignal<Match | undefined>(undefined);
  const asking = useSignal(false);
  const to = useSignal("");
  const match = async (ask: MatchAsk): Promise<void> => {
    asking.value = true;
    try {
      found.value = await api.match(ask);
      grading.showTrim(setup.name, found.value.trim);
    } catch (e) {
      store.refuse(e);
    } finally {
      asking.value = false;
    }
  };
  const leave = (): void => {
    if (found.peek()) grading.forget();
    found.value = undefined;
  };
  useEffect(() => leave, []); // what is only shown is not left behind
  return (
    <span class="tw-step-row">
      {others.length > 0 ? (
        <label>
          match to{" "}
          <select value={to.value} onChange={(e) => (to.value = e.currentTarget.value)}>
            <option value="">…</option>
            {others.map((o) => (
              <option key={o.name} value={o.name}>
                {o.name}
              </option>
            ))}
          </select>
        </label>
      ) : undefined}
      {others.length > 0 ? (
        <button type="button" class="tw-word" disabled={to.value === "" || asking.value} onClick={() => void match({ setup: setup.name, by: "moment", to: to.value })}>
          by the same moments of the song
        </button>
      ) : undefined}
      {seen ? <GreyCard disabled={asking.value} onMatch={(ask) => void match({ setup: setup.name, ...ask })} /> : undefined}
      {asking.value ? <span class="tw-quiet">comparing …</span> : undefined}
      {found.value ? (
        <span class="tw-found" role="status">
          {found.value.before.mean.toFixed(1)} apart without a trim, {found.value.after.mean.toFixed(1)} with it.
          {found.value.warning ? ` But ${found.value.warning}.` : ""}
          <button
            type="button"
            class="tw-word"
            onClick={() => {
              if (found.value) grading.tryTrim(setup.name, found.value.trim);
              found.value = undefined;
            }}
          >
            keep it
          </button>
          <button type="button" class="tw-word" onClick={leave}>
            leave it
          </button>
        </span>
      ) : undefined}
    </span>
  );
}

type CardAsk = Omit<MatchAsk, "setup">;

/** A grey card that is seen in the picture: drawn there, or told in numbers. */
function GreyCard({ disabled, onMatch }: { readonly disabled: boolean; readonly onMatch: (ask: CardAsk) => void }) {
  const { desk } = useHeld();
  const { card } = desk.grading;
  const box = card.value;
  const view = desk.player.seen.value;
  if (!box || !view) {
    return (
      <button type="button" class="tw-word" onClick={() => (card.value = { x: 0.45, y: 0.45, w: 0.1, h: 0.1 })}>
        by a grey card that is seen now
      </button>
    );
  }
  const field = (words: string, name: keyof typeof box) => (
    <Slide short words={words} unit="%" value={100 * box[name]} from={0} to={100} step={1} onTry={(v) => (card.value = { ...box, [name]: v / 100 })} />
  );
  return (
    <span class="tw-step-row">
      <em class="tw-lead">draw the card on the picture, or say where it is:</em>
      {field("left", "x")}
      {field("top", "y")}
      {field("wide", "w")}
      {field("high", "h")}
      <button
        type="button"
        class="tw-word"
        disabled={disabled || box.w <= 0 || box.h <= 0}
        onClick={() => {
          onMatch({ by: "grey", pass: view.pass, at_s: passTime(view, desk.place.here.value.at), box });
          card.value = undefined;
        }}
      >
        this is the card
      </button>
      <button type="button" class="tw-word" onClick={() => (card.value = undefined)}>
        no card
      </button>
    </span>
  );
}
