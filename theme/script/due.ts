/**
 * Says where it is seen, in the bar of a procedure or the head of another page, that the day has passed by which the
 * publisher was to look at the page, or at the whole edition, again: whichever comes first. The row of the head that told
 * the day gives way to it then. A page that lies open over that day says so too. By a clock that stands before the edition's own day nothing can be told, and that is said.
 */

import { all, fill, make, one } from "./dom";

const edition = one("[data-edition]");
const { checkBy, date } = JSON.parse(edition?.dataset.edition || "{}") as { checkBy?: string; date?: string };
const [by] = [document.body.dataset.checkBy, checkBy].filter(Boolean).sort() as string[];

/** The first moment of a day, or of one so many days later. */
const start = (text: string, later = 0): number => {
  const day = new Date(text + "T00:00"); // in the phone's own time
  return day.setDate(day.getDate() + later);
};

if (by) {
  const said = make("div"); // the paragraph of a bar is another
  const way = one(".way");
  if (way) way.after(said);
  else one(".head")!.prepend(said);
  // Written when it is wanted: it costs more than all else that a page does.
  const look = (): void => {
    const now = Date.now();
    // Somewhere it is that day a day sooner.
    said.textContent =
      now >= start(by, 1)
        ? fill(word.due.past, { day: new Intl.DateTimeFormat(document.documentElement.lang + "-u-nu-latn", { dateStyle: "long" }).format(start(by)) })
        : date && now < start(date, -1)
          ? word.due.clock
          : "";
    for (const row of all(".facts [data-by]")) row.parentElement!.hidden = now >= start(row.dataset.by!, 1);
  };
  look();
  document.addEventListener("visibilitychange", look);
  setInterval(look, 6e5);
}
