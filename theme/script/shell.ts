/** What every page's script does first. */

import { all, fill, make, one } from "./dom";
import { here } from "./place";
import { recall } from "./store";

interface Edition {
  title: string;
  edition: string;
  date?: string;
  checkBy?: string;
  /** The date as languages say it. */
  days?: Record<string, string>;
}

declare global {
  interface Window {
    benchleafEdition(edition: Edition): void;
  }
}

/** The file edition.js calls this: the one place where the edition's name stands. */
window.benchleafEdition = (now) => {
  const place = one("[data-edition]");
  if (!place) return;
  place.dataset.edition = JSON.stringify(now); // for a script that runs later
  place.textContent = " · " + [fill(word.page.edition, { edition: now.edition }), now.days?.[document.documentElement.lang]].filter(Boolean).join(word.list.comma);
  place.hidden = false;
};

document.documentElement.classList.add("live");
one(".script-note")!.hidden = true;
// What does nothing without script is shown by it.
for (const e of all(".bar,form.entry")) e.hidden = false;
// What came from a host can be kept. The script for that comes when all else is there; its element keeps a place for what it has to say.
if (!bound && !desk && location.protocol[0] === "h") {
  const script = make("script") as HTMLScriptElement;
  one(".foot")!.append(script);
  onload = () => (script.src = `${here}assets/held-${document.documentElement.lang}.js`);
}
/** Shows the job at hand, as the last page that wrote its record has it. */
export function showJob(): void {
  const bar = one(".bar");
  const [name, left] = recall<string[]>(`bar ${recall<string>("job")}`) ?? [];
  if (bar && name) one(".job", bar)!.textContent = name;
  if (bar && left) bar.prepend(make("p", left));
}
showJob();
