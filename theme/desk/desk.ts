/**
 * The desk's script, the first one of a page that is shown while it is written: it
 * hears what the desk tells, and brings it into the page.
 */

import { here } from "../script/place";
import { takeLines, type Lines } from "./lines";
import { differs, keep, merge, mustReload, shownFor } from "./merge";
import { showNotes } from "./notes";
import { bringBack, inPlace, reload } from "./stay";
import { showLost, showStrip, startStrip } from "./strip";
import type { Told } from "./told";

const root = document.documentElement;
let lines: Lines = takeLines(root);
keep(root);
startStrip();
bringBack();

/** What was told last, without the page. */
let last = "";

function hear(told: Told): void {
  const now = told.html === undefined ? null : new DOMParser().parseFromString(told.html, "text/html").documentElement;
  const taken = now && takeLines(now);
  const changed = !!now && differs(now);
  if (changed && mustReload(now)) {
    reload();
    return;
  }
  const { html, ...rest } = told;
  const saying = JSON.stringify([rest, html === undefined]);
  if (!now && saying === last) return;
  inPlace(() => {
    if (now && taken) {
      merge(now);
      lines = new Map([...taken].map(([e, line]) => [shownFor(e)!, line]));
    }
    showStrip(told, showNotes(told.here, lines));
  });
  last = saying;
}

/** How long is waited before a desk that does not answer is asked again, in ms. */
const pause = 1000;
let stream: EventSource | null = null;

/** A page that nobody sees hears nothing: a browser keeps few connections to one host, and each would take one. */
function listen(): void {
  if (document.hidden || stream) return;
  const asked = new EventSource(`${here}_desk/events?page=${encodeURIComponent(location.href.slice(here.length).replace(/[?#].*/s, ""))}`);
  stream = asked;
  asked.onmessage = (e) => {
    showLost(false);
    hear(JSON.parse(e.data as string) as Told);
  };
  asked.onerror = () => {
    showLost(true);
    rest();
    setTimeout(listen, pause);
  };
}

function rest(): void {
  stream?.close();
  stream = null;
}

document.addEventListener("visibilitychange", () => (document.hidden ? rest() : listen()));
addEventListener("pagehide", rest);
addEventListener("pageshow", listen);
listen();
