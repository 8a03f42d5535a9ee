import { effect } from "@preact/signals";
import { render } from "preact";
import { Before } from "./before/Before";
import { atBefore, pressBefore } from "./before/place";
import { Desk } from "./state/desk";
import { Keys } from "./state/keys";
import { Looks } from "./state/looks";
import { Store } from "./state/store";
import { Holder } from "./views/hold";
import { Page } from "./views/Page";

const store = new Store();
const desk = new Desk(store);
const keys = new Keys(localStorage);
const looks = new Looks(localStorage, document.documentElement);
desk.player.volume = looks.volume.value;

document.addEventListener("keydown", (e) => {
  if (atBefore.value ? pressBefore(e, keys, desk) : keys.press(e, desk)) e.preventDefault();
});
// A word that was clicked does not keep the keys to itself.
document.addEventListener("click", (e) => {
  const word = e.target instanceof Element ? e.target.closest("button") : undefined;
  if (e.detail > 0 && word && !word.closest("dialog, form")) word.blur();
});

// The record is read as soon as there is one, so that the first key sounds at once.
let warmed = "";
effect(() => {
  const record = store.film.value?.record ?? "";
  const lines = store.score.value?.rows.length ?? 0;
  if (record === "" || lines === 0 || record === warmed) return;
  warmed = record;
  setTimeout(() => desk.player.warm(), 300);
});

const Place = () => (atBefore.value ? <Before /> : <Page />);

const root = document.getElementById("page");
if (root) {
  render(
    <Holder value={{ store, desk, keys, looks }}>
      <Place />
    </Holder>,
    root,
  );
}
store.open();
