import { farEnough, freeName, inPart, ofSetup, put } from "./edit";
import { Act, Num, Pick } from "./fields";
import { FrameView } from "./FrameView";
import { usePlan } from "./hold";
import { Judged } from "./LightPart";
import { FourWalls } from "./RoomLengths";
import { Say } from "./Say";
import { formats, Wanted } from "./SetupsPart";
import type { Change } from "./planning";
import type { PlanSetup } from "../api/types";

/** What most cameras record today; it is shown beside the first number and can be another. */
const usual = { pixels_width: 3840, pixels_height: 2160 } as const;
const pictures: readonly string[] = ["3840 × 2160", "1920 × 1080", "4096 × 2160"];

const records =
  (words: string): Change =>
  (p) => {
    const [w, h] = words.split(" × ").map(Number);
    return { ...p, camera: { ...p.camera, pixels_width: w ?? 0, pixels_height: h ?? 0 } };
  };

/** The first setup, made when its first number is typed. */
const first =
  (field: keyof PlanSetup, value: unknown): Change =>
  (p) => {
    const with_ = (p.setups ?? []).length > 0 ? p : put(p, "setups", [{ name: "first", passes: 1 } satisfies PlanSetup]);
    const camera = { ...with_, camera: { format: "full frame", ...usual, ...with_.camera } };
    return ofSetup(0, (s) => put(s, field, value))(camera);
  };

/** The first lamp, with a light in which it is the key. */
const firstLamp =
  (field: string, value: unknown): Change =>
  (p) => {
    const lamps = (p.lamps ?? []).length > 0 ? (p.lamps ?? []) : [{ name: freeName("soft lamp", []) }];
    const name = lamps[0]?.name ?? "";
    const next = { ...p, lamps: lamps.map((l, i) => (i === 0 ? put(l, field, value) : l)) };
    const lit = (p.lights ?? []).length > 0 ? next : { ...next, lights: [{ name: "evening", lamps: [{ lamp: name, role: "key", distance: 1.4, bearing: 45, elevation: 30 }] }] };
    return { ...lit, setups: (lit.setups ?? []).map((s, i) => (i === 0 && !s.light ? { ...s, light: lit.lights?.[0]?.name ?? "" } : s)) };
  };

/** What is still missing of a beginning. */
export function beginning(plan: { readonly setups?: readonly PlanSetup[]; readonly room?: { readonly walls?: readonly unknown[] }; readonly lamps?: readonly unknown[] }): boolean {
  return (plan.setups ?? []).length === 0 && (plan.lamps ?? []).length === 0 && (plan.room?.walls ?? []).length === 0;
}

/** The first evening: what is known already, each number useful by itself. */
export function Begin({ onEnough }: { readonly onEnough: () => void }) {
  const { plan, told } = usePlan();
  const setup = plan.setups?.[0];
  const seen = told.setups?.[0];
  const lamp = plan.lamps?.[0];
  const placed = plan.lights?.[0]?.lamps?.[0];
  const light = seen?.light;
  return (
    <section class="tb-begin" aria-label="a beginning">
      <p class="tw-first-words">What is known tonight?</p>
      <p class="tw-quiet">Type what you have. Each number says something at once; whatever is not typed is not known yet, and stands in no way.</p>
      <button type="button" class="tw-word tw-strong" onClick={onEnough}>
        the whole plan
      </button>
      <ol>
        <li>
          <h2>A lens and a distance</h2>
          <div class="tb-fields">
            <Pick words="sensor" value={plan.camera?.format ?? "full frame"} of={formats} onPut={(v) => inPart("camera", "format", v)} />
            <Pick words="records" value={`${plan.camera?.pixels_width ?? usual.pixels_width} × ${plan.camera?.pixels_height ?? usual.pixels_height}`} of={pictures} onPut={records} />
            <Num words="focal length" unit="mm" step={1} value={setup?.focal_mm} onPut={(v) => first("focal_mm", v)} />
            <Num words="camera to musician" unit="m" value={setup?.distance} onPut={(v) => first("distance", v)} />
            <Num words="must be seen, from head to guitar" unit="m" value={setup?.need_high} onPut={(v) => first("need_high", v)} />
            {setup ? (
              <>
                <Num words="height of the lens" unit="m" value={setup.height} onPut={(v) => first("height", v)} />
                <Num words="height of the seat" unit="m" value={plan.musician?.seat} onPut={(v) => inPart("musician", "seat", v)} />
              </>
            ) : undefined}
          </div>
          {setup ? <Wanted /> : undefined}
          {seen ? (
            <div class="tb-begin-frame">
              <FrameView seen={seen} />
              <div>
                <Say words="frame" verdict={seen.picture} />
                {(seen.shapes ?? []).map((s) => (
                  <Say key={s.shape} words={s.shape} verdict={s.verdict}>
                    {s.fit && s.verdict.answer === "does not work" ? (
                      <>
                        <Act change={first("distance", farEnough(s.fit.step_back))}>step back to {s.fit.step_back.toFixed(2)} m</Act>
                        <Act change={first("focal_mm", s.fit.focal)}>use {s.fit.focal} mm</Act>
                      </>
                    ) : undefined}
                  </Say>
                ))}
                <Say words="depth" verdict={seen.depth} />
              </div>
            </div>
          ) : undefined}
        </li>
        <li>
          <h2>The room</h2>
          <FourWalls />
          {told.room.verdict.answer === "not known yet" ? undefined : <Say words="walls" verdict={told.room.verdict} />}
        </li>
        <li>
          <h2>A lamp</h2>
          <div class="tb-fields">
            <Num words="at its lowest, 1 m away" unit="lx" step={10} value={lamp?.least_lux} onPut={(v) => firstLamp("least_lux", v)} />
            <Num words="half the width of what shines" unit="m" step={0.05} value={lamp?.radius} onPut={(v) => firstLamp("radius", v)} />
            {placed ? <Num words="from the face" unit="m" value={placed.distance} onPut={(v) => (p) => put(p, "lights", (p.lights ?? []).map((l, i) => (i === 0 ? { ...l, lamps: (l.lamps ?? []).map((o, k) => (k === 0 ? put(o, "distance", v) : o)) } : l)))} /> : undefined}
            {lamp && setup ? (
              <>
                <Num words="stop f/" step={0.1} value={setup.stop} onPut={(v) => first("stop", v)} />
                <Num words="shutter 1/" unit="s" step={1} value={plan.camera?.shutter_s ? 1 / plan.camera.shutter_s : undefined} onPut={(v) => inPart("camera", "shutter_s", v ? 1 / v : undefined)} />
                <Num words="ISO" step={100} value={plan.camera?.iso} onPut={(v) => inPart("camera", "iso", v)} />
              </>
            ) : undefined}
          </div>
          {lamp && light ? <Judged lit={light} setup={0} name={setup?.name ?? ""} light={0} /> : undefined}
        </li>
      </ol>
    </section>
  );
}
