/** What every page's script does first. */

import { fill, one } from "./dom";
import { recall } from "./store";

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

/** The edition, once the file edition.js has run. */
export let edition: Edition | undefined;

/** The file edition.js calls this: the one place where the edition's name stands. */
window.benchleafEdition = (now) => {
  edition = now;
  const place = one("[data-edition]");
  if (!place) return;
  place.dataset.edition = JSON.stringify(now); // for a script that runs later
  place.textContent = " · " + [fill(word.page.edition, { edition: now.edition }), now.date].filter(Boolean).join(", ");
  place.hidden = false;
};

document.documentElement.classList.add("live");
one(".script-note")!.hidden = true;
const bar = one(".bar");
if (bar) bar.hidden = false;
const job = one(".bar .job");
const name = recall<string>(`name ${recall<string>("job") ?? ""}`);
if (job && name) job.textContent = fill(word.job.name, { name });
