import type { PlanSeen, PlanSetup, PlanShaped } from "../api/types";
import { farEnough, freeName, inPart, newSetup, nextStop, ofSetup, ownLens, put } from "./edit";
import { Act, Fold, Num, Part, Pick, Text, Tick } from "./fields";
import { FrameView } from "./FrameView";
import { usePlan } from "./hold";
import { Pairs } from "./Pairs";
import { Rows } from "./Rows";
import { Say, worst } from "./Say";

export const shapes = ["16:9", "2.39:1", "9:16", "4:5", "1:1"] as const;
export const formats = ["full frame", "35 mm film", "APS-C", "four thirds", "one inch"] as const;

/** All setups as small frames, the one at hand in full, and every two beside each other. */
export function SetupsPart() {
  const { planning, plan, told } = usePlan();
  const setups = plan.setups ?? [];
  const at = Math.min(planning.setup.value, Math.max(0, setups.length - 1));
  const setup = setups[at];
  const seen = told.setups?.[at];
  return (
    <Part id="setups" words="Setups" counts="optics" lead="Each frame is drawn from its numbers. A setup exists for a reason.">
      <ul class="tb-frames">
        {setups.map((s, i) => {
          const its = told.setups?.[i];
          return (
            <li key={i}>
              <button type="button" aria-pressed={i === at} onClick={() => (planning.setup.value = i)}>
                {its ? <FrameView seen={its} small /> : undefined}
                <b>{s.name}</b>
                <small data-answer={its ? answerOf(its) : undefined}>{its?.frame?.size_name ?? s.size ?? ""} {its && answerOf(its) !== "works" ? <i>{answerOf(its)}</i> : undefined}</small>
              </button>
            </li>
          );
        })}
      </ul>
      <div class="tb-fields">
        <Act change={(p) => put(p, "setups", [...(p.setups ?? []), newSetup(freeName("setup", p.setups ?? []))])}>add a setup</Act>
        {setup ? <Act change={(p) => put(p, "setups", (p.setups ?? []).filter((_, i) => i !== at))}>drop {setup.name}</Act> : undefined}
      </div>
      {setup && seen ? <SetupAtHand key={at} setup={setup} seen={seen} index={at} /> : undefined}
      {setups.length > 1 ? <Pairs /> : undefined}
      <Wanted />
      <Fold words="camera and lenses" open={setups.length === 0}>
        <CameraFields />
      </Fold>
    </Part>
  );
}

const answerOf = (s: PlanSeen) => worst([s.picture, s.focus, s.depth, s.move, s.side, s.stand, s.mirrors, ...(s.shapes ?? []).map((f) => f.verdict)]);

/** One setup: its frame, its numbers, what works and what to do about the rest. */
function SetupAtHand({ setup, seen, index }: { readonly setup: PlanSetup; readonly seen: PlanSeen; readonly index: number }) {
  const { plan, told } = usePlan();
  const lenses = plan.camera?.lenses ?? [];
  const field = (name: keyof PlanSetup) => (v: unknown) => ofSetup(index, (s) => put(s, name, v));
  const lens = lenses.find((l) => l.name === setup.lens);
  return (
    <article class="tb-setup" aria-label={`setup ${setup.name}`}>
      <div class="tb-setup-top">
        <FrameView seen={seen} />
        <div class="tb-fields tb-setup-fields">
          <Text words="name" value={setup.name} onPut={(v) => (v === "" ? (p) => p : field("name")(v))} />
          {lenses.length > 0 ? <Pick words="lens" value={setup.lens} of={lenses.map((l) => l.name)} none="none" onPut={(v) => ofSetup(index, (s) => put(put(s, "lens", v), "focal_mm", undefined))} /> : undefined}
          <Num words="focal length" unit="mm" step={1} value={setup.focal_mm} usual={lens?.focal_mm} onPut={field("focal_mm")} />
          <Num words="stop f/" step={0.1} value={setup.stop} onPut={field("stop")} />
          <Num words="distance" unit="m" value={setup.distance} onPut={field("distance")} />
          <Num words="height of the lens" unit="m" value={setup.height} onPut={field("height")} />
          <Num words="middle of the frame" unit="m" value={setup.aim} usual={setup.height} onPut={field("aim")} />
          <Num words="around the musician" unit="°" step={5} zero value={setup.angle_deg} onPut={field("angle_deg")} />
          <Pick words="light" value={setup.light} of={(told.lights ?? []).map((l) => l.name)} none="not said" onPut={field("light")} />
        <Num words="must be seen, high" unit="m" value={setup.need_high} onPut={field("need_high")} />
          <Num words="and across" unit="m" value={setup.need_wide} onPut={field("need_wide")} />
        </div>
      </div>
      <div class="tb-setup-says">
        <Say words="frame" verdict={seen.picture} />
        {(seen.shapes ?? []).map((s) => (
          <Say key={s.shape} words={s.shape} verdict={s.verdict}>
            <FitActs shaped={s} index={index} />
            <Keeps shaped={s} />
          </Say>
        ))}
        <Say words="depth" verdict={seen.depth}>
          <DepthAct seen={seen} index={index} />
        </Say>
        <Say words="focus" verdict={seen.focus} />
        <Say words="place" verdict={seen.stand}>
          {seen.nearest && !seen.nearest.ok && seen.nearest.distance > 0 ? <Act change={ofSetup(index, (s) => ({ ...s, distance: +seen.nearest!.distance.toFixed(2) }))}>stand at {seen.nearest.distance.toFixed(2)} m</Act> : undefined}
        </Say>
        <Say words="mirrors" verdict={seen.mirrors} />
        <Say words="line" verdict={seen.side} />
        {setup.move?.way ? <Say words="move" verdict={seen.move} /> : undefined}
        {(seen.turns ?? []).length > 0 ? <p class="tb-line">It turns back in {(seen.turns ?? []).map((t) => t.line).filter((l, i, all) => l && all.indexOf(l) === i).join(", ")}.</p> : undefined}
        {(seen.sun ?? []).map((s) => (
          <p key={s.window} class="tb-line">
            <i>{s.window}</i> {s.words} on the lens
          </p>
        ))}
        {seen.without ? <p class="tb-line tw-quiet">{seen.without}</p> : undefined}
      </div>
      <Fold words="what it is for">
        <div class="tb-fields">
          <Text words="it exists because" wide value={setup.why} onPut={field("why")} />
          <Pick words="shows" value={setup.shows} of={["lips", "hands", "both", "neither"]} none="not said" onPut={field("shows")} />
          <Text words="serves the sections" usual="all of them" value={(setup.serves ?? []).join(" ")} onPut={(v) => field("serves")(v ? v.split(/[\s,]+/) : undefined)} />
          <Tick words="opens and closes the film" value={setup.safety ?? false} onPut={(v) => field("safety")(v || undefined)} />
          <Num words="whole passes" step={1} value={setup.passes} onPut={field("passes")} />
          <Num words="tries of a loop" step={1} value={setup.tries} onPut={field("tries")} />
          <Text words="loop" usual="V2.3" value={setup.loop} onPut={field("loop")} />
          <Text words="position" value={setup.position} onPut={field("position")} />
          <Pick words="support" value={setup.support} of={["legs", "shoulder", "rail"]} none="not said" onPut={field("support")} />
          <Text words="clothes" value={setup.wardrobe} onPut={field("wardrobe")} />
          <Text words="tuning, capo" value={setup.tuning} onPut={field("tuning")} />
          <Num words="ISO" step={100} value={setup.iso} usual={plan.camera?.iso} onPut={field("iso")} />
          <Num words="grey filter" unit="stops" step={1} value={setup.nd_stops} onPut={field("nd_stops")} />
        </div>
      </Fold>
    </article>
  );
}

/** What a shape does to the figure, in words. */
function Keeps({ shaped: s }: { readonly shaped: PlanShaped }) {
  const words = [s.headroom === undefined || s.headroom < 0 ? "" : `${Math.round(100 * s.headroom)} % headroom`, s.cuts ?? "", s.grows ?? ""].filter((w) => w !== "" && !s.verdict.say.includes(w));
  return words.length > 0 ? <span class="tw-quiet">{words.join(", ")}</span> : undefined;
}

/** What makes a shape fit, done by one press. */
function FitActs({ shaped, index }: { readonly shaped: PlanShaped; readonly index: number }) {
  const { plan } = usePlan();
  const fit = shaped.fit;
  if (!fit || shaped.verdict.answer !== "does not work") return undefined;
  const own = ownLens(plan.camera?.lenses ?? [], fit);
  return (
    <>
      {fit.step_back > 0 ? <Act change={ofSetup(index, (s) => ({ ...s, distance: farEnough(fit.step_back) }))}>step back to {fit.step_back.toFixed(2)} m</Act> : undefined}
      {fit.focal > 0 ? <Act change={ofSetup(index, (s) => ({ ...s, focal_mm: fit.focal }))}>use {fit.focal} mm</Act> : undefined}
      {own && own.focal_mm !== fit.focal ? <Act change={ofSetup(index, (s) => put({ ...s, lens: own.name }, "focal_mm", undefined))}>use your {own.name}</Act> : undefined}
    </>
  );
}

/** The stop at which the musician's sway stays sharp. */
function DepthAct({ seen, index }: { readonly seen: PlanSeen; readonly index: number }) {
  const depth = seen.frame?.depth;
  if (!depth || depth.holds) return undefined;
  const stop = nextStop(depth.stop_needed);
  return stop ? <Act change={ofSetup(index, (s) => ({ ...s, stop }))}>close to f/{stop}</Act> : undefined;
}

/** The shapes that are wanted of the film. */
export function Wanted() {
  const { plan, told } = usePlan();
  const wanted = plan.shapes ?? [];
  const ordered = (told.shapes ?? []).filter((s) => !wanted.includes(s));
  return (
    <fieldset class="tb-fields tb-shapes">
      <legend>shapes that are wanted</legend>
      {shapes.map((s) => (
        <Tick key={s} words={ordered.includes(s) ? `${s}, ordered` : s} value={wanted.includes(s) || ordered.includes(s)} onPut={(on) => (p) => put(p, "shapes", on ? [...(p.shapes ?? []), s] : (p.shapes ?? []).filter((o) => o !== s))} />
      ))}
    </fieldset>
  );
}

/** The camera and the person's own lenses. */
export function CameraFields() {
  const { plan } = usePlan();
  const camera = plan.camera ?? {};
  return (
    <>
      <div class="tb-fields">
        <Text words="camera" value={camera.name} onPut={(v) => inPart("camera", "name", v)} />
        <Pick words="sensor" value={camera.format} of={formats} none="not said" onPut={(v) => inPart("camera", "format", v)} />
        <Num words="records" unit="pixels across" step={10} value={camera.pixels_width} onPut={(v) => inPart("camera", "pixels_width", v)} />
        <Num words="by" unit="pixels" step={10} value={camera.pixels_height} onPut={(v) => inPart("camera", "pixels_height", v)} />
        <Text words="pictures a second" usual="25" value={camera.rate} onPut={(v) => inPart("camera", "rate", v)} />
        <Num words="ISO" step={100} value={camera.iso} onPut={(v) => inPart("camera", "iso", v)} />
        <Num words="shutter 1/" unit="s" step={1} value={camera.shutter_s ? 1 / camera.shutter_s : undefined} onPut={(v) => inPart("camera", "shutter_s", v ? 1 / v : undefined)} />
      </div>
      <Rows
        called="a lens"
        things={camera.lenses}
        columns={[
          { field: "name", words: "lens", text: true },
          { field: "focal_mm", words: "focal length", unit: "mm" },
          { field: "widest_stop", words: "opens to f/", step: 0.1 },
          { field: "nearest", words: "focuses from", unit: "m", step: 0.05 },
        ]}
        fresh={() => ({ name: freeName("lens", camera.lenses ?? []) })}
        onPut={(all) => inPart("camera", "lenses", all)}
      />
    </>
  );
}
