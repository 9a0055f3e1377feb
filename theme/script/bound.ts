/**
 * The first script of a handbook that is one file. Without it the file shows all
 * pages, one below the other; with it one page as an edition has it, with its
 * own scripts. A link to another page loads the file anew, so that a page's
 * scripts never meet those of another.
 */

import { load } from "./beside";
import { all, make, one } from "./dom";
import { here, linkTo, parts } from "./place";
import { recall, remember } from "./store";

declare global {
  interface Window {
    /** The file calls this behind each page: it is there as a whole. */
    benchleafWhole?(): void;
  }
}

const root = document.documentElement;
const [path, asked] = parts(location.hash);

/** Attributes that name elements by their ids. */
const naming = ["for", "aria-labelledby", "aria-describedby", "aria-controls", "headers", "list"];

/** Where each address was scrolled to, as long as the tab is open. */
const scrolled = (hash: string): string => `scrolled ${hash}`;
/** The address of the link that was followed last. */
let followed = "";
/** Another page was asked for. */
let left = false;

function targetOf(id: string): HTMLElement | null {
  try {
    return document.getElementById(decodeURIComponent(id));
  } catch {
    return null; // an address that somebody mistyped
  }
}

/** Shows what the address names: where the browser goes back to it, as it was left. A guide does so itself. */
function arrive(anew: boolean): void {
  if ("guided" in document.body.dataset) return;
  const y = anew ? null : recall<number>(scrolled(location.hash), "sessionStorage");
  const target = targetOf(parts(location.hash)[2]);
  if (y !== null) scrollBack(y, 10);
  else if (target) {
    target.scrollIntoView();
    target.focus({ preventScroll: true });
  } else if (anew) scrollTo(0, 0);
}

let waiting = 0;

/** What a page draws a moment later makes room for the place that it was left at. */
function scrollBack(y: number, tries: number): void {
  scrollTo(0, y);
  if (tries && Math.abs(scrollY - y) > 1) waiting = setTimeout(() => scrollBack(y, tries - 1), 50);
}

/** Puts an element of another name in the place of one. */
function become(e: Element, name: string): HTMLElement {
  const to = make(name);
  for (const { name, value } of e.attributes) to.setAttribute(name, value);
  to.append(...e.childNodes);
  e.replaceWith(to);
  return to;
}

/** Gives a page the data, the ids and the links that it has as a file of its own. */
function restore(page: HTMLElement): void {
  for (const e of all("[data-of]", page)) e.textContent = one(`[data-no="${e.dataset.of}"]`)!.textContent;
  const bare = (id: string): string => decodeURIComponent(id.slice(page.id.length + 1));
  for (const e of all("[id]", page)) e.id = bare(e.id);
  for (const name of naming)
    for (const e of all(`[${name}]`, page)) e.setAttribute(name, e.getAttribute(name)!.split(" ").map(bare).join(" "));
  for (const a of all("a[href^='#']", page)) {
    const [to, , id] = parts(a.getAttribute("href")!);
    const asks = a.dataset.query ?? (to === page.id && id ? asked : "");
    if (asks) a.setAttribute("href", "#" + to + asks + (id && ":" + id));
  }
}

/** Makes the page the one that shows. */
function start(page: HTMLElement): void {
  if (page.id !== path) history.replaceState(null, "", "#" + page.id);
  const first = page === one(".page");
  document.body.append(...all(".book > [data-file]"));
  // What is still to be read of the file goes with it.
  for (const e of [page, one(".book")!]) e.remove();
  restore(page);
  const { scripts, title, ...rest } = page.dataset;
  Object.assign(document.body.dataset, rest);
  document.title = title!;
  become(one(".top", page)!, "nav").setAttribute("aria-label", word.page.handbook);
  const sheet = become(one(".leaf", page)!, "main");
  sheet.after(one<HTMLTemplateElement>("template")!.content);
  document.body.append(...page.childNodes);
  document.body.id = page.id;
  const skip = one(".skip")!;
  skip.setAttribute("href", "#" + sheet.id);
  skip.addEventListener("click", (e) => {
    e.preventDefault(); // the address stays that of the page
    sheet.focus();
  });
  // The whole handbook stands in the file, and is put on paper as it is without script.
  if (first) {
    const all = make("a", word.bound.print);
    all.setAttribute("href", linkTo("?print"));
    const p = make("p");
    p.className = "begin";
    p.append(all);
    sheet.append(p);
  }
  for (const src of scripts!.split(" ")) load(here + src);
  arrive(recall("followed", "sessionStorage") === location.hash);
  remember("followed", null, "sessionStorage");
  document.body.addEventListener("submit", (e) => {
    const form = e.target as HTMLFormElement;
    const search = form.getAttribute("action");
    if (!search) return;
    e.preventDefault();
    location.hash = followed = `${search}?q=${encodeURIComponent(one<HTMLInputElement>("[name=q]", form)!.value)}`;
  });
}

history.scrollRestoration = "manual";
addEventListener("click", (e) => {
  followed = (e.target as Element).closest("a[href^='#']")?.getAttribute("href") ?? "";
});
addEventListener("pointerdown", () => clearTimeout(waiting));
addEventListener("hashchange", (e) => {
  const [to, asks] = parts(location.hash);
  const anew = followed === location.hash;
  left = to !== path || asks !== asked;
  remember(scrolled(new URL(e.oldURL).hash), scrollY, "sessionStorage");
  if (!left) return arrive(anew);
  e.stopImmediatePropagation();
  if (anew) remember("followed", followed, "sessionStorage");
  location.reload();
});
addEventListener("pagehide", () => {
  if (!left) remember(scrolled(location.hash), scrollY, "sessionStorage");
});
if (asked === "?print")
  addEventListener("load", () => {
    addEventListener("afterprint", () => location.replace("#" + path));
    print();
  });
else {
  // The page shows before the file is read to its end.
  root.classList.add("bound");
  document.styleSheets[0]!.insertRule(`#${CSS.escape(path)}{display:block!important}`);
  window.benchleafWhole = () => {
    const page = document.currentScript!.previousElementSibling as HTMLElement;
    if (page.id === path) start(page);
  };
  document.addEventListener("DOMContentLoaded", () => {
    const first = one(".page"); // there where the address names none of them
    if (first) start(first);
  });
}
