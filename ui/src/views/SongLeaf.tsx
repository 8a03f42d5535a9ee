import { useState } from "preact/hooks";
import type { Shows } from "../api/types";
import { indexAt } from "../base/laid";
import { frameSeconds, song } from "../base/time";
import type { Row, Score } from "../sheet/score";
import { useHeld } from "./hold";
import { Word } from "./Word";

/** Correcting the map of the song: words, lines, sections, beats, what must be seen. */
export function SongLeaf() {
  const { store, desk } = useHeld();
  const score = store.score.value;
  const row = desk.place.row.value;
  if (!score || !row) return <p class="tw-quiet">The record has not been heard yet.</p>;
  return (
    <div class="tw-song">
      <Words score={score} row={row} />
      <Lines row={row} />
      <Sections score={score} row={row} />
      <Beats score={score} />
      <MustSees score={score} />
    </div>
  );
}

function Words({ score, row }: { readonly score: Score; readonly row: Row }) {
  const { store } = useHeld();
  const [whole, setWhole] = useState(false);
  const lines = score.film.song.lines ?? [];
  return (
    <section>
      <h3>words</h3>
      {row.line >= 0 && !whole ? (
        <form
          class="tw-line-form"
          onSubmit={(e) => {
            e.preventDefault();
            void store.edit("line-text", { line: row.line, text: String(new FormData(e.currentTarget).get("text") ?? "").trim() });
          }}
        >
          <label class="tw-wide">
            {row.name} <input key={`${row.name}${row.text}`} name="text" defaultValue={row.text} class="tw-serif" autocomplete="off" />
          </label>
          <button type="submit" class="tw-word">
            set
          </button>
        </form>
      ) : undefined}
      {whole ? (
        <form
          onSubmit={(e) => {
            e.preventDefault();
            setWhole(false);
            void store.edit("lyrics", { text: String(new FormData(e.currentTarget).get("text") ?? "") });
          }}
        >
          <textarea name="text" rows={12} class="tw-serif" aria-label="the words of the whole song, one line for each line" defaultValue={lines.map((l) => l.text ?? "").join("\n")} />
          <p class="tw-hand">
            <button type="submit" class="tw-word">
              lay them on the lines
            </button>
            <button type="button" class="tw-word" onClick={() => setWhole(false)}>
              leave them
            </button>
          </p>
        </form>
      ) : (
        <button type="button" class="tw-word" onClick={() => setWhole(true)}>
          type or paste the whole text
        </button>
      )}
    </section>
  );
}

function Lines({ row }: { readonly row: Row }) {
  const { store, desk } = useHeld();
  const at = desk.place.here.value.at;
  const inLine = row.line >= 0;
  return (
    <section>
      <h3>lines</h3>
      <p class="tw-hand">
        <Word run={() => void store.edit("split-line", { line: row.line, at })} disabled={!inLine || at <= row.span.from + 0.05}>
          a line begins at this beat
        </Word>
        <Word run={() => void store.edit("join-line", { line: row.line })} disabled={!inLine}>
          join with the next
        </Word>
        <Word run={() => void store.edit("move-line", { line: row.line, from: at })} disabled={!inLine || at <= row.span.from + 0.05}>
          begin here
        </Word>
        <Word run={() => void store.edit("move-line", { line: row.line, to: at })} disabled={!inLine || at <= row.span.from + 0.05}>
          end here
        </Word>
        <Word run={() => void moveEdge(-1)} disabled={!inLine}>
          begin a beat earlier
        </Word>
        <Word run={() => void store.edit("rest", { at, breath: true })}>a breath here</Word>
        <Word run={() => void dropRest()} disabled={restHere() < 0}>
          no breath here
        </Word>
      </p>
    </section>
  );

  function moveEdge(beats: number): void {
    const score = store.score.value;
    const first = score && indexAt(score.beats, row.span.from + 0.02);
    const to = first === undefined ? undefined : score?.beats[first + beats];
    if (to !== undefined) void store.edit("move-line", { line: row.line, from: to });
  }

  function restHere(): number {
    return (store.film.value?.song.rests ?? []).findIndex((r) => Math.abs(r.at - at) < 0.4);
  }

  function dropRest(): void {
    const index = restHere();
    if (index >= 0) void store.edit("drop-rest", { index });
  }
}

function Sections({ score, row }: { readonly score: Score; readonly row: Row }) {
  const { store } = useHeld();
  const section = score.film.song.sections?.[row.section];
  return (
    <section>
      <h3>sections</h3>
      {section ? (
        <form
          class="tw-line-form"
          onSubmit={(e) => {
            e.preventDefault();
            void store.edit("name-section", { section: row.section, name: String(new FormData(e.currentTarget).get("name") ?? "").trim() });
          }}
        >
          <label>
            this one is <input key={section.name} name="name" defaultValue={section.name} class="tw-serif" size={14} autocomplete="off" />
          </label>
          <button type="submit" class="tw-word">
            name it
          </button>
        </form>
      ) : undefined}
      <form
        class="tw-line-form"
        onSubmit={(e) => {
          e.preventDefault();
          const letter = String(new FormData(e.currentTarget).get("letter") ?? "").trim();
          void store.edit("section-start", { line: row.line, ...(letter ? { letter } : {}) });
        }}
      >
        <button type="submit" class="tw-word" disabled={row.line < 0}>
          a section begins with this line
        </button>
        <label>
          as a repeat of <input name="letter" size={2} maxLength={2} placeholder="B" />
        </label>
      </form>
      <Word run={() => void store.edit("section-drop", { section: row.section })} disabled={row.section < 1}>
        join with the section before
      </Word>
    </section>
  );
}

const nudgeSeconds = 0.01;

function Beats({ score }: { readonly score: Score }) {
  const { store, desk } = useHeld();
  const at = desk.place.here.value.at;
  const index = indexAt(score.beats, at + 0.02);
  const beat = score.film.song.beats?.[index];
  const taps = desk.player.tapped.value;
  const nudge = (by: number): void => {
    const t = score.beats[index];
    if (t !== undefined) void store.edit("move-beat", { index, at: t + by });
  };
  return (
    <section>
      <h3>beats</h3>
      <p class="tw-quiet">
        {score.film.song.tempo_bpm > 0 ? `${score.film.song.tempo_bpm.toFixed(1)} to the minute, ${score.film.song.beats_per_bar} in a bar` : "no pulse was found"}
        {beat ? `; this one at ${beat.at.toFixed(3)} s` : ""}
      </p>
      <p class="tw-hand">
        <Word run={() => nudge(-nudgeSeconds)} disabled={!beat}>
          10 ms earlier
        </Word>
        <Word run={() => nudge(nudgeSeconds)} disabled={!beat}>
          10 ms later
        </Word>
        <Word run={() => void store.edit("add-beat", { at: song((at + (score.beats[index + 1] ?? at + 0.5)) / 2) })}>a beat after this one</Word>
        <Word run={() => void store.edit("drop-beat", { index })} disabled={!beat}>
          not this beat
        </Word>
        <Word run={() => void store.edit("shift-downbeat", { by: beat?.in_bar ?? 0, from: 0 })} disabled={!beat || beat.in_bar === 0}>
          this is a one
        </Word>
        <Word run={() => void store.edit("half-tempo", {})}>half as many</Word>
        <Word run={() => void store.edit("double-tempo", {})}>twice as many</Word>
        <Word run={() => void store.edit("beats-per-bar", { beats: 3 })} on={score.film.song.beats_per_bar === 3}>
          3 in a bar
        </Word>
        <Word run={() => void store.edit("beats-per-bar", { beats: 4 })} on={score.film.song.beats_per_bar === 4}>
          4 in a bar
        </Word>
      </p>
      <p class="tw-hand">
        <Word act="tap" disabled={desk.player.mode.value === "still"}>
          tap the beat{taps.length > 0 ? `, ${taps.length}` : ""}
        </Word>
        <Word
          run={() => {
            void store.edit("tap", { times: taps });
            desk.player.tapped.value = [];
          }}
          disabled={taps.length < 4}
        >
          take the taps
        </Word>
        <Word run={() => (desk.player.tapped.value = [])} disabled={taps.length === 0}>
          forget them
        </Word>
      </p>
      {desk.player.mode.value === "still" ? <p class="tw-quiet">Play the film, and tap along; eight taps or more are good.</p> : undefined}
    </section>
  );
}

const canShow: readonly Shows[] = ["hands", "lips", "both"];

function MustSees({ score }: { readonly score: Score }) {
  const { store, desk } = useHeld();
  const target = desk.place.target.value;
  const marks = score.film.song.must_see ?? [];
  const frame = frameSeconds(score.film.fps);
  return (
    <section>
      <h3>must be seen</h3>
      <form
        class="tw-line-form"
        onSubmit={(e) => {
          e.preventDefault();
          if (!target) return;
          const data = new FormData(e.currentTarget);
          const frames = (name: string): number => Math.max(0, Math.round((Number(data.get(name)) || 0) / 1000 / frame));
          const text = String(data.get("text") ?? "").trim();
          const matches = Math.max(0, Math.round(Number(data.get("matches")) || 0));
          void store.edit("must-see", { span: target.span, shows: data.get("shows"), frames_before: frames("before"), frames_after: frames("after"), ...(text ? { text } : {}), ...(matches ? { matches } : {}) });
        }}
      >
        <span class="tw-lead">
          this {desk.place.reach.value === "drawn" ? "stretch" : desk.place.reach.value}
          {target ? `, ${(target.span.to - target.span.from).toFixed(2)} s` : ""}:
        </span>
        <select name="shows" aria-label="what must be seen">
          {canShow.map((s) => (
            <option key={s} value={s}>
              {s}
            </option>
          ))}
        </select>
        <label>
          what <input name="text" size={16} placeholder="the run on the neck" />
        </label>
        <label>
          from <input name="before" type="number" min="0" step="40" size={4} placeholder="0" /> ms before
        </label>
        <label>
          to <input name="after" type="number" min="0" step="40" size={4} placeholder="0" /> ms after
        </label>
        <label>
          in <input name="matches" type="number" min="1" max="20" size={2} placeholder="2" /> passes
        </label>
        <button type="submit" class="tw-word">
          mark it
        </button>
      </form>
      <ul class="tw-pins">
        {marks.map((m, i) => (
          <li key={i}>
            <button type="button" class="tw-word" onClick={() => desk.place.draw(m.span)}>
              {m.shows}
              {m.text ? `: ${m.text}` : ""}
            </button>{" "}
            <span class="tw-quiet">
              {(m.span.to - m.span.from).toFixed(2)} s{m.matches ? `, in ${m.matches} passes` : ""}
            </span>{" "}
            <button type="button" class="tw-word" onClick={() => void store.edit("drop-must-see", { index: i })}>
              drop
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
