import { media } from "../api/client";
import type { Order, Wishes } from "../api/types";
import { clockText, span } from "../base/time";
import { useHeld } from "./hold";

const shapes: readonly { readonly shape: string; readonly width: number; readonly height: number }[] = [
  { shape: "16:9", width: 1920, height: 1080 },
  { shape: "9:16", width: 1080, height: 1920 },
  { shape: "1:1", width: 1080, height: 1080 },
  { shape: "4:5", width: 1080, height: 1350 },
  { shape: "2.39:1", width: 1920, height: 804 },
];

/** The films that are wanted, and the wishes for all of them. */
export function Films() {
  const { store } = useHeld();
  const film = store.film.value;
  const cut = store.cut.value;
  if (!film) return undefined;
  const orders = film.orders ?? [];
  return (
    <>
      <ol class="tw-films">
        {orders.map((o, i) => (
          <OneFilm key={o.id} order={o} first={i === 0} />
        ))}
      </ol>
      <form
        class="tw-line-form"
        onSubmit={(e) => {
          e.preventDefault();
          const data = new FormData(e.currentTarget);
          const kind = shapes[Number(data.get("shape"))];
          const part = String(data.get("part") ?? "").trim();
          const most = Number(data.get("most"));
          if (!kind) return;
          const order: Order = { id: "", ...kind, span: span(0, film.song.duration), made: false, ...(part ? { part } : {}) };
          void store.decide({ do: "order", order, ...(most > 0 ? { most_s: most } : {}) });
        }}
      >
        <label>
          another:{" "}
          <select name="shape">
            {shapes.map((s, i) => (
              <option key={s.shape} value={i}>
                {s.shape}
              </option>
            ))}
          </select>
        </label>
        <label>
          of <input name="part" placeholder="all of it, or “B1”" size={14} list="tw-sections" />
        </label>
        <datalist id="tw-sections">
          {(film.song.sections ?? []).map((s) => (
            <option key={s.name} value={s.name} />
          ))}
        </datalist>
        <label>
          at most <input name="most" type="number" min="3" max="600" size={4} /> s
        </label>
        <button type="submit" class="tw-word">
          ask for it
        </button>
      </form>
      {cut ? (
        <p class="tw-quiet">
          {(cut.cut.shots ?? []).length} shots of {cut.mean_shot.toFixed(1)} s; {Math.round(100 * cut.agreeing)} % of the music agrees
          {cut.not_agreeing > 0 ? `; ${cut.not_agreeing} ${cut.not_agreeing === 1 ? "shot does" : "shots do"} not` : ""}.
        </p>
      ) : undefined}
      <p class="tw-hand">
        <button type="button" class="tw-word" disabled={orders.length === 0 || (cut?.cut.shots ?? []).length === 0} onClick={() => void store.begin({ do: "films" })}>
          make the films
        </button>
      </p>
      <WishesForm wishes={film.wishes} />
    </>
  );
}

function OneFilm({ order, first }: { readonly order: Order; readonly first: boolean }) {
  const { store } = useHeld();
  const shown = store.order.value === order.id;
  return (
    <li>
      <button type="button" class="tw-word" aria-pressed={shown} onClick={() => void store.show(order.id)}>
        <b>{order.shape}</b> {order.part ? order.part : "the whole song"}
      </button>
      <span class="tw-quiet">
        {order.width} × {order.height}, {clockText(order.span.to - order.span.from)}
      </span>
      {order.made ? (
        <a class="tw-word" href={media.film(order.id)} target="_blank" rel="noreferrer">
          look at it
        </a>
      ) : (
        <span class="tw-quiet">not made yet</span>
      )}
      {first ? undefined : (
        <button type="button" class="tw-word" onClick={() => void store.decide({ do: "drop-order", drop: order.id })}>
          not wanted
        </button>
      )}
    </li>
  );
}

function WishesForm({ wishes }: { readonly wishes: Wishes }) {
  const { store } = useHeld();
  const field = (name: keyof Wishes, words: string, unit: string, times = 1) => (
    <label>
      {words} <input name={name} type="number" min="0" step="0.1" size={5} value={wishes[name] > 0 ? +(wishes[name] * times).toFixed(2) : ""} placeholder="as usual" /> {unit}
    </label>
  );
  return (
    <form
      class="tw-line-form"
      onSubmit={(e) => {
        e.preventDefault();
        const data = new FormData(e.currentTarget);
        const of = (name: keyof Wishes): number => Math.max(0, Number(data.get(name)) || 0);
        void store.decide({ do: "wishes", wishes: { shortest_s: of("shortest_s"), longest_s: of("longest_s"), wanted_s: of("wanted_s"), speed: of("speed") / 100 } });
      }}
    >
      <span class="tw-lead">shots</span>
      {field("shortest_s", "at least", "s")}
      {field("wanted_s", "about", "s")}
      {field("longest_s", "at most", "s")}
      {field("speed", "speed bent by", "%", 100)}
      <button type="submit" class="tw-word">
        wish so
      </button>
    </form>
  );
}

