/**
 * What happens to a record: answers given and taken back, ends reached,
 * remedies, settings put back. Each function gives the record anew.
 */

import type { Limit } from "./data";
import type { Passed } from "./guide";
import type { Entry, Finding, Job, Open, Reading, Remedy, RuledOut, Time } from "./record";
import { judge, type Side } from "./verdict";

/** A cause of a page. */
export interface Cause {
  cause: string;
  title: string;
  /** Where its answers lead, as an entry has it. */
  to: string;
  /** The steps that lead to it, and those of them that do not always show it. */
  steps: string[];
  misses: string[];
}

const iso = (ms: number): Time => new Date(ms).toISOString();

const isOf = (e: Entry, p: Passed): boolean => e.step === p.id && e.at === iso(p.at);

const latest = (...times: (Time | undefined)[]): Time => times.reduce<Time>((a, b) => (b && b > a ? b : a), "");

/** Of a step that was passed more than once the last answer holds. */
const lastOfEach = (entries: Entry[]): Entry[] => [...new Map(entries.map((e) => [`${e.page} ${e.step}`, e])).values()];

/**
 * A record in which the entries of a page are those of a way, and those that a
 * mended cause stands on, which the way has left. A way that stands there already
 * changes nothing: going back is no answer.
 */
export function follow(job: Job, page: string, way: Passed[], answered: (p: Passed) => Entry, causes: Cause[]): Job {
  const own = job.entries.filter((e) => e.page === page);
  if (way.every((p) => own.some((e) => isOf(e, p)))) return job;
  const kept = way.map((p) => own.find((e) => isOf(e, p)) ?? answered(p));
  const mended = job.findings.filter((f) => f.remedy);
  const stood = mended.map((f) => {
    const left = f.page === page && !kept.some((e) => e.at === f.at);
    return latest(f.at, ...(left ? checks(job, f).map((e) => e.at) : []));
  });
  const rested = own.filter((e) => !kept.includes(e) && e.at <= latest(...stood));
  const entries = [...job.entries.filter((e) => e.page !== page), ...rested, ...kept].sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
  const moved = (i: number): number => entries.indexOf(job.entries[i]!);
  const ruledOut = job.ruledOut.filter((r) => r.page !== page).map((r) => ({ ...r, entry: moved(r.entry) }));
  for (const { cause, title, by } of refuted(kept, causes, latest(...mended.map((f) => f.at)))) ruledOut.push({ page, cause, title, entry: entries.indexOf(by) });
  const stands = (at: Time | undefined): boolean => entries.some((e) => e.at === at);
  const findings = job.findings
    // What was mended stays mended, whichever answers are taken back.
    .filter((f) => f.remedy || stands(f.at))
    .map(({ condemnedBy, repaired, ...f }): Finding => {
      const by = condemnedBy === undefined ? -1 : moved(condemnedBy);
      return { ...f, ...(by >= 0 && { condemnedBy: by }), ...(repaired && stands(repaired) && { repaired }) };
    });
  const changed = latest(job.changed, ...entries.map((e) => e.at));
  const next = { ...job, changed, entries, ruledOut: unfound(ruledOut, findings), findings };
  return without(next, page, ...kept.filter((e) => !own.includes(e)).map((e) => e.step));
}

/** A record without the open readings of steps. */
function without({ open, ...job }: Job, page: string, ...steps: string[]): Job {
  const list = open?.filter((o) => o.page !== page || !steps.includes(o.step)) ?? [];
  return list.length ? { ...job, open: list } : job;
}

/** What is typed in a step and not answered yet; undefined where its field is empty. */
export function typed(job: Job, page: string, step: string, reading: Open | undefined): Job {
  const rest = without(job, page, step);
  if (!reading) return rest;
  return { ...rest, changed: latest(job.changed, reading.at), open: [...(rest.open ?? []), reading] };
}

/** Without the causes that were found. */
const unfound = (list: RuledOut[], findings: Finding[]): RuledOut[] =>
  list.filter((r) => !findings.some((f) => f.page === r.page && f.cause === r.cause));

/**
 * Whether an answer may be built on: what is seen, and a reading that is answered
 * as it was judged. One too close to call, answered against its verdict or not
 * noted at all proves nothing.
 */
export const sound = ({ outcome, reading }: Entry): boolean =>
  !outcome || outcome === "unstable" || (reading ? reading.verdict === outcome : outcome === "none");

const outside = (r: Reading | undefined): r is Reading => !!r && ["low", "high", "none"].includes(r.verdict);

/** Whether a reading lies within, where it lay outside before between the same points. */
const comesAndGoes = ({ reading: r }: Entry, before: Entry[]): boolean =>
  r?.verdict === "within" && before.some(({ reading: x }) => outside(x) && x.spec === r.spec && x.red === r.red && x.black === r.black);

/**
 * The causes that a way has ruled out, and by which entry: every step that leads
 * to one was passed soundly with another answer, not by a reading that jumps about, and one of them at least shows
 * the cause whenever it is there. Of a step that was passed twice the last answer
 * holds; what comes and goes since the last repair is not ruled out by it.
 */
function refuted(entries: Entry[], causes: Cause[], repair: Time): (Cause & { by: Entry })[] {
  const last = new Map(entries.map((e) => [e.step, e]));
  const since = entries.filter((e) => e.at > repair);
  return causes.flatMap((c) => {
    const passed = c.steps.map((step) => last.get(step));
    if (!passed.every((e) => e && sound(e) && e.outcome !== "unstable" && e.to !== c.to && !comesAndGoes(e, since))) return [];
    if (since.some((e) => e.to === c.to)) return [];
    const by = entries.filter((e) => passed.includes(e) && !c.misses.includes(e.step)).pop();
    return by ? [{ ...c, by }] : [];
  });
}

/** Whether a reading is proved to lie outside, and was taken so: within and too close condemn nothing. */
export const condemns = ({ outcome, reading }: Entry): boolean =>
  outside(reading) && reading.verdict === outcome;

/**
 * The checks after a repair: those since the cause was found, until it was proved
 * or something else was found.
 */
export function checks(job: Job, { at, repaired }: Finding): Entry[] {
  const until = repaired ?? job.findings.find((f) => f.at > at)?.at ?? job.changed;
  return lastOfEach(job.entries.filter((e) => e.verification && e.at > at && e.at <= until));
}

/**
 * Whether a check proves a repair: by a reading that lies within its limits beyond
 * doubt and was taken so, else by what is seen.
 */
export function proves({ outcome, reading }: Entry): boolean {
  const good = outcome ?? "within";
  return (good === "within" || good === "none") && (reading ? reading.verdict === good : outcome !== "within");
}

/** Whether a cause is proved by the check after its repair; a record may say so by a check that proves nothing. */
export function proved(job: Job, finding: Finding): boolean {
  const list = checks(job, finding);
  return !!finding.repaired && !!list.length && list.every(proves);
}

/** The end of a repair, reached by a check. */
const ends = ({ to }: Entry): boolean => to.endsWith("#end-repaired");

/** The checks that have led to the end of a repair and do not prove it. */
export function unproved(job: Job, finding: Finding): Entry[] {
  const list = checks(job, finding);
  return list.some(ends) ? list.filter((e) => !proves(e)) : [];
}

/** The answers that an end rests on and that nothing may be built on, and the failed checks of repairs before it, which it does not settle. */
export function unsound(job: Job, { at }: Finding): Entry[] {
  const before = job.findings.filter((f) => f.at < at);
  const from = latest(...before.map((f) => f.at));
  const own = lastOfEach(job.entries.filter((e) => e.at > from && e.at <= at)).filter((e) => !sound(e));
  return [...new Set([...before.flatMap((f) => failed(job, f) ?? []), ...own])];
}

/** The end of a way is reached by its last answer; the finding stands once. */
export function find(job: Job, end: Omit<Finding, "at">): Job {
  const last = job.entries.slice(-1)[0];
  if (!last || job.findings.some((f) => f.at === last.at)) return job;
  const finding: Finding = { ...end, at: last.at };
  if (finding.part && condemns(last)) finding.condemnedBy = job.entries.length - 1;
  const findings = [...job.findings, finding];
  return { ...job, findings, ruledOut: unfound(job.ruledOut, findings) };
}

/** The cause that was found last. */
export const found = (job: Job): Finding | undefined => job.findings.filter((f) => f.end === "cause").pop();

/**
 * Whether nothing is left to do at the machine: the last answer led to an end, a
 * cause was mended and proved, and everything is put back.
 */
export function done(job: Job): boolean {
  const f = job.findings.slice(-1)[0];
  const last = job.entries.slice(-1)[0];
  const ended = f && (f.end !== "cause" ? f.at : proved(job, f) && f.repaired);
  return !!ended && !job.left.length && (!last || last.at <= ended);
}

/** The readings that limits judge in another way than they were judged, as those of another model do. */
export const otherwise = (entries: Entry[], limitOf: (spec: string) => Limit | null | undefined): [Entry, Exclude<Side, "">][] =>
  entries.flatMap((e): [Entry, Exclude<Side, "">][] => {
    const { value, spec, doubt = 0, verdict = "none" } = e.reading ?? {};
    const limit = spec && limitOf(spec);
    const side = limit && value !== undefined && judge(value, limit, doubt);
    return side && verdict !== "none" && side !== verdict ? [[e, side]] : [];
  });

/**
 * The check by which a remedy has failed: what comes next is no other check, or
 * another end was found.
 */
export function failed(job: Job, finding: Finding): Entry | undefined {
  const { at, remedy } = finding;
  if (!remedy || proved(job, finding)) return undefined;
  const others = job.findings.map((f) => f.at).filter((other) => other > at);
  return job.entries.find((e, i) => {
    const next = job.entries[i + 1];
    return e.verification && e.at >= remedy.at && !ends(e) && ((next && !next.verification) || others.includes(e.at));
  });
}

/** The step that left the engine in another state than one is to be checked in, and the minutes since then. */
export function lastOther(job: Job, state: string | undefined, now: Time): [Entry, number] | undefined {
  const e = job.entries.filter((x) => x.state && x.at <= now).pop();
  return e && state && e.state !== state ? [e, Math.floor((Date.parse(now) - Date.parse(e.at)) / 60000)] : undefined;
}

const change = (job: Job, now: Time, finding: Finding, to: Partial<Finding>): Job => ({
  ...job,
  changed: latest(job.changed, now),
  findings: job.findings.map((f) => (f.at === finding.at && f.page === finding.page ? { ...f, ...to } : f)),
});

export function mend(job: Job, finding: Finding, remedy: Omit<Remedy, "at">, now: Time): Job {
  const at = finding.repaired ?? latest(now, finding.at); // who tells afterwards what was done did it before the check
  return change(job, at, finding, { remedy: { ...remedy, at } });
}

/** The check after the repair was passed by the last answer: it is repaired, if all of the check proves it. */
export function prove(job: Job): Job {
  const finding = found(job);
  const last = job.entries.slice(-1)[0];
  if (!finding || proved(job, finding) || !last?.verification) return job;
  const { repaired: _, ...open } = finding;
  if (!checks(job, open).every(proves)) return job;
  return change(job, last.at, finding, { repaired: latest(last.at, finding.remedy?.at) });
}

/** What a step, an end or a tap does to the settings of the machine. */
export function standing(job: Job, restores: string[], sets: string[], now: Time): Job {
  const left = [...job.left.filter((id) => !restores.includes(id) && !sets.includes(id)), ...sets];
  return String(left) === String(job.left) ? job : { ...job, left, changed: latest(job.changed, now) };
}
