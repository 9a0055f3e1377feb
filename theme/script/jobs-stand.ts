/** Where a job stands, in one line, and the card to go on with. */

import { data } from "./data";
import { fill, make } from "./dom";
import { failed, proved } from "./journal";
import { here, linkTo, pageAddress } from "./place";
import type { Finding, Job } from "./record";
import { makeCurrent } from "./records";
import { asRead } from "./asread";
import { recall } from "./store";
import { dated } from "./time";

export interface Stand {
  text: string;
  /** The address of the card; "" where this edition has none. */
  href: string;
  /** An end was reached: the record is evidence from now on. */
  ended: boolean;
}

/** The address of a page and the steps that it has. */
const known = (page: string): string[] | undefined => data.pages?.[page];

/** The procedure's title, its bare name where this edition has it no more. */
export const pageTitle = (page: string): string => known(page)?.[1] ?? page;

/** The finding that a job stands at: the last one, unless an answer has led on since. */
function last(job: Job): Finding | undefined {
  const finding = job.findings.slice(-1)[0];
  return finding && job.entries.some((e) => !e.verification && e.at > finding.at) ? undefined : finding;
}

/** An end without a cause; what did not show stays open until somebody closes the job. */
export function withoutCause(job: Job, f: Finding): string {
  if (f.end === "hand-over") return word.jobs.handedOver;
  return job.closed ? word.end.notReproduced : word.jobs.notReproduced;
}

function found(job: Job, f: Finding): string {
  if (f.end !== "cause") return withoutCause(job, f);
  const check = failed(job, f);
  if (check) return `${fill(word.job.failed, { number: check.number })}: ${f.title || f.cause!}`;
  const text = proved(job, f) ? word.jobs.foundProved : f.remedy ? word.jobs.foundMended : word.jobs.foundOnly;
  return fill(text, { cause: f.title || f.cause! });
}

/** The card at which a job's way on a page was left, else the one that is given. */
const card = (job: Job, page: string, id: string): string => recall<{ at?: string }>(`way ${job.id} ${page}`)?.at ?? id;

const address = (page: string, id: string): string => (known(page) ? `${known(page)![0]}#${id}` : "");

/** The page and the card that an answer leads to. Another page is named by its address from the handbook's root. */
function target(page: string, to: string): [page: string, id: string] {
  const [file, id] = to.split("#") as [string, string?];
  const other = file && Object.keys(data.pages ?? {}).find((key) => new URL(known(key)![0]!, pageAddress()).href === new URL(file, here).href);
  return [other || page, id ?? ""];
}

export function stand(job: Job): Stand {
  const finding = last(job);
  if (finding) {
    const end = finding.cause ? `cause-${finding.cause}` : `end-${finding.end}`;
    return { text: found(job, finding), href: address(finding.page, card(job, finding.page, end)), ended: true };
  }
  const entry = job.entries.slice(-1)[0];
  const open = job.open?.slice(-1)[0];
  if (!entry && !open) return { text: word.jobs.noAnswer, href: "index.html", ended: false };
  const [page, id] = entry ? target(entry.page, entry.to) : [open!.page, open!.step];
  const at = card(job, page, id);
  const number = (known(page)?.indexOf(at, 2) ?? 0) - 1;
  const where = number > 0 ? fill(word.jobs.atStep, { number, page: pageTitle(page) }) : pageTitle(page);
  const text = entry ? where : `${where}; ${open!.reading.measure}: ${asRead(open!.reading)} (${word.job.unanswered})`;
  return { text, href: address(page, at), ended: false };
}

/** A record that came in the short form has lost its words, the title of the handbook among them. */
export const isShort = (job: Job): boolean => !job.handbook.title;

/** How far a record goes, by itself alone: two states of a job are told apart by it. */
export function reach(job: Job): string {
  const finding = last(job);
  const entry = job.entries.slice(-1)[0];
  const end = finding ? found(job, finding) : entry ? `${entry.number} ${entry.title}` : "";
  return [fill(word.jobs.answers, { count: job.entries.length }), end, fill(word.jobs.changedAt, { time: dated(job.changed) }), isShort(job) && word.jobs.shortened].filter(Boolean).join(word.list.semicolon);
}

/** The link that goes on with a job; it is the one at hand from then on. Null: this edition has nowhere to go. */
export function goOn(job: Job): HTMLElement | null {
  const { text, href } = stand(job);
  if (!href) return null;
  const link = make("a", job.entries.length || job.open ? word.jobs.goOn : word.jobs.choose);
  link.className = "big";
  link.setAttribute("href", linkTo(href));
  link.setAttribute("aria-label", `${link.textContent}: ${text}`);
  link.onclick = () => makeCurrent(job.id);
  return link;
}
