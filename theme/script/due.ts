/**
 * Says at the foot, below the edition, that the day has passed by which the publisher was to look at the page, or at
 * the whole edition, again: whichever comes first. A page that lies open over that day says so too.
 */

import { fill, make, one } from "./dom";

const edition = one("[data-edition]");
const { checkBy } = JSON.parse(edition?.dataset.edition || "{}") as { checkBy?: string };
const [day] = [document.body.dataset.checkBy, checkBy].filter(Boolean).sort() as string[];
if (day) {
  const [y, m, d] = day.split("-").map(Number) as [number, number, number];
  const past = make("p", fill(word.due.past, { day }));
  const look = (): void => {
    if (Date.now() >= new Date(y, m - 1, d + 1).getTime()) edition!.parentElement!.after(past);
  };
  look();
  document.addEventListener("visibilitychange", look);
  setInterval(look, 6e5);
}
