import { barsOf } from "../../look/finish";
import { useHeld } from "../hold";
import { Slide } from "./Slide";
import type { StepProps } from "./Steps";

export function ExposureStep({ look, onTry }: StepProps) {
  return <Slide words="lighter by" unit="stops" value={look.exposure_stops ?? 0} from={-3} to={3} step={0.05} onTry={(v) => onTry({ ...look, exposure_stops: v })} />;
}

const filmWhite = 6504;

export function WhiteStep({ look, onTry }: StepProps) {
  const w = look.white ?? {};
  return (
    <>
      <Slide words="white is a light of" unit="K" value={w.kelvin || filmWhite} from={2000} to={12000} step={50} onTry={(v) => onTry({ ...look, white: { ...w, kelvin: Math.abs(v - filmWhite) < 30 ? 0 : v } })} />
      <Slide words="warmer by" unit="mired" value={w.shift_mired ?? 0} from={-150} to={150} step={1} onTry={(v) => onTry({ ...look, white: { ...w, shift_mired: v } })} />
      <Slide words="to magenta by" value={w.tint ?? 0} from={-50} to={50} step={1} onTry={(v) => onTry({ ...look, white: { ...w, tint: v } })} />
    </>
  );
}

export function EdgeStep({ look, onTry }: StepProps) {
  const e = look.edge ?? {};
  return (
    <>
      <Slide words="corners darker by" unit="stops" value={e.stops ?? 0} from={0} to={4} step={0.05} onTry={(v) => onTry({ ...look, edge: { ...e, stops: v } })} />
      <Slide short words="centre to the right" value={e.x ?? 0} from={-1} to={1} step={0.05} onTry={(v) => onTry({ ...look, edge: { ...e, x: v } })} />
      <Slide short words="down" value={e.y ?? 0} from={-1} to={1} step={0.05} onTry={(v) => onTry({ ...look, edge: { ...e, y: v } })} />
    </>
  );
}

const shapes = ["", "2.39:1", "2.35:1", "2:1", "1.85:1", "16:9", "4:3", "1:1"];

export function LetterboxStep({ look, told, onTry }: StepProps) {
  const { store } = useHeld();
  const order = store.film.value?.orders?.find((o) => o.id === store.order.value);
  const bars = order && barsOf(look.letterbox, order.width, order.height);
  const covered = bars ? 1 - (1 - 2 * bars.left) * (1 - 2 * bars.top) : 0;
  return (
    <>
      <label>
        black bars to{" "}
        <select value={look.letterbox ?? ""} onChange={(e) => onTry({ ...look, letterbox: e.currentTarget.value })}>
          {shapes.map((s) => (
            <option key={s} value={s}>
              {s || "no shape: none"}
            </option>
          ))}
        </select>
      </label>
      {covered > 0 ? <span class="tw-quiet">they cover {(100 * covered).toFixed(1)} % of the picture</span> : undefined}
      {look.letterbox && (told?.no_room ?? []).length > 0 ? <span class="tw-no-room">no room for {(told?.no_room ?? []).join("; ")}</span> : undefined}
    </>
  );
}
