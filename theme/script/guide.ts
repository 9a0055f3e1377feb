/**
 * A procedure one step at a time. Answers are links, so the browser's own back
 * works: each entry of its history carries the way that led there. The script
 * of jobs is told of each card and each answer; it keeps them, and may ask for
 * another card. Without it a way lasts as long as the tab.
 */

import { onRenewed } from "../desk/renew";
import { all, make, one } from "./dom";
import { painted } from "./painted";
import { fragment, hrefOf, linkTo } from "./place";

/** A step that was left, and the answer that led on. */
export interface Passed {
  id: string;
  said: string;
  outcome?: string;
  /** The answer's address, as the page has it. */
  to: string;
  /** When the step was shown and when it was answered, in ms. */
  shown: number;
  at: number;
}

/** A card and how it was reached, as an entry of the browser's history carries it. */
export interface Shown {
  /** The job, which the script of jobs names on the body. */
  job: string;
  way: Passed[];
  /** The card, and since when it is shown. */
  at: string;
  shown: number;
  /** Entries of the browser's history behind this one that belong to the page. */
  depth: number;
}

const body = document.body;
let cards: HTMLElement[] = [];
let way: Passed[] = [];
let depth = 0;
let shown = 0;
/** What the next change of the address means for the way. */
let next: Passed[] | null = null;

/** The card that the address names, itself or by something in it. */
function cardNamed(): HTMLElement | null {
  let id = fragment();
  try {
    id = decodeURIComponent(id);
  } catch {
    return null; // an address that somebody mistyped
  }
  return document.getElementById(id)?.closest<HTMLElement>(".step, .end") ?? null;
}

function passed(list: HTMLElement, links: boolean): void {
  list.replaceChildren(
    ...way.map((p, i) => {
      const li = make("li");
      const step = make(links ? "a" : "b", one("h2", document.getElementById(p.id)!)!.textContent!.trim()) as HTMLAnchorElement;
      if (links) {
        step.href = linkTo("#" + p.id);
        step.onclick = () => {
          go(p.id, way.slice(0, i));
          return false;
        };
      }
      li.append(step, " ", make("span", p.said));
      return li;
    }),
  );
}

const tell = (what: string, detail: unknown): void => void document.dispatchEvent(new CustomEvent("benchleaf-" + what, { detail }));

function show(card: HTMLElement, focus: boolean, since = Date.now(), job = body.dataset.job ?? ""): void {
  shown = since;
  for (const c of cards) c.classList.toggle("current", c === card);
  body.toggleAttribute("data-begun", card !== cards[0] || way.length > 0);
  body.toggleAttribute("data-way", way.length > 0);
  const strip = one(".way ol")!;
  passed(strip, true);
  strip.parentElement!.hidden = !way.length;
  const found = one(".ruled-out", card);
  if (found) {
    found.hidden = !way.length;
    passed(one("ol", found)!, false);
  }
  const now: Shown = { job, way, at: card.id, shown, depth };
  history.replaceState(now, "");
  tell("step", now);
  // What is told may show another card. Scrolling lays the page out: it comes when all is drawn.
  if (history.state.at !== now.at) return;
  if (way[0]) strip.scrollLeft = rtl ? -1e6 : 1e6; // its end; the page itself stays where it is
  if (!focus) return;
  card.scrollIntoView();
  one("h2", card)?.focus({ preventScroll: true });
}

function turn(): void {
  const entry = history.state as Shown | null;
  const card = entry ? document.getElementById(entry.at) : fragment() ? cardNamed() : cards[0];
  if (!card) return;
  if (entry) {
    ({ way, depth } = entry);
  } else {
    way = next ?? way;
    depth++;
  }
  next = null;
  show(card, true, undefined, entry?.job);
}

/** Goes to a card. Where the way does not lead on to it the browser's back is no longer the way's. */
function go(id: string, then: Passed[], behind = -1): void {
  const named = cardNamed();
  if (named?.id === id) {
    depth = 0;
    way = then;
    show(named, true);
  } else {
    depth = behind;
    next = then;
    location.hash = linkTo("#" + id);
  }
}

function press(what: string | undefined, button: HTMLElement): void {
  const last = way.slice(-1)[0];
  if (what === "back" && last) {
    if (depth > 0) history.back();
    else go(last.id, way.slice(0, -1));
  } else if (what === "all") {
    const whole = body.hasAttribute("data-guided");
    button.setAttribute("aria-pressed", String(whole));
    // Before all cards are laid out.
    painted(() => body.toggleAttribute("data-guided", !whole));
  } else if (what === "again" || what === "other") {
    // Where something was found, the job goes on behind it.
    go(cards[0]!.id, what === "again" && body.hasAttribute("data-found") ? way : []);
  }
}

/** An answer is followed: one that stays on the page once its key is seen to be pressed. */
function answer(a: HTMLElement, from: HTMLElement, e: Event): void {
  const at = Math.max(Date.now(), shown, way.slice(-1)[0]?.at ?? 0); // a clock may be set back
  const said = a.dataset.said || a.firstChild!.textContent!.trim();
  const to = hrefOf(a);
  const since = shown;
  const led = [...way, { id: from.id, said, outcome: a.dataset.outcome, to, shown, at }];
  if (to[0] !== "#") return tell("answer", led);
  e.preventDefault(); // also of a click that asks for another tab: it is this one's job that is answered
  painted(() => {
    if (shown !== since) return; // another answer came first, or another card
    tell("answer", led);
    go(to.slice(1), led, depth);
  });
}

/** The page has changed under the way. */
function renewed(): void {
  cards = all(".step, .end");
  for (const h of all("main h2")) h.tabIndex = -1;
  const before = way.length;
  way = way.filter((p) => document.getElementById(p.id));
  const card = one(".current");
  if (!card || way.length < before) show(card ?? cards[0]!, false, shown);
  else passed(one(".way ol")!, true); // steps may have other titles
}

export function startGuide(): void {
  cards = all(".step, .end");
  if (body.dataset.sheet !== "procedure" || !cards[0]) return;
  for (const h of all("main h2")) h.tabIndex = -1;
  body.addEventListener("click", (e) => {
    const target = e.target as HTMLElement;
    const button = target.closest<HTMLElement>("[data-do]");
    if (button) press(button.dataset.do, button);
    const link = target.closest<HTMLElement>(".answers a");
    const from = link?.closest<HTMLElement>(".step");
    if (link && from) answer(link, from, e);
  });
  addEventListener("hashchange", turn);
  // Who goes to the same address once more, by its code or a link, changes nothing
  // but that the entry of the history is a new one.
  addEventListener("popstate", () => {
    const card = cardNamed();
    if (!history.state && card?.matches(".current")) show(card, true, shown);
  });
  document.addEventListener("benchleaf-show", (e) => {
    const { detail } = e as CustomEvent<Shown & { focus: boolean }>;
    ({ way, depth } = detail);
    show(document.getElementById(detail.at) ?? cards[0]!, detail.focus, detail.shown);
  });
  if (desk) onRenewed(renewed);
  const opened = body.hasAttribute("data-guided"); // and the card is where the reader has it by now
  body.toggleAttribute("data-guided", true);
  one(".whole")!.hidden = false;

  const entry = history.state as Shown | null;
  if (entry) ({ depth } = entry);
  // A newer edition may lack a step of the way.
  way = entry?.way.filter((p) => document.getElementById(p.id)) ?? [];
  show(document.getElementById(entry?.at ?? "") ?? cardNamed() ?? cards[0], false, entry?.shown, entry?.job);
  // The address scrolled to where the card stood among all of them.
  if (!opened && cardNamed()) one(".current")!.scrollIntoView();
}
