import type { RoomLead } from "../api/types";
import { at, freeName, inPart, put } from "./edit";
import { Fold, Num, Tick } from "./fields";
import { usePlan } from "./hold";
import type { Change } from "./planning";
import { Rows } from "./Rows";
import { Say } from "./Say";

/** The lead of a lamp: the shortest way to a socket, and what is brought. */
function LampLead({ lamp, ways }: { readonly lamp: string; readonly ways: readonly RoomLead[] }) {
  const { plan } = usePlan();
  const index = (plan.lamps ?? []).findIndex((l) => l.name === lamp);
  const lead = plan.lamps?.[index]?.lead;
  const field = (name: string, v: unknown): Change => (p) => put(p, "lamps", at(p.lamps, index, (l) => put(l, "lead", put(l.lead ?? {}, name, v))));
  const way = ways[0];
  if (index < 0) return undefined;
  return (
    <>
      {way ? (
        <span class="tw-quiet">
          {way.length.toFixed(1)} m to {way.socket}
          {(way.doors ?? []).length > 0 ? `, past ${(way.doors ?? []).join(", ")}: tape it down` : ""}
        </span>
      ) : undefined}
      <Num words="lead" about={lamp} unit="m" step={1} value={lead?.length} onPut={(v) => field("length", v)} />
      <Num words="copper" about={lamp} unit="mm²" step={0.5} value={lead?.mm2} usual={1.5} onPut={(v) => field("mm2", v)} />
      <Tick words="on a reel" value={lead?.reel ?? false} onPut={(v) => field("reel", v || undefined)} />
    </>
  );
}

/** Circuits with what is on them, and the caution. */
export function PowerFields() {
  const { plan, told } = usePlan();
  const caution = (where: string) => (told.cautions ?? []).find((c) => c.where === where)?.text;
  const power = plan.power ?? {};
  return (
    <div class="tb-power" id="part-power" tabIndex={-1}>
      <h3>Power</h3>
      <Say verdict={told.power.verdict} />
      <ul class="tb-bars">
        {(told.power.sums ?? []).map((s) => (
          <li key={s.circuit} data-off={s.ok ? undefined : ""}>
            <span>
              <i>{s.circuit}</i>{" "}
              {(told.power.loads ?? [])
                .filter((l) => l.circuit === s.circuit)
                .map((l) => l.name)
                .join(", ")}
            </span>
            <svg class="tb-amps" viewBox="0 0 1 1" preserveAspectRatio="none" aria-hidden="true">
              <rect width={1} height={1} />
              <rect class="tb-amps-drawn" width={s.allowed_amps > 0 ? Math.min(1, s.amps / s.allowed_amps) : 1} height={1} />
            </svg>
            <span class="tb-figures">
              {s.amps.toFixed(1)} A of {s.allowed_amps.toFixed(1)}
            </span>
          </li>
        ))}
      </ul>
      {(told.power.leads ?? []).map((l) => (
        <Say key={l.lamp} words={l.lamp} verdict={l.verdict}>
          <LampLead lamp={l.lamp} ways={l.ways ?? []} />
        </Say>
      ))}
      <p class="tb-caution">{caution("power")}</p>
      <Fold words="circuits, and what else is plugged in">
        <Rows
          called="a circuit"
          things={power.circuits}
          columns={[
            { field: "name", words: "circuit", text: true },
            { field: "volts", words: "volts", unit: "V", step: 10 },
            { field: "amps", words: "breaker", unit: "A" },
            { field: "other_watts", words: "the house has on it", unit: "W", step: 50 },
          ]}
          fresh={() => ({ name: freeName("circuit", power.circuits ?? []), volts: 230, amps: 16 })}
          onPut={(all) => inPart("power", "circuits", all)}
        />
        <Rows
          called="something plugged in"
          things={power.loads}
          columns={[
            { field: "name", words: "what", text: true },
            { field: "watts", words: "draws", unit: "W", step: 5 },
            { field: "circuit", words: "on", text: true },
          ]}
          fresh={() => ({ name: "", watts: 0 })}
          onPut={(all) => inPart("power", "loads", all)}
        />
        <div class="tb-fields">
          <Num words="mains" unit="Hz" step={10} value={power.mains_hz} usual={50} onPut={(v) => inPart("power", "mains_hz", v)} />
        </div>
        {["leads", "lamps", "stands", "exits"].map((w) => (
          <p key={w} class="tb-caution">
            {caution(w)}
          </p>
        ))}
      </Fold>
    </div>
  );
}
