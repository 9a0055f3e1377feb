/** The script of the search page: the index comes with the scripts that follow, the texts of what is shown when it is. */

import "./lend-first";
import { load } from "./beside";
import { data } from "./data";
import { all, fill, make, one, put } from "./dom";
import { ofModel, onModel, startModel } from "./model";
import { fragment, linkTo, query } from "./place";
import { Index, type Hit, type Hits, type Segment } from "./search-index";
import { numberTerm, type Language, type Token } from "./search-text";
import "./shell";

declare global {
  interface Window {
    benchleafSegment(i: number, s: Segment): void;
    benchleafTexts(path: string, texts: string[]): void;
  }
}

/** What the page says of the search, beside the index. */
interface Setup extends Language {
  /** Ids of the models, in their order. */
  models: string[];
  synonyms: string[][];
  /** The way to the edition's folder. */
  root: string;
}

const kinds: Record<string, string> = {
  s: word.search.step,
  e: word.search.finding,
  c: word.search.calculator,
  v: word.search.value,
  f: word.search.state,
};
const sheets: Record<string, string> = {
  finder: word.sheet.finder,
  procedure: word.sheet.procedure,
  theory: word.sheet.theory,
  reference: word.sheet.reference,
  bulletin: word.sheet.bulletin,
};

const setup = (data as unknown as { search: Setup }).search;
const index = new Index(setup, setup.synonyms);
const form = one<HTMLFormElement>("form.search")!;
const field = one<HTMLInputElement>("input", form)!;
const status = one("[role=status]")!;
const list = one(".found")!;
const more = one(".more")!;
const pages = one(".all-pages")!;
const select = one<HTMLSelectElement>("select[name=model]");
/** Leads to the search of the language that this one is translated from. */
const source = one<HTMLAnchorElement>(".source a");

/** How many places are shown at first, and how many more each time. */
const portion = 8;

/** The whole index is there. */
let ready = false;
let shown = portion;
let hits: Hits | undefined;
let terms = new Set<string>();

const segments: Segment[] = [];
window.benchleafSegment = (i, s) => {
  segments[i] = s;
};

const texts = new Map<string, string[]>();
window.benchleafTexts = (path, list) => {
  texts.set(path, list);
  for (const p of all(`[data-text]`)) if (p.dataset.text === path) excerpt(p);
};

/** The address of a file of the edition. */
const addressOf = (path: string): string => setup.root + path.split("/").map(encodeURIComponent).join("/");

/** The words of a text that were found. */
const wordsFound = (text: string): Token[] => index.tokens(text).filter((t) => terms.has(t.term) || terms.has(t.other!) || t.figures?.some((v) => terms.has(numberTerm(v) + "~")));

/** Puts a text with the found words marked. */
function mark(into: Element, text: string, found: Token[], from = 0, to = text.length): void {
  let at = from;
  for (const t of found) {
    if (t.start < at || t.end > to) continue;
    into.append(text.slice(at, t.start), make("mark", text.slice(t.start, t.end)));
    at = t.end;
  }
  into.append(text.slice(at, to));
}

/** The part of a text with the most different words that were found. */
const excerptLength = 150;

function excerpt(p: HTMLElement): void {
  const text = (texts.get(p.dataset.text!)?.[Number(p.dataset.at)] ?? "").replace(/\n/g, " · ");
  const found = wordsFound(text);
  let best = 0;
  let start = 0;
  let end = 0;
  found.forEach((first, i) => {
    const seen = new Set<string>();
    let last = first;
    for (let k = i; k < found.length && found[k]!.end <= first.start + excerptLength - 40; k++) seen.add((last = found[k]!).term);
    if (seen.size > best) [best, start, end] = [seen.size, first.start, last.end];
  });
  // From the beginning if that can be, else some words before the first one found; whole words at both ends.
  let from = end > excerptLength ? text.indexOf(" ", start - 40) + 1 : 0;
  if (from > start) from = start;
  let to = from + excerptLength < text.length ? text.lastIndexOf(" ", from + excerptLength) : text.length;
  if (to <= start) to = text.length;
  p.textContent = from > 0 ? "… " : "";
  mark(p, text, found, from, to);
  if (to < text.length) p.append(" …");
}

function result({ place, not }: Hit): HTMLElement {
  const { page } = place;
  const li = make("li");
  const a = make("a") as HTMLAnchorElement;
  a.href = linkTo(addressOf(page.path) + (place.id && "#" + encodeURIComponent(place.id)));
  const title = make("b");
  mark(title, place.title, wordsFound(place.title));
  const kind = fill(kinds[place.kind] ?? sheets[page.sheet] ?? word.search.page, { mark: place.mark });
  const where = [kind, place.at && place.title !== page.title ? page.title : "", place.at && kinds[place.kind] ? sheets[page.sheet] : ""];
  const names = page.models.map((m) => select?.querySelector<HTMLOptionElement>(`[value="${setup.models[Number(m)]}"]`)?.text ?? "");
  const text = make("span");
  text.className = "excerpt";
  text.dataset.text = page.path;
  text.dataset.at = String(place.at);
  a.append(make("small", where.filter(Boolean).join(" · ")), title);
  if (not) a.append(make("strong", ofModel(word.model.notApplicable)));
  if (names.length) a.append(make("small", names.join(word.list.comma)));
  if (page.gone) a.append(make("strong", page.gone));
  a.append(text);
  li.append(a);
  if (texts.has(page.path)) excerpt(text);
  else {
    texts.set(page.path, []);
    // The places come first. A script can be fetched from a folder of files, too.
    setTimeout(() => load(`${addressOf("assets/search/" + page.path)}.js`));
  }
  return li;
}

/** Shows the places for what stands in the field. */
function search(): void {
  const query = field.value.trim() && field.value.trimStart();
  list.replaceChildren();
  pages.hidden = !!query;
  more.hidden = true;
  if (!query || !ready) return put(status, query && word.search.reading);
  if (source) source.href = source.href.replace(/[^=]*$/, encodeURIComponent(query));
  const model = select?.value ? String(setup.models.indexOf(select.value)) : "";
  const found = index.find(query, model);
  hits = found.hits;
  terms = found.terms;
  show();
  const { count } = found.hits;
  pages.hidden = !!count; // else they are the way on
  const said = count === 1 ? word.search.one : count ? word.search.count : word.search.none;
  const unknown = found.unknown.length && count ? " " + fill(word.search.unknown, { words: found.unknown.join(word.list.comma) }) : "";
  put(status, fill(said, { count, query: query.trim() }) + unknown);
}

/** Shows as many places as are wanted, those that stand there already left alone. */
function show(): void {
  list.append(...hits!.first(shown).slice(list.children.length).map(result));
  more.hidden = hits!.count <= shown;
}

/** What is searched for stands in the address, so that the way back from a place leads to it. There WebKit puts back what the field has held first. */
function fromAddress(): boolean {
  const q = new URLSearchParams(fragment()).get("q") ?? new URLSearchParams(query()).get("q");
  if (q !== null) field.value = q;
  return q !== null;
}

const toAddress = (): void => history.replaceState(history.state, "", linkTo("#q=" + encodeURIComponent((field.defaultValue = field.value))));

/** Browsers take only so many addresses in a while. */
let later = 0;

field.oninput = () => {
  shown = portion;
  clearTimeout(later);
  later = setTimeout(toAddress, 250);
  search();
};
list.onclick = toAddress;
// The places stand there already: what a phone's keyboard covers comes to light.
form.onsubmit = () => {
  field.blur();
  return false;
};
one("button", more)!.onclick = () => {
  const next = list.children.length;
  shown += portion;
  show();
  all("a", list)[next]?.focus(); // a link each
};
onhashchange = () => {
  if (fromAddress()) search();
};
startModel();
onModel(search);

const pause = (): Promise<void> => new Promise((done) => setTimeout(done));

/** Takes the index in, a part at a time, so that somebody can type meanwhile. */
async function start(): Promise<void> {
  form.hidden = false;
  if (!fromAddress() && !fragment()) field.focus();
  search();
  for (const s of segments) {
    if (s) index.add(s);
    if (index.places.length > 1000) await pause();
  }
  index.finish();
  ready = true;
  search();
  delete document.documentElement.dataset.asked; // see asked.ts
  // The first letters find code that the browser has made fast already.
  for (const query of ["10 V", "e", "ee ii", "aaaaaaaa ", "eeeeeeeee "]) {
    await pause();
    index.find(query, "");
  }
}

// The segments' scripts stand behind this one, and have all run by then.
if (bound) queueMicrotask(() => void start());
else document.addEventListener("DOMContentLoaded", () => void start());
