import { inPart, put } from "./edit";
import { Fold, Num, Part } from "./fields";
import { usePlan } from "./hold";
import { Rows } from "./Rows";
import { Say } from "./Say";

/** Cards, batteries, hours and gates, and what is to be packed. */
export function MeansPart() {
  const { plan, told } = usePlan();
  const camera = plan.camera ?? {};
  const job = plan.job ?? {};
  const groups = [...new Set((told.packing ?? []).map((p) => p.group))];
  const battery = (told.cautions ?? []).find((c) => c.where === "batteries")?.text;
  return (
    <Part id="means" words="Cards, hours, kit" counts="hours" lead="What to bring, and what the whole of it takes.">
      <Say words="cards" verdict={told.cards.verdict} />
      <Say words="batteries" verdict={told.batteries.verdict} />
      <Say words="hours" verdict={told.hours.verdict} />
      {(told.gates ?? []).length > 0 ? (
        <div class="tb-say" data-answer="look">
          <span class="tb-say-about">gates</span>
          <p>
            <b>permissions open: </b>
            {(told.gates ?? []).map((g) => g.replace("permission open: ", "")).join(", ")}. They block the release, never the day.
          </p>
        </div>
      ) : undefined}
      <div class="tb-fields">
        <Num words="records" unit="Mb/s" step={10} value={camera.megabits_per_s} onPut={(v) => inPart("camera", "megabits_per_s", v)} />
        <Num words="camera draws" unit="W" step={5} value={camera.watts} onPut={(v) => inPart("camera", "watts", v)} />
        <Num words="copies at" unit="MB/s" step={10} value={job.megabytes_per_s} onPut={(v) => inPart("job", "megabytes_per_s", v)} />
        <Num words="rounds of notes" step={1} zero value={job.rounds} onPut={(v) => inPart("job", "rounds", v)} />
        <Num words="hours of filming" unit="h" step={0.5} value={job.film_hours} usual={told.hours.film_hours && Math.round(told.hours.film_hours * 10) / 10} onPut={(v) => inPart("job", "film_hours", v)} />
        <Num words="delivered, longer side" unit="px" step={10} value={job.long} usual={1920} onPut={(v) => inPart("job", "long", v)} />
      </div>
      <Fold words="cards and batteries of your own">
        <Rows
          called="a card"
          things={camera.cards}
          columns={[
            { field: "name", words: "card", text: true },
            { field: "gb", words: "holds", unit: "GB", step: 16 },
            { field: "used_gb", words: "used", unit: "GB" },
          ]}
          fresh={() => ({ name: "", gb: 64 })}
          onPut={(all) => inPart("camera", "cards", all)}
        />
        <Rows
          called="a battery"
          things={camera.batteries}
          columns={[
            { field: "name", words: "battery", text: true },
            { field: "watt_hours", words: "holds", unit: "Wh" },
            { field: "count", words: "of them", usual: 1 },
          ]}
          fresh={() => ({ name: "", watt_hours: 98 })}
          onPut={(all) => inPart("camera", "batteries", all)}
        />
        <p class="tb-caution">{battery}</p>
      </Fold>
      <Fold words="to be packed">
        {groups.map((g) => (
          <div key={g}>
            <h3>{g}</h3>
            <ul class="tb-packing">
              {(told.packing ?? [])
                .filter((p) => p.group === g)
                .map((p) => (
                  <li key={p.name}>
                    {p.count > 1 ? `${p.count} × ` : ""}
                    {p.name}
                    {p.charge ? <i> to charge</i> : undefined}
                    {p.why ? <small> {p.why}</small> : undefined}
                  </li>
                ))}
            </ul>
          </div>
        ))}
        <Rows
          called="something else"
          things={plan.kit}
          columns={[
            { field: "name", words: "what", text: true },
            { field: "count", words: "of them", usual: 1 },
            { field: "notes", words: "notes", text: true },
          ]}
          fresh={() => ({ name: "" })}
          onPut={(all) => (p) => put(p, "kit", all)}
        />
      </Fold>
    </Part>
  );
}
