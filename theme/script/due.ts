/** Says at the foot, below the edition, that the day has passed by which the publisher was to look at the page again. */

import { fill, make, one } from "./dom";

const edition = one("[data-edition]");
const { checkBy } = JSON.parse(edition?.dataset.edition || "{}") as { checkBy?: string };
const day = document.body.dataset.checkBy || checkBy;
if (day) {
  const [y, m, d] = day.split("-").map(Number) as [number, number, number];
  if (Date.now() >= new Date(y, m - 1, d + 1).getTime()) edition?.parentElement?.after(make("p", fill(word.due.past, { day })));
}
