import { Sheet } from "../sheet/Sheet";
import { First, NoClips } from "./First";
import { Head } from "./Head";
import { useHeld } from "./hold";
import { KeysPage } from "./KeysPage";
import { Leaves } from "./Leaves";
import { Plate } from "./Plate";
import { Slip } from "./Slip";
import { Thumb } from "./Thumb";
import { Working } from "./Working";

/** The whole page: a picture on the left leaf, the song on the right one. */
export function Page() {
  const { store, desk } = useHeld();
  const score = store.score.value;
  const heard = (score?.film.song.lines ?? []).length > 0 || !(score?.film.missing ?? []).includes("song");
  const ready = score !== undefined && heard && score.rows.length > 0;
  return (
    <div class="tw-page" data-large={desk.large.value ? "" : undefined} data-zoom={desk.place.zoom.value} data-more={desk.more.value ? "" : undefined} data-ready={ready ? "" : undefined}>
      <Head />
      <Working />
      <main class="tw-spread">
        {ready ? (
          <section class="tw-left" aria-label="the picture">
            <Plate />
            <Leaves />
            <Slip />
          </section>
        ) : undefined}
        <section class="tw-right" aria-label="the song sheet">
          {ready ? <Sheet score={score} /> : <First />}
          {ready ? <NoClips /> : undefined}
        </section>
      </main>
      {ready ? <Thumb /> : undefined}
      {ready ? undefined : <Slip />}
      <KeysPage />
    </div>
  );
}
