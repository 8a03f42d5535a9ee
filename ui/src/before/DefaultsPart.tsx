import type { PlanDefault } from "../api/types";
import { put } from "./edit";
import { Act, Fold, Num, Part } from "./fields";
import { usePlan } from "./hold";
import type { Change } from "./planning";

const roomsInWords: { readonly [room: string]: string } = { optics: "picture", room: "room", light: "light and power", schedule: "day, cards, batteries", coverage: "coverage", hours: "hours" };

const change =
  (d: PlanDefault, v: number | undefined): Change =>
  (p) =>
    put(p, "changed_defaults", put(p.changed_defaults ?? {}, d.key, v === d.value ? undefined : v));

/** Every number that is not physics, with where it comes from; each can be changed. */
export function DefaultsPart() {
  const { told } = usePlan();
  const all = told.defaults ?? [];
  const rooms = [...new Set(all.map((d) => d.room))];
  return (
    <Part id="defaults" words="Numbers it counts with" lead="None of these is physics. Each says who has it, and can be yours.">
      {rooms.map((room) => (
        <Fold key={room} id={`part-defaults-${room}`} words={`${roomsInWords[room] ?? room}${changedText(all.filter((d) => d.room === room && d.changed).length)}`}>
          <ul class="tb-defaults">
            {all
              .filter((d) => d.room === room)
              .map((d) => (
                <li key={d.key} title={sourceText(d)} data-changed={d.changed ? "" : undefined}>
                  <Num words={d.name} unit={d.unit} step={step(d.value)} zero value={d.now} onPut={(v) => change(d, v)} />
                  <span class="tb-source">
                    {sourceText(d)}
                    {d.changed ? (
                      <>
                        {" "}
                        <Act label={`again ${+d.value.toFixed(3)}: ${d.name}`} change={change(d, undefined)}>
                          {`again ${+d.value.toFixed(3)}`}
                        </Act>
                      </>
                    ) : undefined}
                  </span>
                </li>
              ))}
          </ul>
        </Fold>
      ))}
    </Part>
  );
}

const changedText = (n: number): string => (n === 0 ? "" : `, ${n} changed`);

const sourceText = (d: PlanDefault): string => `${d.source}: ${d.from}`;

const step = (v: number): number => (Math.abs(v) >= 10 ? 1 : Math.abs(v) >= 1 ? 0.1 : 0.01);
