import { at, put } from "./edit";
import { Act, Num, Pick, Text } from "./fields";
import type { Change } from "./planning";

/** A field of each row. */
export interface Column {
  readonly field: string;
  readonly words: string;
  readonly unit?: string;
  readonly step?: number;
  readonly of?: readonly string[]; // one of these words
  readonly text?: boolean; // words, else a number
  readonly zero?: boolean;
  readonly usual?: number;
  readonly first?: number; // how the one is called that the plan counts as 0
}

type Row = { readonly [field: string]: unknown };

/** Things of one kind, each a row of fields that are changed in place. */
export function Rows<T extends object>(p: {
  readonly things: readonly T[] | undefined;
  readonly called: string; // one of them: "a lens"
  readonly columns: readonly Column[];
  readonly fresh: () => T;
  readonly onPut: (all: readonly T[]) => Change;
}) {
  const all = (p.things ?? []) as readonly (T & Row)[];
  return (
    <div class="tb-rows">
      <ul>
        {all.map((thing, i) => {
          const about = String((thing as Row)["name"] ?? "") || `${p.called.replace(/^an? /, "")} ${i + 1}`;
          const change = (field: string, v: unknown): Change => p.onPut(at<T>(all, i, (t) => put(t, field, v)));
          return (
            <li key={i}>
              {p.columns.map((c) => {
                const v = (thing as Row)[c.field];
                if (c.of) return <Pick key={c.field} words={c.words} about={about} value={v as string | undefined} of={c.of} none="not said" onPut={(n) => change(c.field, n)} />;
                if (c.text) return <Text key={c.field} words={c.words} about={about} value={v as string | undefined} onPut={(n) => change(c.field, n)} />;
                return <Num key={c.field} words={c.words} about={about} unit={c.unit} step={c.step ?? 1} zero={c.zero ?? false} usual={c.usual} value={v === undefined ? undefined : (v as number) + (c.first ?? 0)} onPut={(n) => change(c.field, n === undefined ? undefined : n - (c.first ?? 0))} />;
              })}
              <Act label={`drop ${about}`} change={p.onPut(all.filter((_, k) => k !== i))}>
                drop
              </Act>
            </li>
          );
        })}
      </ul>
      <Act change={p.onPut([...all, p.fresh()])}>add {p.called}</Act>
    </div>
  );
}
