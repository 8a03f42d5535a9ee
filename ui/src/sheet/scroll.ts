// Scrolling: on a wide page the sheet scrolls in its frame, on a phone the page does.

/** Brings a row into sight when it is not. */
export function show(row: HTMLElement | undefined, smooth: boolean): void {
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
export function keepSeen(e: HTMLElement | null): void {
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
