import { useHeld } from "../hold";

/** A number that is dragged or typed; it is decided when the hand has come to rest. */
export function Slide(p: {
  readonly words: string;
  readonly unit?: string;
  readonly value: number;
  readonly from: number;
  readonly to: number;
  readonly step: number;
  readonly short?: boolean; // the number alone
  readonly onTry: (v: number) => void;
}) {
  const { grading } = useHeld().desk;
  const take = (text: string): void => {
    const v = Number(text);
    if (text !== "" && Number.isFinite(v)) p.onTry(Math.min(p.to, Math.max(p.from, v)));
  };
  const ends = { min: p.from, max: p.to, step: p.step, "aria-label": p.unit ? `${p.words}, ${p.unit}` : p.words };
  return (
    <span class="tw-slide" data-short={p.short ? "" : undefined}>
      <span aria-hidden="true">{p.words}</span>
      {p.short ? undefined : (
        <input
          type="range"
          {...ends}
          value={p.value}
          onPointerDown={() => grading.hold()}
          onPointerUp={() => grading.release()}
          onPointerCancel={() => grading.release()}
          onInput={(e) => take(e.currentTarget.value)}
          onDblClick={() => p.onTry(Math.min(p.to, Math.max(p.from, 0)))}
        />
      )}
      <input type="number" {...ends} aria-label={p.short ? ends["aria-label"] : `${ends["aria-label"]}, as a number`} value={+p.value.toFixed(3)} onInput={(e) => take(e.currentTarget.value)} />
      {p.unit ? <span aria-hidden="true">{p.unit}</span> : undefined}
    </span>
  );
}
