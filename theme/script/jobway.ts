/** The way of each job through the page: kept, and taken up where it was left. */

import { newId } from "./begun";
import { all, fill, make, one } from "./dom";
import type { Passed, Shown } from "./guide";
import { id, record, settled, take } from "./hand";
import { done } from "./journal";
import { layOut } from "./layout";
import { current, isDone, list, makeCurrent, settle } from "./records";
import { fragment, hrefOf } from "./place";
import { recall, remember } from "./store";
import { moment } from "./time";

/** What is kept of a way when the page is closed. */
interface Kept extends Pick<Shown, "way" | "at" | "shown"> {
  when: number;
  typed: Record<string, string>;
  /** Of what was taken over from another step, where that is. */
  recalled?: Record<string, string>;
}

const body = document.body;
const key = (): string => `way ${id()} ${body.dataset.page}`;

/** The link by which a job leaves a page, and the job. */
const onward = "goes on";

/** A step that was opened by its address while the way is kept elsewhere: a look at it changes nothing, an answer goes on from it. */
export let visit = false;

/** Whether the page was opened anew while a job is under way that has not been here. */
export let joined = false;

const inputs = (): HTMLInputElement[] => all(".step .reading input");
const stepOf = (e: HTMLElement): string => e.closest(".step")!.id;

/** What was typed in readings, by the step. */
const typed = (): Record<string, string> => Object.fromEntries(inputs().map((e) => [stepOf(e), e.value]));

const recalled = (): Record<string, string> => Object.fromEntries(all("[data-recalled]").map((e) => [stepOf(e), e.dataset.recalled!]));

export function type(values: Record<string, string>, from: Record<string, string> = {}): void {
  for (const input of inputs()) {
    const { dataset } = input.closest<HTMLElement>(".reading")!;
    delete dataset.recalled;
    if (from[stepOf(input)]) dataset.recalled = from[stepOf(input)];
    input.value = values[stepOf(input)] ?? "";
    input.dispatchEvent(new Event("input"));
  }
}

export function keep({ way, at, shown }: Pick<Shown, "way" | "at" | "shown">): void {
  if (visit || !id()) return;
  remember(key(), { way, at, shown, when: Date.now(), typed: typed(), recalled: recalled() } satisfies Kept);
}

/** The next answer begins a job, at a machine whose model nobody has said. */
export function leave(): void {
  makeCurrent("");
  take("");
  const select = one<HTMLSelectElement>("select[name=model]");
  const model = recall<string>("model") ?? "";
  if (!select || select.value === model) return;
  select.value = model;
  select.dispatchEvent(new Event("change"));
}

/** A new job is at hand. */
export function begin(): void {
  const job = newId();
  makeCurrent(job);
  take(job, true);
  history.replaceState({ ...(history.state as Shown), job }, "");
}

/** What is done from here on belongs to the way. */
function goOn(): void {
  visit = joined = false;
  one(".resumed")!.hidden = true;
}

/** An answer was given; the first one begins a job. */
export function answer(way: Passed[]): void {
  goOn();
  if (!id()) begin();
  const last = way.slice(-1)[0]!;
  // Until the next card is shown the way stands at the step: the page may be left by the answer.
  keep({ way, at: last.id, shown: last.shown });
}

/** Asks the guide for a card. */
function show(card: Omit<Shown, "job">, focus: boolean): void {
  document.dispatchEvent(new CustomEvent("benchleaf-show", { detail: { ...card, focus } }));
}

/** Says that a job goes on here, with the key for another machine at hand. */
export function tellResumed(text: string): void {
  const other = make("button", word.bar.other);
  other.dataset.do = "other";
  const note = one(".resumed")!;
  note.replaceChildren(text + " ", other);
  note.hidden = false;
}

/** The kept way, unless a newer edition lacks a card of it. */
function keptWay(): Kept | null {
  const kept = recall<Kept>(key());
  return kept && [kept.at, ...kept.way.map((p) => p.id)].every((e) => document.getElementById(e)) ? kept : null;
}

/**
 * A browser that is killed loses what it kept last, but no record: the way is
 * made good from the record where that has answers since then.
 */
function makeGood(since: number, move: boolean, other?: string): void {
  const page = body.dataset.page!;
  const last = record?.entries.filter((e) => e.page === page).pop();
  if (!last || since >= Date.parse(last.at)) return;
  layOut(record!, page);
  const kept = keptWay();
  if (!kept || !move) return;
  type(other ? { ...typed(), ...kept.typed } : kept.typed, kept.recalled);
  tellResumed(other ?? fill(word.bar.resumed, { time: moment(kept.when) }));
  show({ ...kept, depth: -1 }, false);
  if (other) one(".resumed")!.scrollIntoView();
}

/** Another tab has gone on with the job: the way is taken up from there, and what was answered here since is told. */
export function takeOther(): void {
  const { way } = history.state as Shown;
  const lost = way.filter((p) => !record!.entries.some((e) => Date.parse(e.at) === p.at)).map((p) => p.said);
  makeGood(0, true, word.job.otherTab + (lost[0] ? " " + fill(word.job.notTaken, { said: lost.join(word.list.semicolon) }) : ""));
}

/** Where a killed browser has lost which job is at hand, it is the last one, unless that has come to its end. */
async function findJob(): Promise<void> {
  if (recall("job") !== null) return;
  await settle();
  const job = (await list()).sort((a, b) => (a.changed < b.changed ? -1 : 1)).pop();
  const last = job?.entries.slice(-1)[0];
  if (!last || job!.closed || done(job!) || recall("job") !== null) return;
  makeCurrent(job!.id);
  takeUp(false);
}

/** From the first step again. */
export function again(): void {
  goOn();
  type({});
}

/**
 * Takes the way of the job at hand up where it was left, or begins it. The page
 * stands where its address or the browser's history put it.
 */
export function takeUp(focus: boolean): void {
  const now = history.state as Shown;
  const [address, job] = recall<[string, string]>(onward, "sessionStorage") ?? [];
  remember(onward, null, "sessionStorage");
  const came = address === location.href;
  if (came) makeCurrent(job!);
  const mine = now.job === current() && now.job !== "";
  // Where the browser comes back to another job's card, its address says nothing.
  const named = (mine || !now.job) && fragment() ? now.at : "";
  take(current());
  const since = recall<Kept>(key())?.when ?? 0;
  void settled().then(() => {
    makeGood(since, !named);
    body.dataset.read = ""; // all is drawn: job.css shows what waited
  });
  let kept = keptWay();
  // Where nothing is left to do at a machine, whoever opens a page anew has another one.
  if (isDone(current()) && !mine && !came && !(named && named === kept?.at)) {
    leave();
    kept = null;
  }
  if (id()) type(kept?.typed ?? {}, kept?.recalled);
  if (mine) return show({ ...now }, focus);
  const begun = !!kept && (kept.way.length > 0 || (kept.at !== now.at && document.getElementById(kept.at)!.matches(".step")));
  const resumes = begun && (named ? named === kept!.at : !came);
  const way = kept?.way ?? [];
  visit = !!named && way.length > 0 && !resumes && !came;
  joined = !resumes && !came;
  if (resumes && !named) tellResumed(fill(word.bar.resumed, { time: moment(kept!.when) }));
  const depth = now.job ? -1 : now.depth;
  if (resumes) show({ way, at: kept!.at, shown: kept!.shown, depth }, focus);
  else show({ way, at: named || (now.job ? "" : now.at), shown: now.shown, depth }, focus);
}

export function startWays(): void {
  body.addEventListener("click", (e) => {
    const link = (e.target as HTMLElement).closest<HTMLAnchorElement>(".step a[href], .end a[href]");
    if (link && hrefOf(link)[0] !== "#") remember(onward, [link.href, id()], "sessionStorage");
  });
  // While the browser held a page, the job may have become another one, or been changed.
  addEventListener("pageshow", (e) => {
    if (!e.persisted) return;
    // WebKit empties the readings a task later.
    if (current() === id()) setTimeout(takeUp, 0, false);
    else location.reload();
  });
  void findJob();
}
