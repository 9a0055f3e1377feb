/** The way back may bring a page without the record as it was left: since then there may be another job at hand, or more to put back. */

import { one } from "./dom";
import { showJob } from "./shell";

addEventListener("pageshow", (e) => {
  if (!e.persisted) return;
  one(".bar > p:not(.offer)")?.remove();
  showJob();
});
