/** What lies over the page at the edges of the screen: the bar, and the notice of a sheet that holds for another machine or is superseded. */

import { all, one } from "./dom";

/** The bar takes no more of the screen while it can do with less. */
const share = 0.4;

const height = (selector: string): number => one(selector)?.offsetHeight ?? 0;

let covered = 0;
let way = 0;

/** What is scrolled to stands clear of both, however high they are. */
export function measure(): void {
  way = height(".way") || way;
  const bar = one(".bar")!;
  const tall = bar.classList.contains("tall");
  bar.classList.toggle("tall", height(".bar") - height(".bar .left[open] ul") + (tall ? way : 0) > share * innerHeight);
  const top = Math.max(height(".not-applicable:not([hidden])"), height(".superseded"));
  const { style } = document.documentElement;
  style.scrollPaddingTop = `calc(1rem + ${top}px)`;
  style.scrollPaddingBottom = `calc(1rem + ${height(".bar")}px)`;
  // A notice that comes does not lie down on the heading of the card.
  const heading = top > covered && one(".current h2");
  covered = top;
  if (!heading) return;
  const { top: from, bottom: to } = heading.getBoundingClientRect();
  if (to > 0 && from < top) heading.scrollIntoView({ block: "nearest" });
}

export function keepClear(): void {
  const watch = new ResizeObserver(measure);
  for (const e of all(".not-applicable, .superseded, .bar")) watch.observe(e);
}
