/**
 * The strip above a page at the desk: whether anything is wrong, the list of it, and
 * how the page stands. It takes no focus and moves nothing by itself.
 */

import { button, fill, make, put } from "../script/dom";
import { here } from "../script/place";
import { noteOf } from "./notes";
import { offerPhone } from "./phone";
import type { Remark, Told } from "./told";

const strip = make("aside");
strip.className = "desk";
strip.setAttribute("aria-label", word.desk.title);
const list = make("details") as HTMLDetailsElement;
const summary = make("summary");
summary.setAttribute("role", "status");
const panel = make("div");
panel.className = "desk-list";
list.append(summary, panel);
const phone = make("span");
phone.className = "desk-phone";
const said = make("p");
said.className = "desk-said";
said.setAttribute("role", "status");
const lost = make("p", word.desk.lost);
lost.className = "desk-said desk-lost";
lost.setAttribute("role", "status");
lost.hidden = true;
strip.append(list, phone, said, lost);

export function startStrip(): void {
  document.body.prepend(strip);
  // The list goes away as it came, and with the key for that.
  document.addEventListener("keydown", (e) => {
    if (e.key === "Escape") list.open = false;
  });
  document.addEventListener("click", (e) => {
    if (list.open && !list.contains(e.target as Node)) list.open = false;
  });
}

/** Says that the desk does not answer, or that it does again. */
export const showLost = (is: boolean): void => void (lost.hidden = !is);

/** "2 errors", "3 remarks", or "2 errors + 1 remark". */
function counted(n: number, errors: number): string {
  const of = (count: number, one: string, many: string): string => (count === 1 ? one : count ? fill(many, { count: String(count) }) : "");
  return [of(errors, word.desk.oneError, word.desk.errors), of(n - errors, word.desk.one, word.desk.many)].filter(Boolean).join(" + ");
}

/** Goes to the note of a remark, on the card that holds it. */
function goTo(note: HTMLElement): void {
  list.open = false;
  const card = note.closest<HTMLElement>(".step, .end");
  if (card && !card.matches(".current")) location.hash = "#" + card.id;
  setTimeout(() => note.scrollIntoView({ block: "center", behavior: "instant" }), 50);
}

function entry(r: Remark, press?: () => void): HTMLElement {
  const note = noteOf(r);
  const at = note.querySelector("code")!;
  if (press) {
    const to = button("", press);
    at.replaceWith(to);
    to.append(at);
  } else if (r.page) {
    const to = make("a") as HTMLAnchorElement;
    to.href = here + r.page;
    at.replaceWith(to);
    to.append(at);
  }
  return note;
}

let listed = "";

/** Shows what is wrong, and how the page stands. */
export function showStrip(told: Told, notes: Map<Remark, HTMLElement>): void {
  const [own, elsewhere] = [told.here.length, told.elsewhere];
  const rank = ["error", "warning", "advice"] as const;
  strip.dataset.severity = rank.find((s) => [...told.here, ...told.others].some((r) => r.severity === s)) ?? "";
  const count = counted(own + elsewhere, told.errors);
  let text: string = own + elsewhere ? count : word.desk.clean;
  if (own && elsewhere) text += ": " + fill(word.desk.here, { count: String(own) }) + ", " + fill(word.desk.elsewhere, { count: String(elsewhere) });
  else if (elsewhere) text = fill(word.desk.elsewhere, { count });
  put(summary, text);
  const now = JSON.stringify([told.here, told.others, elsewhere]);
  if (now !== listed) {
    listed = now;
    panel.replaceChildren();
    if (own) panel.append(make("h2", word.desk.thisPage), ...told.here.map((r) => entry(r, () => goTo(latest.get(r.place + r.message)!))));
    if (elsewhere) panel.append(make("h2", word.desk.others), ...told.others.map((r) => entry(r)));
    const more = elsewhere - told.others.length;
    if (more > 0) panel.append(make("p", fill(word.desk.more, { count: String(more) })));
    if (!own && !elsewhere) panel.append(make("p", word.desk.clean));
  }
  latest = new Map([...notes].map(([r, note]) => [r.place + r.message, note]));
  say(told);
  offerPhone(phone, told.phone);
}

/** The notes in the page, by place and message. */
let latest = new Map<string, HTMLElement>();

function say(told: Told): void {
  const link = (page: string, title: string): HTMLElement => {
    const a = make("a", title) as HTMLAnchorElement;
    a.href = here + page;
    return a;
  };
  if (told.html === undefined) {
    const to = JSON.stringify(told.to ?? null);
    if (said.dataset.gone === to) return;
    said.dataset.gone = to;
    said.replaceChildren(word.desk.gone + " ");
    if (told.to) said.append(word.desk.moved + " ", link(told.to.page, told.to.title));
    else said.append(link("", word.desk.home));
    return;
  }
  delete said.dataset.gone;
  const texts = [];
  if (told.stale) texts.push(word.desk.stale);
  else if (told.here.some((r) => r.severity === "error")) texts.push(word.desk.partly);
  if (!told.phone && !isSecureContext) texts.push(word.desk.plain);
  put(said, texts.join(" "));
}
