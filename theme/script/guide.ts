/**
 * A procedure one step at a time. Answers are links, so the browser's own back
 * works: each entry of its history carries the way that led there.
 */

import { all, fill, make, one } from "./dom";
import { recall, remember } from "./store";

/** A step that was left, and the answer that led on. */
interface Passed {
  id: string;
  said: string;
}

interface Entry {
  way: Passed[];
  /** The card that was shown. */
  at: string;
  /** Entries of the browser's history behind this one that belong to the page. */
  depth: number;
}

/** What is kept of a way when the page is closed. */
interface Kept {
  way: Passed[];
  at: string;
  when: number;
  typed: Record<string, string>;
}

/** After this time, in ms, a way that was left open is another job's. */
const fresh = 12 * 3600e3;

const body = document.body;
const key = `way ${location.pathname} ${body.dataset.page}`;
let cards: HTMLElement[] = [];
let way: Passed[] = [];
let depth = 0;
/** A step that was opened by its address while another way is kept; answering it begins a way of its own. */
let visit = false;
/** What the next change of the address means for the way. */
let next: Passed[] | null = null;

/** The card that an address names, itself or by something in it. */
function cardOf(hash: string): HTMLElement | null {
  let id = hash.slice(1);
  try {
    id = decodeURIComponent(id);
  } catch {
    return null; // an address that somebody mistyped
  }
  return document.getElementById(id)?.closest<HTMLElement>(".step, .end") ?? null;
}

const title = (card: HTMLElement): string => one("h2", card)?.textContent?.trim() ?? "";

function passed(list: HTMLElement, links: boolean): void {
  list.replaceChildren(
    ...way.map((p, i) => {
      const li = make("li");
      const step = make(links ? "a" : "b", title(document.getElementById(p.id)!));
      if (links) {
        step.setAttribute("href", "#" + p.id);
        step.addEventListener("click", (e) => {
          e.preventDefault();
          go(p.id, way.slice(0, i));
        });
      }
      li.append(step, " ", make("span", p.said));
      return li;
    }),
  );
}

/** What was typed in readings, by the step. */
function typed(): Record<string, string> {
  const found: Record<string, string> = {};
  for (const input of all<HTMLInputElement>(".reading input")) {
    const step = input.closest(".step");
    if (step && input.value) found[step.id] = input.value;
  }
  return found;
}

function type(values: Record<string, string>): void {
  for (const input of all<HTMLInputElement>(".reading input")) {
    input.value = values[input.closest(".step")?.id ?? ""] ?? "";
    input.dispatchEvent(new Event("input"));
  }
}

const keep = (at: string): void => {
  if (!visit) remember(key, { way, at, when: Date.now(), typed: typed() } satisfies Kept);
};

function show(card: HTMLElement, focus: boolean): void {
  for (const c of cards) c.classList.toggle("current", c === card);
  body.toggleAttribute("data-begun", card !== cards[0] || way.length > 0);
  body.toggleAttribute("data-way", way.length > 0);
  const strip = one(".way ol");
  if (strip) {
    passed(strip, true);
    strip.parentElement!.hidden = !way.length;
    strip.lastElementChild?.scrollIntoView({ block: "nearest", inline: "end" });
  }
  const found = one(".ruled-out", card);
  if (found) {
    found.hidden = !way.length;
    passed(one("ol", found)!, false);
  }
  history.replaceState({ way, depth, at: card.id } satisfies Entry, "");
  visit &&= !way.length;
  keep(card.id);
  if (focus) {
    card.scrollIntoView();
    one("h2", card)?.focus({ preventScroll: true });
  }
}

function turn(): void {
  const entry = history.state as Entry | null;
  const card = entry ? document.getElementById(entry.at) : location.hash ? cardOf(location.hash) : cards[0];
  if (!card) return;
  if (entry) {
    ({ way, depth } = entry);
  } else {
    way = next ?? way;
    depth++;
  }
  next = null;
  show(card, true);
}

/** Goes to a card that the way does not lead on to; the browser's back is no longer the way's. */
function go(id: string, then: Passed[]): void {
  next = then;
  depth = -1;
  if (cardOf(location.hash)?.id === id) {
    depth = 0;
    way = then;
    show(cardOf(location.hash)!, true);
  } else location.hash = id;
}

function press(what: string | undefined, button: HTMLElement): void {
  const last = way[way.length - 1];
  if (what === "back" && last) {
    if (depth > 0) history.back();
    else go(last.id, way.slice(0, -1));
  } else if (what === "again") {
    type({});
    one(".resumed")!.hidden = true;
    go(cards[0]!.id, []);
  } else if (what === "all") {
    const every = body.toggleAttribute("data-guided") === false;
    button.setAttribute("aria-pressed", String(every));
  }
}

export function startGuide(): void {
  cards = all(".step, .end");
  if (body.dataset.sheet !== "procedure" || !cards[0]) return;
  for (const h of all("h2", one("main")!)) h.tabIndex = -1;
  body.addEventListener("click", (e) => {
    const target = e.target as HTMLElement;
    const button = target.closest<HTMLElement>("[data-do]");
    if (button) press(button.dataset.do, button);
    const answer = target.closest<HTMLElement>(".answers a");
    const from = answer?.closest<HTMLElement>(".step");
    if (answer && from) next = [...way, { id: from.id, said: answer.dataset.said || answer.firstChild!.textContent!.trim() }];
  });
  addEventListener("hashchange", turn);
  body.toggleAttribute("data-guided", true);
  one(".whole")!.hidden = false;

  depth = (history.state as Entry | null)?.depth ?? 0;
  addEventListener("input", () => keep(one(".current")?.id ?? ""));
  const kept = recall<Kept>(key);
  const named = location.hash ? cardOf(location.hash) : null;
  const known = kept && Date.now() - kept.when < fresh && kept.way.every((p) => document.getElementById(p.id));
  const at = known && document.getElementById(kept.at);
  // A way that came to its end is done: whoever opens the page anew has another machine.
  const goesOn = at && (named ? at === named : kept.way.length > 0 && at.matches(".step"));
  if (goesOn) {
    way = kept.way;
    type(kept.typed ?? {});
    const note = one(".resumed")!;
    note.hidden = !way.length || !!named;
    note.textContent = fill(word.bar.resumed, { time: new Date(kept.when).toLocaleTimeString([], { timeStyle: "short" }) });
  }
  visit = !!named && !!at && !goesOn;
  const card = (goesOn && at) || named || cards[0];
  show(card, false);
  // The address scrolled to where the card stood among all of them.
  if (location.hash) card.scrollIntoView();
}
