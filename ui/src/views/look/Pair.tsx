import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { media } from "../../api/client";
import type { Instant } from "../../api/types";
import { byChance, evenDims, meanLight, stopsApart } from "../../look/even";
import { unfinished } from "../../look/painter";
import { press } from "../../look/press";
import { type Grade, noGrade } from "../../state/grading";
import { type Held, useHeld } from "../hold";
import { finishOfStill, stillWidth, useInstants } from "./stills";

const votes = 5;

interface Round {
  readonly instant: Instant;
  readonly newIsLeft: boolean;
}

/** Two looks beside each other, nobody says which is which: five votes, then the answer. */
export function Pair() {
  const { desk } = useHeld();
  const instants = useInstants();
  const rounds = useSignal<readonly Round[]>([]);
  const chosen = useSignal<readonly boolean[]>([]); // the new one, vote by vote
  const against = useSignal<Grade>(noGrade);
  const before = desk.grading.before.value;
  if (!instants) return <p class="tw-quiet">measuring the shots of the cut …</p>;
  if (instants.length === 0) return <p class="tw-quiet">There is no cut yet to choose from.</p>;
  const begin = (other: Grade): void => {
    against.value = other;
    chosen.value = [];
    const from = shuffled(instants);
    rounds.value = Array.from({ length: votes }, (_, i) => ({ instant: from[i % from.length] as Instant, newIsLeft: Math.random() < 0.5 }));
  };
  const round = rounds.value[chosen.value.length];
  return (
    <div class="tw-pair">
      <p class="tw-hand">
        <button type="button" class="tw-word" onClick={() => begin(noGrade)}>
          this look against none
        </button>
        <button type="button" class="tw-word" disabled={!before} onClick={() => before && begin(before)}>
          against the one before the last change
        </button>
        {round ? (
          <span class="tw-quiet">
            {chosen.value.length + 1} of {votes}: which is better?
          </span>
        ) : undefined}
      </p>
      {round ? <Ballot key={chosen.value.length} round={round} against={against.value} onChoose={(left) => (chosen.value = [...chosen.value, left === round.newIsLeft])} /> : undefined}
      {rounds.value.length > 0 && !round ? <Answer chosen={chosen.value} /> : <p class="tw-quiet">Both are shown equally bright and without bars, and chance says which lies left.</p>}
    </div>
  );
}

function Answer({ chosen }: { readonly chosen: readonly boolean[] }) {
  const forNew = chosen.filter(Boolean).length;
  const most = Math.max(forNew, chosen.length - forNew);
  const chance = 2 * byChance(most, chosen.length); // for either of the two
  return (
    <p class="tw-why" role="status">
      You chose the {forNew * 2 > chosen.length ? "new" : "other"} one {most} of {chosen.length}. {chance >= 1 ? "That is no more than chance." : `By chance alone one of the two gets as many in ${Math.round(100 * chance)} of 100 such tests.`}
    </p>
  );
}

/** One vote. */
function Ballot({ round, against, onChoose }: { readonly round: Round; readonly against: Grade; readonly onChoose: (left: boolean) => void }) {
  const held = useHeld();
  const left = useRef<HTMLCanvasElement>(null);
  const right = useRef<HTMLCanvasElement>(null);
  const picture = useRef<HTMLImageElement | undefined>(undefined);
  const apart = useSignal<number | undefined>(undefined);
  const { grading } = held.desk;
  const grade = grading.now.value;
  void grading.turn.value;
  const paint = (): void => {
    const [a, b] = round.newIsLeft ? [grade, against] : [against, grade];
    if (left.current && right.current && picture.current) apart.value = pressEven(held, round.instant, picture.current, [left.current, a], [right.current, b]);
  };
  useEffect(() => {
    const image = new Image();
    image.onload = paint;
    image.src = media.still(round.instant.pass, round.instant.at_s, stillWidth);
    picture.current = image;
    return () => (image.onload = null);
  }, []);
  useEffect(paint, [grade, grading.turn.value]);
  const ready = apart.value !== undefined;
  return (
    <div class="tw-ballot" data-stops-apart={apart.value?.toFixed(4)}>
      {[left, right].map((canvas, i) => (
        <button key={i} type="button" disabled={!ready} onClick={() => onChoose(i === 0)}>
          <canvas ref={canvas} width={16} height={9} aria-hidden="true" />
          the {i === 0 ? "left" : "right"} one
        </button>
      ))}
    </div>
  );
}

type Side = readonly [HTMLCanvasElement, Grade];

/** Paints two looks equally bright and says how many stops apart they are; undefined until both tables are there. */
function pressEven(held: Held, instant: Instant, still: HTMLImageElement, ...sides: readonly [Side, Side]): number | undefined {
  const { grading } = held.desk;
  const lightOf = ([canvas, grade]: Side, dim: number): number => {
    const table = grading.table(instant.setup, grade, `pair ${grade === grading.now.value ? "new" : "other"}`);
    const pixels = press(canvas, still, table, finishOfStill(held, instant, grade, { dim, bars: unfinished.bars }));
    return pixels && grading.isExact(instant.setup, grade) ? meanLight(pixels) : NaN;
  };
  const [a, b] = sides;
  const dims = evenDims(lightOf(a, 1), lightOf(b, 1));
  const apart = stopsApart(lightOf(a, dims[0]), lightOf(b, dims[1]));
  return Number.isFinite(apart) ? apart : undefined;
}

function shuffled<T>(all: readonly T[]): readonly T[] {
  return all
    .map((v) => ({ v, at: Math.random() }))
    .sort((a, b) => a.at - b.at)
    .map(({ v }) => v);
}
