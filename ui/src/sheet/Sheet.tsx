import { type Signal, effect, signal } from "@preact/signals";
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { lengthOf, overlap, song } from "../base/time";
import { Apart } from "../views/First";
import { useHeld } from "../views/hold";
import type { Inks } from "./inks";
import { type Paper, type Plan, dealOut, layRow, planOf } from "./layout";
import { Row, shotsIn } from "./Row";
import { type Row as RowData, type Score, type ShotView, rowAt } from "./score";
import { Section } from "./Section";
import { Twin } from "./Twin";

/** The song, set in rows. */
export function Sheet({ score }: { readonly score: Score }) {
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
  const settled = useRef(false);
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

  if (desk.asList.value) return <AsList score={score} shots={shots} />;
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
          <Marks score={score} plan={plan} elements={elements.current} frame={frame} />
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

function show(row: HTMLElement | undefined, smooth: boolean): void {
  if (!row) return;
  const scroller = scrollerOf(row);
  const box = row.getBoundingClientRect();
  const top = scroller === document.documentElement ? phoneTop() : scroller.getBoundingClientRect().top;
  const bottom = scroller === document.documentElement ? innerHeight - phoneBottom() : scroller.getBoundingClientRect().bottom;
  const air = 12;
  if (box.top >= top && box.bottom <= bottom) return;
  const tall = box.height > bottom - top;
  if (tall && box.top < top + (bottom - top) / 2 && box.top >= top) return;
  const to = scroller.scrollTop + box.top - top - (box.top < top || tall ? air : Math.max(air, (bottom - top - box.height) / 3));
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  scroller.scrollTo({ top: to, behavior: smooth && !still ? "smooth" : "instant" });
}

function scrollerOf(e: HTMLElement): HTMLElement {
  const sheet = e.closest<HTMLElement>(".tw-sheet");
  return sheet && getComputedStyle(sheet).overflowY !== "visible" ? sheet : document.documentElement;
}

/** Scrolls no further than it takes to see a mark. */
function keepSeen(e: HTMLElement | null): void {
  if (!e) return;
  const scroller = scrollerOf(e);
  const page = scroller === document.documentElement;
  const box = e.getBoundingClientRect();
  const top = page ? phoneTop() : scroller.getBoundingClientRect().top;
  const bottom = page ? innerHeight - phoneBottom() : scroller.getBoundingClientRect().bottom;
  const air = 40;
  if (box.top < top + air) scroller.scrollBy({ top: box.top - top - air });
  else if (box.bottom > bottom - air) scroller.scrollBy({ top: box.bottom - bottom + air });
}

const phoneTop = (): number => document.querySelector(".tw-plate")?.getBoundingClientRect().bottom ?? 0;
const phoneBottom = (): number => document.querySelector(".tw-thumb")?.getBoundingClientRect().height ?? 0;

/** What moves over the paper: the place at hand, what a decision reaches, what is heard now. */
function Marks({ score, plan, elements, frame }: { readonly score: Score; readonly plan: Plan; readonly elements: ReadonlyMap<number, HTMLElement>; readonly frame: { current: HTMLDivElement | null } }) {
  const { desk } = useHeld();
  const reach = useRef<HTMLDivElement>(null);
  const strand = useRef<HTMLDivElement>(null);
  const needle = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const place = (e: HTMLElement | null, row: RowData | undefined, x: number, y: number, w: number, h: number): void => {
      const li = row && elements.get(row.index);
      const sheet = frame.current;
      if (!e) return;
      if (!li || !sheet) {
        e.hidden = true;
        return;
      }
      e.hidden = false;
      const strip = li.firstElementChild as HTMLElement;
      const box = strip.getBoundingClientRect();
      const base = sheet.getBoundingClientRect();
      e.style.transform = `translate(${box.left - base.left + sheet.scrollLeft + x}px, ${box.top - base.top + sheet.scrollTop + y}px)`;
      e.style.width = `${w}px`;
      e.style.height = `${h}px`;
    };
    const moved = signal(0);
    const watch = new ResizeObserver(() => moved.value++);
    const rows = frame.current?.firstElementChild;
    if (rows) watch.observe(rows);
    const stopHere = effect(() => {
      void moved.value;
      const row = desk.place.row.value;
      const target = desk.place.target.value;
      if (!row || !target) return;
      const lay = layRow(score, plan, row);
      const from = song(Math.max(target.span.from, row.span.from));
      const to = song(Math.min(target.span.to, row.span.to));
      const x = lay.scale.px(from);
      const top = plan.zoom === "song" ? 0 : lay.words.y;
      place(reach.current, overlap(target.span, row.span) > 0 ? row : undefined, x, top, Math.max(3, lay.scale.px(to) - x), lay.height - top - (plan.zoom === "song" ? 4 : 8));
      const pass = desk.place.here.value.pass;
      const at = lay.places.find((q) => q.strand.pass.name === pass);
      const x0 = lay.label - 0.4 * plan.rem;
      if (at) {
        place(strand.current, row, x0, at.y - plan.ribbon / 2 - 1, lengthOf(row.span) * plan.perSecond + 0.8 * plan.rem, plan.ribbon + 2);
        keepSeen(strand.current);
      } else place(strand.current, lay.cut.height > 0 ? row : undefined, x0, lay.cut.y - 2, lengthOf(row.span) * plan.perSecond + 0.8 * plan.rem, lay.cut.height + 4);
    });
    let known: { row: RowData; lay: ReturnType<typeof layRow> } | undefined;
    const stopNow = effect(() => {
      void moved.value;
      const t = desk.player.now.value;
      const row = rowAt(score, t);
      if (!row) return;
      if (known?.row !== row) known = { row, lay: layRow(score, plan, row) };
      place(needle.current, row, known.lay.scale.px(t), 0, 2, known.lay.height - 6);
      needle.current?.classList.toggle("tw-runs", desk.player.mode.value !== "still");
    });
    return () => {
      watch.disconnect();
      stopHere();
      stopNow();
    };
  }, [score, plan, elements]);
  return (
    <>
      <div class="tw-reach" ref={reach} aria-hidden="true" hidden />
      <div class="tw-at-hand" ref={strand} aria-hidden="true" hidden />
      <div class="tw-needle" ref={needle} aria-hidden="true" hidden />
    </>
  );
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
