import type { LightFault, PlanLamp, PlanLitSetup, PlanPlaced, PlanPractical } from "../api/types";
import { at, fixed, freeName, ofPlaced, put } from "./edit";
import { Act, Fold, Num, Part, Pick, Text } from "./fields";
import { usePlan } from "./hold";
import { Rows } from "./Rows";
import { Say } from "./Say";
import { PowerFields } from "./PowerFields";

const roles = ["key", "fill", "back"] as const;

/** What the lamps give, what the exposure wants, and the cheapest way from one to the other. */
export function LightPart() {
  const { planning, plan, told } = usePlan();
  const lights = plan.lights ?? [];
  const index = Math.min(planning.light.value, Math.max(0, lights.length - 1));
  const light = lights[index];
  // The setup at hand is the one that is judged, if it is filmed in this light.
  const inIt = (told.setups ?? []).map((s, i) => ({ s, i })).filter(({ s }) => s.light.state === light?.name);
  const judged = inIt.find(({ i }) => i === planning.setup.value) ?? inIt[0];
  return (
    <Part id="light" words="Light" counts="light" lead="What falls on the musician against what the exposure wants, in lux and in stops.">
      {lights.length > 1 ? (
        <div class="tb-fields" role="group" aria-label="state of the lamps">
          {lights.map((l, i) => (
            <button key={i} type="button" class="tw-word" aria-pressed={i === index} onClick={() => (planning.light.value = i)}>
              {l.name}
            </button>
          ))}
        </div>
      ) : undefined}
      {judged ? <Judged lit={judged.s.light} setup={judged.i} name={judged.s.name} light={index} /> : light ? <p class="tw-quiet">No setup is filmed in this light yet.</p> : undefined}
      {light ? (
        <ul class="tb-placed">
          {(light.lamps ?? []).map((l, i) => (
            <Placed key={i} placed={l} light={index} index={i} />
          ))}
        </ul>
      ) : undefined}
      <div class="tb-fields">
        {light
          ? (plan.lamps ?? [])
              .filter((l) => !(light.lamps ?? []).some((p) => p.lamp === l.name))
              .map((l) => (
                <Act key={l.name} change={(p) => put(p, "lights", at(p.lights, index, (s) => ({ ...s, lamps: [...(s.lamps ?? []), { lamp: l.name, role: "key", distance: 2, bearing: 45, elevation: 30 }] })))}>
                  light {l.name}
                </Act>
              ))
          : undefined}
        <Act change={(p) => put(p, "lights", [...(p.lights ?? []), { name: freeName("light", p.lights ?? []) }])}>add a state of the lamps</Act>
        {light ? <Text words="it is called" value={light.name} onPut={(v) => (p) => (v === "" ? p : { ...p, lights: at(p.lights, index, (l) => ({ ...l, name: v })), setups: (p.setups ?? []).map((s) => (s.light === light.name ? { ...s, light: v } : s)) })} /> : undefined}
      </div>
      {(told.colours ?? []).map((c) => (
        <p key={`${c.a} ${c.b}`} class="tb-line" data-answer={c.notice === "shows on a cut" ? "look" : undefined}>
          {c.b} is {Math.abs(Math.round(c.mired))} mired {c.mired > 0 ? "warmer" : "cooler"} than {c.a}: {c.notice}
          {c.gel ? `; ${c.gel} before ${c.b} leaves ${Math.abs(Math.round(c.left ?? 0))} mired` : ""}.
        </p>
      ))}
      <Fold words="lamps and practicals of your own" open={(plan.lamps ?? []).length === 0}>
        <LampRows />
        <Rows<PlanPractical>
          called="a practical"
          things={plan.practicals}
          columns={[
            { field: "name", words: "practical", text: true },
            { field: "height", words: "high", unit: "m", step: 0.05 },
            { field: "candela", words: "towards the camera", unit: "cd" },
            { field: "luminance", words: "by a spot meter", unit: "cd/m²", step: 5 },
            { field: "wished_stops", words: "wished over the middle tone", unit: "stops", step: 0.5 },
            { field: "kelvin", words: "colour", unit: "K", step: 100 },
            { field: "watts", words: "draws", unit: "W" },
          ]}
          fresh={() => ({ name: freeName("practical", plan.practicals ?? []), at: { x: 1, y: 1 } })}
          onPut={(all) => (p) => put(p, "practicals", all)}
        />
      </Fold>
      <PowerFields />
    </Part>
  );
}

export function LampRows() {
  const { plan } = usePlan();
  return (
    <Rows<PlanLamp>
      called="a lamp"
      things={plan.lamps}
      columns={[
        { field: "name", words: "lamp", text: true },
        { field: "least_lux", words: "at its lowest", unit: "lx", step: 10 },
        { field: "most_lux", words: "at its highest", unit: "lx", step: 100 },
        { field: "measured_at", words: "measured at", unit: "m", step: 0.1, usual: 1 },
        { field: "radius", words: "half the width of what shines", unit: "m", step: 0.05 },
        { field: "kelvin", words: "colour", unit: "K", step: 100 },
        { field: "watts", words: "draws", unit: "W", step: 5 },
      ]}
      fresh={() => ({ name: freeName("lamp", plan.lamps ?? []) })}
      onPut={(all) => (p) => put(p, "lamps", all)}
    />
  );
}

const barStops = 3; // to either side of what is wanted

/** The light of one setup: each role against what is wanted, what is off, and what to do. */
export function Judged({ lit, setup, name, light }: { readonly lit: PlanLitSetup; readonly setup: number; readonly name: string; readonly light: number }) {
  const e = lit.exposure;
  const readings = lit.balance?.readings ?? [];
  const lamps = (role: string): string => (lit.lamps ?? []).filter((l) => l.role === role).map((l) => l.lamp + (l.supposed ? ", supposed" : "")).join(", ");
  return (
    <div class="tb-judged">
      {e ? (
        <p class="tb-line">
          For <i>{name}</i>: f/{+e.stop.toFixed(1)}, 1/{Math.round(1 / e.seconds)} s, ISO {Math.round(e.iso)}
          {e.nd_stops ? `, ${e.nd_stops} stops of grey` : ""} {lit.wanted_lux ? <>want{"s"} {lit.wanted_lux.toFixed(lit.wanted_lux < 100 ? 1 : 0)} lx from the key.</> : undefined}
        </p>
      ) : undefined}
      {(lit.balance?.faults ?? []).length > 0 ? undefined : <Say words="light" verdict={lit.verdict} />}
      {readings.length > 0 ? (
        <ul class="tb-bars" aria-label="each role against what is wanted">
          {readings.map((r) => (
            <li key={r.role} data-off={Math.abs(r.off_stops) > 1 / 3 ? "" : undefined}>
              <span>
                <i>{r.role}</i> {lamps(r.role)}
              </span>
              <Bar stops={r.off_stops} />
              <span class="tb-figures">
                {Math.round(r.lux)} lx of {Math.round(r.wanted_lux)}, {signed(r.off_stops)}
              </span>
            </li>
          ))}
        </ul>
      ) : undefined}
      {lit.key_over_fill_stops !== undefined || lit.key_over_back_stops !== undefined ? (
        <p class="tb-line">
          {lit.key_over_fill_stops !== undefined ? `Key over fill ${signed(lit.key_over_fill_stops)}. ` : ""}
          {lit.key_over_back_stops !== undefined ? `Key over back ${signed(lit.key_over_back_stops)}.` : ""}
        </p>
      ) : undefined}
      {(lit.balance?.faults ?? []).map((f, i) => (
        <Fault key={i} fault={f} light={light} setup={setup} />
      ))}
      <Say words="flicker" verdict={lit.flicker}>
        {lit.shutter && !lit.shutter.safe && lit.shutter.safe_seconds ? <Act change={(p) => ({ ...p, camera: put(p.camera ?? {}, "shutter_s", lit.shutter?.safe_seconds) })}>use 1/{Math.round(1 / lit.shutter.safe_seconds)} s</Act> : undefined}
      </Say>
    </div>
  );
}

const signed = (stops: number): string => `${stops < 0 ? "−" : "+"}${Math.abs(stops).toFixed(1)} ${Math.abs(stops) === 1 ? "stop" : "stops"}`;

/** So many stops too strong to the right of the middle, too weak to its left. */
function Bar({ stops }: { readonly stops: number }) {
  const x = Math.max(-barStops, Math.min(barStops, stops));
  return (
    <svg class="tb-bar" viewBox={`${-barStops} 0 ${2 * barStops} 1`} preserveAspectRatio="none" aria-hidden="true">
      <path class="tb-bar-ticks" d={[-2, -1, 1, 2].map((t) => `M ${t} 0.3 V 0.7`).join(" ")} vector-effect="non-scaling-stroke" />
      <rect class="tb-bar-right" x={-1 / 3} y={0} width={2 / 3} height={1} />
      <rect class="tb-bar-off" x={Math.min(0, x)} y={0.22} width={Math.max(0.03, Math.abs(x))} height={0.56} />
      <path class="tb-bar-wanted" d="M 0 0 V 1" vector-effect="non-scaling-stroke" />
    </svg>
  );
}

/** Light that is off, with what to do about it, the least effort first. */
function Fault({ fault, light, setup }: { readonly fault: LightFault; readonly light: number; readonly setup: number }) {
  const { plan } = usePlan();
  const lamps = plan.lights?.[light]?.lamps ?? [];
  const lamp = fault.lamp ? lamps.findIndex((l) => l.lamp === fault.lamp) : 0;
  return (
    <div class="tb-fault">
      <p>
        <b>{fault.kind}: </b>
        {fault.words}
      </p>
      <ul>
        {(fault.fixes ?? []).map((f, i) => {
          const change = fixed(f, light, lamp, setup, plan.musician?.at);
          const left = Math.abs(f.left_stops) >= 0.05 ? `, leaves ${signed(f.left_stops)}` : "";
          return (
            <li key={i}>
              {change && (lamp >= 0 || !fault.lamp) ? <Act change={change}>{f.words}</Act> : <span>{f.words}</span>}
              {f.words.includes("leaves") ? "" : left}
            </li>
          );
        })}
      </ul>
    </div>
  );
}

/** A lamp as it burns in a state. */
function Placed({ placed: l, light, index }: { readonly placed: PlanPlaced; readonly light: number; readonly index: number }) {
  const { plan, told } = usePlan();
  const lamp = (plan.lamps ?? []).find((o) => o.name === l.lamp);
  const lit = told.lights?.[light]?.lamps?.find((o) => o.lamp === l.lamp);
  const field = (name: string) => (v: unknown) => ofPlaced(light, index, (o) => put(o, name, v));
  return (
    <li>
      <span class="tb-placed-name">
        <i>{l.lamp}</i>
        {lit ? <small>{lit.lux.toFixed(lit.lux < 10 ? 1 : 0)} lx{lit.supposed ? ", supposed" : ""}</small> : undefined}
      </span>
      <Pick words="is the" about={l.lamp} value={l.role} of={roles} none="not said" onPut={field("role")} />
      {l.at ? (
        <Num words="high" about={l.lamp} unit="m" value={l.height} onPut={field("height")} />
      ) : (
        <>
          <Num words="from the face" about={l.lamp} unit="m" value={l.distance} onPut={field("distance")} />
          <Num words="around" about={l.lamp} unit="°" step={5} zero value={l.bearing} onPut={field("bearing")} />
          <Num words="above" about={l.lamp} unit="°" step={5} zero value={l.elevation} onPut={field("elevation")} />
        </>
      )}
      <Num words="dial" about={l.lamp} unit="lx" step={10} value={l.dial_lux} usual={lamp?.least_lux} onPut={field("dial_lux")} />
      {(l.filters ?? []).map((f, k) => (
        <Act key={k} label={`without ${f.name} (${f.stops.toFixed(1)}) before ${l.lamp}`} change={ofPlaced(light, index, (o) => ({ ...o, filters: (o.filters ?? []).filter((_, j) => j !== k) }))}>
          without {f.name} ({f.stops.toFixed(1)})
        </Act>
      ))}
      <Act label={`${l.lamp} off`} change={(p) => put(p, "lights", at(p.lights, light, (s) => ({ ...s, lamps: (s.lamps ?? []).filter((_, k) => k !== index) })))}>
        off
      </Act>
    </li>
  );
}
