/** The script of a sheet: the static sheet is complete, this makes it live. */

import { fill, one } from "./dom";
import { startGuide } from "./guide";
import { startModel } from "./model";
import { startReadings } from "./reading";
import { startSelfChecks } from "./selfcheck";

interface Edition {
  title: string;
  edition: string;
  date?: string;
}

declare global {
  interface Window {
    benchleafEdition(edition: Edition): void;
  }
}

/** The file edition.js calls this: the one place where the edition's name stands. */
window.benchleafEdition = ({ edition, date }) => {
  const place = one("[data-edition]");
  if (!place) return;
  place.textContent = " · " + [fill(word.page.edition, { edition }), date].filter(Boolean).join(", ");
  place.hidden = false;
};

document.documentElement.classList.add("live");
one(".script-note")!.hidden = true;
const bar = one(".bar");
if (bar) bar.hidden = false;
startReadings();
startSelfChecks();
startGuide();
startModel();
