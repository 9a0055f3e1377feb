/**
 * Says at the foot, below the edition, that the day has passed by which the publisher was to look at the page, or at
 * the whole edition, again: whichever comes first. A page that lies open over that day says so too. By a clock that
 * stands before the edition's own day nothing can be told, and that is said.
 */

import { fill, make, one } from "./dom";

const edition = one("[data-edition]");
const { checkBy, date } = JSON.parse(edition?.dataset.edition || "{}") as { checkBy?: string; date?: string };
const [by] = [document.body.dataset.checkBy, checkBy].filter(Boolean).sort() as string[];

/** The first moment of a day, or of one so many days later. */
const start = (text: string, later = 0): number => {
  const day = new Date(text + "T00:00"); // in the phone's own time
  return day.setDate(day.getDate() + later);
};

if (by) {
  const said = make("p");
  const written = new Intl.DateTimeFormat(document.documentElement.lang + "-u-nu-latn", { dateStyle: "long" }).format(start(by));
  const look = (): void => {
    const now = Date.now();
    // Somewhere it is that day a day sooner.
    const text = now >= start(by, 1) ? fill(word.due.past, { day: written }) : date && now < start(date, -1) ? word.due.clock : "";
    said.textContent = text;
    if (text) edition!.parentElement!.after(said);
    else said.remove();
  };
  look();
  document.addEventListener("visibilitychange", look);
  setInterval(look, 6e5);
}
