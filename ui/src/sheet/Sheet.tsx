import { type Signal, effect, signal } from "@preact/signals";
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { Apart } from "../views/First";
import { useHeld } from "../views/hold";
import type { Inks } from "./inks";
import { type Paper, type Plan, dealOut, layRow, planOf } from "./layout";
import { Moving } from "./Moving";
import { Row, shotsIn } from "./Row";
import { type Row as RowData, type Score, type ShotView } from "./score";
import { show } from "./scroll";
import { Section } from "./Section";
import { Twin } from "./Twin";

/** The song: set in rows, or as a list. */
export function Sheet({ score }: { readonly score: Score }) {
  const { store, desk } = useHeld();
  return desk.asList.value ? <AsList score={score} shots={store.shots.value} /> : <Rows score={score} />;
}

function Rows({ score }: { readonly score: Score }) {
  const { store, desk, looks } = useHeld();
  const frame = useRef<HTMLDivElement>(null);
  const elements = useRef(new Map<number, HTMLElement>());
  const [paper, setPaper] = useState<Paper>();
  const zoom = desk.place.zoom.value;
  const inks = useInks(looks.turn.value);
  const shots = store.shots.value;

  useLayoutEffect(() => {
    const box = frame.current;
    if (!box) return;
    const size = (): void => {
      if (box.clientWidth === 0) return; // it is not on the page
      const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
      const style = getComputedStyle(box);
      const width = box.clientWidth - Number.parseFloat(style.paddingLeft) - Number.parseFloat(style.paddingRight);
      const height = (box.clientHeight < innerHeight ? box.clientHeight : innerHeight) - 2 * rem;
      setPaper((p) => (p && p.width === width && p.height === height && p.rem === rem && p.density === devicePixelRatio ? p : { width, height, rem, density: devicePixelRatio }));
    };
    const watch = new ResizeObserver(size);
    watch.observe(box);
    size();
    return () => watch.disconnect();
  }, [looks.text.value]);

  const plan = useMemo(() => (paper ? planOf(score, zoom, paper) : undefined), [score, zoom, paper]);
  const near = useNear(frame, elements, [plan, score.rows.length]);
  const perRow = useMemo(() => keepSame(score.rows.map((r) => shotsIn(shots, r))), [score.rows, shots]);
  const columns = useMemo(() => (plan ? columnsOf(score, plan) : []), [score, plan]);

  // The row at hand is kept in sight.
  useLayoutEffect(() => {
    if (zoom === "song") frame.current?.scrollTo({ top: 0 });
  }, [zoom]);
  const settled = useRef(desk.place.here.peek().at > 0); // a page that has just been opened stays at its top
  useEffect(
    () =>
      effect(() => {
        const row = desk.place.row.value;
        if (row && plan && settled.current) show(elements.current.get(row.index), desk.player.mode.value === "film");
        if (row && plan) settled.current = true;
      }),
    [plan],
  );

  const element = useMemo(
    () =>
      (row: number, e: HTMLElement | null): void => {
        if (e) elements.current.set(row, e);
        else elements.current.delete(row);
      },
    [],
  );

  return (
    <div class="tw-sheet" ref={frame} data-zoom={zoom}>
      {plan && paper ? (
        <>
          <div class="tw-rows" role="group" aria-label="The song, line by line">
            {columns.map((parts, i) => (
              <ol key={i}>
                {parts.map((s) => (
                  <li key={s.key} class="tw-part">
                    {s.headed ? <Section score={score} index={s.section} shots={shots} brief={zoom === "song"} /> : undefined}
                    <ol>
                      {s.rows.map((r) => (
                        <Row
                          key={r.index}
                          score={score}
                          plan={plan}
                          row={r}
                          shots={perRow[r.index] ?? []}
                          inks={inks}
                          near={near(r.index)}
                          changed={store.changed.value}
                          wave={store.wave.value}
                          element={element}
                        />
                      ))}
                    </ol>
                  </li>
                ))}
              </ol>
            ))}
          </div>
          <Apart />
          <Moving score={score} plan={plan} elements={elements.current} frame={frame} />
        </>
      ) : undefined}
    </div>
  );
}

interface Part {
  readonly key: string;
  readonly section: number;
  readonly headed: boolean; // the section begins here
  readonly rows: readonly RowData[];
}

/** The rows in columns, in each by sections. */
function columnsOf(score: Score, plan: Plan): readonly (readonly Part[])[] {
  const headRem = 1.6;
  const begins = (r: RowData): boolean => r.section >= 0 && r.section !== score.rows[r.index - 1]?.section;
  const column = dealOut(
    score.rows.map((r) => layRow(score, plan, r).height + (begins(r) ? headRem * plan.rem : 0)),
    plan.columns,
  );
  const out: { key: string; section: number; headed: boolean; rows: RowData[] }[][] = Array.from({ length: plan.columns }, () => []);
  for (const r of score.rows) {
    const parts = out[column[r.index] ?? 0];
    const last = parts?.[parts.length - 1];
    if (last && (last.section === r.section || r.section < 0)) last.rows.push(r);
    else parts?.push({ key: `${r.section}-${r.index}`, section: r.section, headed: begins(r), rows: [r] });
  }
  return out;
}

/** Gives the array of before for a row whose shots are the same, so that it is not drawn again. */
const keepSame = (() => {
  let before: (readonly ShotView[])[] = [];
  return (now: (readonly ShotView[])[]): (readonly ShotView[])[] => {
    const out = now.map((shots, i) => {
      const old = before[i];
      const same = old && old.length === shots.length && shots.every((s, k) => s.key === old[k]?.key && s.state === old[k]?.state && s.differs === old[k]?.differs && s.index === old[k]?.index && String(s.pins) === String(old[k]?.pins));
      return same ? old : shots;
    });
    before = out;
    return out;
  };
})();

/** Which rows are near enough to the window to be drawn; each tells its own row. */
function useNear(frame: { current: HTMLDivElement | null }, elements: { current: Map<number, HTMLElement> }, when: readonly unknown[]): (row: number) => Signal<boolean> {
  const near = useRef(new Map<number, Signal<boolean>>());
  const of = useMemo(
    () =>
      (row: number): Signal<boolean> => {
        let s = near.current.get(row);
        if (!s) near.current.set(row, (s = signal(false)));
        return s;
      },
    [],
  );
  useEffect(() => {
    const watch = new IntersectionObserver(
      (entries) => {
        for (const e of entries) of(Number((e.target as HTMLElement).dataset["row"])).value = e.isIntersecting;
      },
      { root: frame.current && frame.current.scrollHeight > frame.current.clientHeight + 1 ? frame.current : null, rootMargin: "600px 0px" },
    );
    for (const e of elements.current.values()) watch.observe(e);
    return () => watch.disconnect();
  }, when);
  return of;
}

/** The sheet as a list, for whoever would rather read than look. */
function AsList({ score, shots }: { readonly score: Score; readonly shots: readonly ShotView[] }) {
  const { desk } = useHeld();
  return (
    <div class="tw-sheet tw-list">
      <ol>
        {score.rows.map((r) => (
          <li key={r.index}>
            <h3>
              <button type="button" aria-expanded={desk.place.row.value?.index === r.index} onClick={() => desk.place.go({ at: r.span.from })}>
                {r.name}
                {r.text ? `, ${r.text}` : ""}
              </button>
            </h3>
            {desk.place.row.value?.index === r.index ? <Twin score={score} row={r} shots={shotsIn(shots, r)} /> : undefined}
          </li>
        ))}
      </ol>
    </div>
  );
}

function useInks(turn: number): Inks {
  return useMemo(() => {
    const style = getComputedStyle(document.documentElement);
    const of = (name: string): string => style.getPropertyValue(`--tw-${name}`).trim();
    return { ink: of("ink"), soft: of("soft"), faint: of("faint"), hair: of("hair"), ribbon: of("ribbon"), paper: of("paper"), thread: of("thread"), madder: of("madder"), sans: of("sans"), serif: of("serif") };
  }, [turn]);
}
