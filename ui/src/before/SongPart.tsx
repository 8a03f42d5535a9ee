import type { PlanMustSee } from "../api/types";
import { inPart, linesOf } from "./edit";
import { Act, Fold, Num, Part, Text } from "./fields";
import { usePlan } from "./hold";
import { Rows } from "./Rows";
import { Say } from "./Say";

/** What is known of the song: of its record, or as it is typed. */
export function SongPart() {
  const { planning, plan, told } = usePlan();
  const song = plan.song ?? {};
  const typed = told.song.from !== "record";
  const free = told.song.voice_free ?? [];
  return (
    <Part id="song" words="Song" lead="Lines, what must be seen, and where nobody sings.">
      <Say verdict={told.song.verdict}>
        {!typed && (song.lines ?? []).length > 0 ? (
          <>
            <button type="button" class="tw-word" onClick={() => planning.toRecord()}>
              carry the plan over
            </button>
            <Act change={inPart("song", "lines", undefined)}>take the typed lines out</Act>
          </>
        ) : undefined}
      </Say>
      {(told.song.changed ?? []).map((c) => (
        <p key={c} class="tb-line" data-answer="look">
          {c}
        </p>
      ))}
      {typed ? (
        <>
          <div class="tb-fields">
            <Num words="it lasts" unit="s" step={1} value={song.duration_s} onPut={(v) => inPart("song", "duration_s", v)} />
            <Num words="beats a minute" step={1} value={song.tempo_bpm} onPut={(v) => inPart("song", "tempo_bpm", v)} />
          </div>
          <Fold words="its lines" open={(song.lines ?? []).length === 0}>
            <label class="tb-lines">
              one to a row, its section first
              <textarea
                rows={8}
                placeholder={"V1 Count the coats along the wall\nV1 and one is mine\nC1 …"}
                value={(song.lines ?? []).map((l) => `${l.section} ${l.text ?? ""}`.trim()).join("\n")}
                onChange={(e) => planning.decide(inPart("song", "lines", linesOf(e.currentTarget.value)))}
              />
            </label>
          </Fold>
        </>
      ) : undefined}
      {free.length > 0 ? <p class="tb-line">Nobody sings in {free.map((f) => f.name).join(", ")}.</p> : undefined}
      <Fold words="what must be seen" open={(song.must_see ?? []).length > 0}>
        <Rows<PlanMustSee>
          called="a moment that must be seen"
          things={song.must_see}
          columns={[
            { field: "at", words: "at", text: true },
            { field: "text", words: "what", text: true },
            { field: "shows", words: "shows", of: ["hands", "lips", "both"] },
            { field: "matches", words: "wanted matches", usual: 2 },
          ]}
          fresh={() => ({ at: "V1.1", shows: "hands" })}
          onPut={(all) => inPart("song", "must_see", all)}
        />
        <Text words="nobody sings in" wide usual="I1, B1.2" value={(song.voice_free ?? []).join(", ")} onPut={(v) => inPart("song", "voice_free", v ? v.split(/\s*,\s*/) : undefined)} />
      </Fold>
    </Part>
  );
}
