/**
 * What happens to a record: answers given and taken back, ends reached,
 * remedies, settings put back. Each function gives the record anew.
 */

import type { Passed } from "./guide";
import type { Entry, Finding, Job, Remedy, RuledOut, Time } from "./record";

/** What an answer means besides its entry. */
export interface Answered {
  entry: Entry;
  /** Causes that the step's other answers lead to. */
  others: { cause: string; title: string }[];
}

const iso = (ms: number): Time => new Date(ms).toISOString();

const isOf = (e: Entry, p: Passed): boolean => e.step === p.id && e.at === iso(p.at);

const latest = (...times: (Time | undefined)[]): Time => times.reduce<Time>((a, b) => (b && b > a ? b : a), "");

/**
 * A record in which the entries of a page are those of a way. A way that is the
 * beginning of what stands there changes nothing: going back is no answer.
 */
export function follow(job: Job, page: string, way: Passed[], answered: (p: Passed) => Answered): Job {
  const own = job.entries.filter((e) => e.page === page);
  if (way.every((p, i) => own[i] && isOf(own[i]!, p))) return job;
  const kept = way.map((p) => own.find((e) => isOf(e, p)) ?? answered(p).entry);
  const entries = [...job.entries.filter((e) => e.page !== page), ...kept].sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
  const moved = (i: number): number => entries.indexOf(job.entries[i]!);
  const ruledOut = job.ruledOut.filter((r) => r.page !== page).map((r) => ({ ...r, entry: moved(r.entry) }));
  way.forEach((p, i) => {
    for (const other of answered(p).others) ruledOut.push({ page, ...other, entry: entries.indexOf(kept[i]!) });
  });
  const stands = (at: Time | undefined): boolean => entries.some((e) => e.at === at);
  const findings = job.findings
    // What was mended stays mended, whichever answers are taken back.
    .filter((f) => f.remedy || stands(f.at))
    .map(({ condemnedBy, repaired, ...f }): Finding => {
      const by = condemnedBy === undefined ? -1 : moved(condemnedBy);
      return { ...f, ...(by >= 0 && { condemnedBy: by }), ...(repaired && stands(repaired) && { repaired }) };
    });
  const changed = latest(job.changed, ...entries.map((e) => e.at));
  return { ...job, changed, entries, ruledOut: once(ruledOut, findings), findings };
}

/** Each cause once, by the last entry that rules it out, and none that was found. */
function once(list: RuledOut[], findings: Finding[]): RuledOut[] {
  const of = (r: { page: string; cause?: string }): string => `${r.page} ${r.cause}`;
  const last = new Map<string, RuledOut>();
  for (const r of list) if ((last.get(of(r))?.entry ?? -1) <= r.entry) last.set(of(r), r);
  for (const f of findings) last.delete(of(f));
  return [...last.values()];
}

/** Whether a reading is proved to lie outside, and was taken so: within and too close condemn nothing. */
export const condemns = ({ outcome, reading }: Entry): boolean =>
  !!reading && reading.verdict === outcome && ["low", "high", "none"].includes(reading.verdict);

/** The end of a way is reached by its last answer; the finding stands once. */
export function find(job: Job, end: Omit<Finding, "at">): Job {
  const last = job.entries[job.entries.length - 1];
  if (!last || job.findings.some((f) => f.at === last.at)) return job;
  const finding: Finding = { ...end, at: last.at };
  if (finding.part && condemns(last)) finding.condemnedBy = job.entries.length - 1;
  const findings = [...job.findings, finding];
  return { ...job, findings, ruledOut: once(job.ruledOut, findings) };
}

/** The cause that was found last. */
export const found = (job: Job): Finding | undefined => job.findings.filter((f) => f.end === "cause").pop();

const change = (job: Job, now: Time, finding: Finding, to: Partial<Finding>): Job => ({
  ...job,
  changed: latest(job.changed, now),
  findings: job.findings.map((f) => (f.at === finding.at && f.page === finding.page ? { ...f, ...to } : f)),
});

export function mend(job: Job, finding: Finding, remedy: Omit<Remedy, "at">, now: Time): Job {
  const at = finding.repaired ?? latest(now, finding.at); // who tells afterwards what was done did it before the check
  return change(job, at, finding, { remedy: { ...remedy, at } });
}

/** The check after the repair was passed by the last answer. */
export function prove(job: Job): Job {
  const finding = found(job);
  const last = job.entries[job.entries.length - 1];
  if (!finding || finding.repaired || !last?.verification) return job;
  return change(job, last.at, finding, { repaired: latest(last.at, finding.remedy?.at) });
}

/** What a step, an end or a tap does to the settings of the machine. */
export function standing(job: Job, restores: string[], sets: string[], now: Time): Job {
  const left = [...job.left.filter((id) => !restores.includes(id) && !sets.includes(id)), ...sets];
  return String(left) === String(job.left) ? job : { ...job, left, changed: latest(job.changed, now) };
}
