/** The script of the search page: the index comes with the scripts that follow, the texts of what is shown when it is. */

import "./lend-first";
import { load } from "./beside";
import { data } from "./data";
import { afterPaint, all, fill, make, one, put } from "./dom";
import { ofModel, onModel, startModel } from "./model";
import { fragment, linkTo, query } from "./place";
import { Index, type Found, type Hit, type Segment } from "./search-index";
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
/** Has the models in the order of the handbook, behind what stands for all of them. */
const select = one<HTMLSelectElement>("select[name=model]");
/** Leads to the search of the language that this one is translated from. */
const source = one<HTMLAnchorElement>(".source a");

/** How many places are shown at first, and how many more each time. */
const portion = 8;

/** The whole index is there. */
let ready = false;
let shown = portion;
/** What stands in the field finds this. */
let found: Found | undefined;
/** How many of the places shown are of those. */
let fresh = 0;

const segments: Segment[] = [];
window.benchleafSegment = (i, s) => {
  segments[i] = s;
};

/** Those of the script that has run last. */
let came: string[] = [];
window.benchleafTexts = (_, list) => (came = list);

/** The address of a file of the edition. */
const addressOf = (path: string): string => setup.root + path.split("/").map(encodeURIComponent).join("/");

const asked: Record<string, Promise<string[]>> = {};

/** The texts of a page's places, none if they are not to be had. Their script can be fetched from a folder of files, too. */
const textsOf = (path: string): Promise<string[]> =>
  (asked[path] ??= new Promise((done) => load(`${addressOf("assets/search/" + path)}.js`, () => done(came.splice(0)))));

/** The words of a text that were found. */
const wordsFound = (text: string): Token[] => {
  const has = (term: string): boolean | undefined => found?.terms.has(term);
  return index.tokens(text).filter((t) => has(t.term) || has(t.other!) || t.figures?.some((v) => has(numberTerm(v) + "~")));
};

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

function excerpt(p: Element, lines = ""): void {
  const text = lines.replace(/\n/g, " · ");
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
  const from = end > excerptLength ? Math.min(start, text.indexOf(" ", start - 40) + 1) : 0;
  let to = from + excerptLength < text.length ? text.lastIndexOf(" ", from + excerptLength) : text.length;
  if (to <= start) to = text.length;
  p.textContent = from > 0 ? "… " : "";
  mark(p, text, found, from, to);
  if (to < text.length) p.append(" …");
}

function result({ place, not }: Hit): HTMLElement {
  const { page } = place;
  const a = make("a") as HTMLAnchorElement;
  a.href = linkTo(addressOf(page.path) + (place.id && "#" + encodeURIComponent(place.id)));
  const title = make("b");
  mark(title, place.title, wordsFound(place.title));
  const kind = fill(kinds[place.kind] ?? sheets[page.sheet] ?? word.search.page, { mark: place.mark });
  const where = [kind, place.at && place.title !== page.title && page.title, place.at && kinds[place.kind] && sheets[page.sheet]];
  const names = page.models.map((m) => select!.options[+m + 1]!.text);
  const text = make("span");
  text.className = "excerpt";
  a.append(make("small", where.filter(Boolean).join(" · ")), title);
  if (not) a.append(make("strong", ofModel(word.model.notApplicable)));
  if (names[0]) a.append(make("small", names.join(word.list.comma)));
  if (page.gone) a.append(make("strong", page.gone));
  a.append(text);
  // The places come first, and those that are gone again need none.
  afterPaint(() => text.isConnected && textsOf(page.path).then((texts) => excerpt(text, texts[place.at])));
  const li = make("li");
  li.append(a);
  return li;
}

/** Finds what stands in the field. The page is left as it is until all that is found stands there, so that it does not flicker. */
function search(): void {
  const query = field.value.trimStart();
  found = query && ready ? index.find(query, select?.value ? String(select.selectedIndex - 1) : "") : undefined;
  fresh = 0;
}

/** Shows the places up to the one of a number, where those of before stand. */
const add = (n: number): void =>
  found?.first(n).slice(fresh).forEach((hit) => {
    list.children[fresh]?.remove();
    list.insertBefore(result(hit), list.children[fresh++]!);
  });

/** Shows as many places as are wanted, and says how many there are. */
function show(): void {
  add(shown);
  while (list.children[fresh]) list.lastChild!.remove();
  const query = field.value.trim();
  pages.hidden = !!query && found?.count !== 0; // else they are the way on
  more.hidden = !found || found.count <= shown;
  if (!found) return put(status, query && word.search.reading);
  const { count, unknown } = found;
  if (source) source.href = source.href.replace(/[^=]*$/, encodeURIComponent(query));
  const said = count === 1 ? word.search.one : count ? word.search.count : word.search.none;
  const nothing = unknown[0] && count ? " " + fill(word.search.unknown, { words: unknown.join(word.list.comma) }) : "";
  put(status, fill(said, { count, query }) + nothing);
}

function searchAll(): void {
  search();
  show();
}

/** What is searched for stands in the address, so that the way back from a place leads to it. There WebKit puts back what the field has held first. */
function fromAddress(): boolean {
  const q = new URLSearchParams(fragment() + query().replace("?", "&")).get("q");
  field.value = q ?? field.value;
  return q !== null;
}

const toAddress = (): void => history.replaceState(history.state, "", linkTo("#q=" + encodeURIComponent((field.defaultValue = field.value))));

field.oninput = () => {
  shown = portion;
  // What a phone shows above its keyboard; the rest when that is painted.
  search();
  add(3);
  afterPaint(() => {
    show();
    toAddress(); // browsers take only so many in a while: nobody types more
  });
};
// The places stand there already: what a phone's keyboard covers comes to light.
form.onsubmit = () => {
  field.blur();
  return false;
};
one("button", more)!.onclick = () => {
  const next = fresh;
  shown += portion;
  show();
  all("a", list)[next]?.focus(); // a link each
};
onhashchange = () => {
  if (fromAddress()) searchAll();
};
startModel();
onModel(searchAll);

const pause = (): Promise<void> => new Promise((done) => setTimeout(done));

/** Takes the index in, a part at a time, so that somebody can type meanwhile. */
async function start(): Promise<void> {
  form.hidden = false;
  if (!fromAddress() && !fragment()) field.focus();
  searchAll();
  for (const s of segments) {
    if (s) index.add(s);
    // What is put back where it was on the screen has to be there at once, if that can be.
    if (index.places[1000] || !field.value) await pause();
  }
  index.finish();
  ready = true;
  searchAll();
  delete document.documentElement.dataset.asked; // see asked.ts
  // The first letter finds code that has run already: for a number, a beginning and slips.
  await pause();
  index.find("10 V eeeeeeee ee", "").first(1).map(result);
}

// The segments' scripts stand behind this one, and have all run by then.
if (bound) queueMicrotask(() => void start());
else document.addEventListener("DOMContentLoaded", () => void start());
