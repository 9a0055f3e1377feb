/** The job at hand: its record as this page knows it. */

import { begun } from "./begun";
import { one } from "./dom";
import type { Job, Time } from "./record";
import { pend, read, settle, update } from "./records";

const body = document.body;
const watchers: (() => void)[] = [];

/** The record; none before the first answer, and until it is read. */
export let record: Job | undefined;

/** When the answers were given that this page knows of. */
const known = new Set<Time>();

function learn<J extends Job | undefined>(job: J): J {
  for (const e of job?.entries ?? []) known.add(e.at);
  return job;
}

/** Calls a function once the record was found changed by another tab, and is taken up as that has it. */
export const onOther = (f: () => void): void => void (tellOther = f);
let tellOther = (): void => {};

let loaded = false;
/** What is still to be written, in order. */
let queue: Promise<unknown> = settle();
let pending = 0;

/** Until the record is read, and what was saved is written. */
export const settled = (): Promise<unknown> => queue;

export const id = (): string => body.dataset.job ?? "";

export const now = (): Time => new Date().toISOString();

/** Calls a function whenever the record changes. */
export const onRecord = (f: () => void): void => void watchers.push(f);

function tell(job: Job | undefined): void {
  record = learn(job);
  body.toggleAttribute("data-found", !!job?.findings.length);
  for (const f of watchers) f();
}

/** Takes a job in hand; "" for none. Of a new one there is nothing to read, nor to tell until something of it is saved. */
export function take(job: string, fresh = !job): void {
  body.dataset.job = job;
  document.dispatchEvent(new Event("benchleaf-job"));
  loaded = fresh;
  if (job && fresh) return;
  tell(undefined);
  if (fresh) return;
  queue = queue.then(async () => {
    const stored = await read(job);
    if (id() !== job) return;
    loaded = true;
    tell(stored);
  });
}

/**
 * Changes the record: at once for this page, and for good in a transaction on
 * what is stored then, for another page may have changed it. What was answered on
 * this page in another tab stands: there the change is left out, and told.
 */
export function save(f: (job: Job) => Job): void {
  const job = id();
  const first = record ?? begun(job, one<HTMLSelectElement>("select[name=model]")?.value);
  if (loaded) {
    const next = f(first);
    if (next === record) return;
    pend(next);
    tell(next);
  }
  pending++;
  queue = queue.then(async () => {
    let other = false;
    const stored = await update(job, (old) => {
      other = !!old?.entries.some((e) => e.page === body.dataset.page && !known.has(e.at));
      return other ? undefined : learn(f(old ?? first));
    });
    if (--pending) return;
    pend(null);
    if (id() !== job) return;
    if (JSON.stringify(stored) !== JSON.stringify(record)) tell(stored);
    if (other) tellOther();
  });
}
