/**
 * The script that reads a record which came from outside, as strictly as
 * docs/record.md asks and render/record does: what is damaged or foreign is
 * refused, with a reason in words. The jobs page loads it when one is taken in. Where
 * that is another state of a known one, it asks which shall stand.
 */

import "./jobs-choose";
import { fromLine } from "./jobs-line";
import type { Job, Reading } from "./record";
import { Refusal, refuse } from "./refusal";

/** The most bytes of a record. */
const most = 1e6;

declare global {
  interface Window {
    /** Reads a record; a text is the reason why it is none. */
    benchleafRead?(source: string): Job | string;
  }
}

/** A form: what a value is, or the forms of an object's keys ("?" at the end: may be left out). */
type Form = ((v: unknown, place: string) => unknown) | Form[] | { [key: string]: Form };

const sort =
  (type: string, ok: (v: never) => boolean = () => true): Form =>
  (v, place) => (typeof v === type && ok(v as never)) || refuse(word.jobs.badType, place);

const text = sort("string");
const name = sort("string", (s: string) => s !== "");
const number = sort("number", isFinite);
const flag = sort("boolean");
const among = (...list: string[]): Form => sort("string", (s: string) => list.includes(s));

const time: Form = (v, place) => {
  const parts = typeof v === "string" && /^(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)(\.\d{1,9})?Z$/.exec(v);
  const at = parts && new Date(parts[1] + "Z");
  // A day that its month does not have is taken for one of the next by some browsers.
  if (!at || !(+at >= 0) || at.toISOString().slice(0, 19) !== parts[1]) refuse(word.jobs.badType, place);
};

const reading: Form = {
  spec: name,
  measure: text,
  "red?": text,
  "black?": text,
  "conditions?": text,
  text,
  "value?": number,
  unit: text,
  "min?": number,
  "max?": number,
  "doubt?": number,
  verdict: among("within", "low", "high", "close", "none", ""),
};

const step: { [key: string]: Form } = {
  page: name,
  step: name,
  number: sort("number", (n: number) => n >= 1 && (n | 0) === n),
  title: text,
  "state?": text,
};

const form: { [key: string]: Form } = {
  record: number,
  id: sort("string", (s: string) => /^[0-9a-f]{32}$/.test(s)),
  handbook: { title: text, edition: text, "date?": text, language: text },
  machine: { "model?": text, "serial?": text, "hours?": number, "fitted?": text, "drives?": text },
  "ambient?": { value: number, unit: text },
  "complaint?": text,
  "meter?": text,
  "note?": text,
  begun: time,
  changed: time,
  "closed?": time,
  entries: [
    {
      ...step,
      shown: time,
      at: time,
      said: text,
      "outcome?": among("low", "within", "high", "none", "unstable", ""),
      to: name,
      "verification?": flag,
      "reading?": reading,
      "timing?": { marks: [{ name: text, title: text, at: time }], "expected?": number, "tolerance?": number, "given?": [{ title: text, value: number, unit: text }] },
    },
  ],
  ruledOut: [{ page: name, cause: name, title: text, entry: number }],
  findings: [
    {
      end: among("cause", "hand-over", "not-reproduced"),
      page: name,
      "cause?": text,
      "title?": text,
      "part?": text,
      "partTitle?": text,
      at: time,
      "condemnedBy?": number,
      "remedy?": { text, replaced: flag, at: time },
      "repaired?": time,
    },
  ],
  left: [text],
  "open?": [{ ...step, at: time, reading }],
};

let keys = 0;

function check(v: unknown, form: Form, place: string): void {
  if (typeof form === "function") {
    form(v, place);
  } else if (Array.isArray(form)) {
    if (!Array.isArray(v)) return refuse(word.jobs.badType, place);
    v.forEach((e, i) => check(e, form[0]!, `${place}[${i}]`));
  } else {
    if (typeof v !== "object" || !v || Array.isArray(v)) return refuse(word.jobs.badType, place);
    const at = (key: string): string => (place ? `${place}.${key}` : key);
    const has = Object.keys(v);
    keys += has.length;
    const known = Object.keys(form).map((named) => named.replace("?", ""));
    for (const key of has) if (!known.includes(key)) refuse(word.jobs.badUnknown, at(key));
    for (const [named, inner] of Object.entries(form)) {
      const key = named.replace("?", "");
      if (has.includes(key)) check((v as Record<string, unknown>)[key], inner, at(key));
      else if (key === named) refuse(word.jobs.badMissing, at(key));
    }
  }
}

/** A time as a text that sorts: fractions may have any number of digits. */
const sortable = (t: string): string => t.slice(0, 19) + "." + t.slice(20, -1).replace(/0+$/, "");

/** Asks that times follow each other; those that are left out are skipped. */
function inOrder(...times: [time: string | undefined, place: string][]): void {
  let last = "";
  for (const [t, place] of times) {
    if (!t) continue;
    if (sortable(t) < last) refuse(word.jobs.badOrder, place);
    last = sortable(t);
  }
}

function whole(job: Job): void {
  const index = (i: number | undefined, place: string): void => {
    if (i !== undefined && !job.entries[i]) refuse(word.jobs.badType, place);
  };
  const limits = ({ min, max }: Partial<Reading> = {}, place: string): void => {
    if (min !== undefined && max !== undefined && min > max) refuse(word.jobs.badType, place);
  };
  inOrder([job.begun, ""], [job.closed, "closed"], [job.changed, "changed"]);
  job.entries.forEach((e, i) => {
    const place = `entries[${i}]`;
    inOrder([e.shown, ""], [e.at, `${place}.at`], [job.changed, "changed"]);
    limits(e.reading, `${place}.reading`);
    const { tolerance, expected } = e.timing ?? {};
    if (tolerance !== undefined && !(tolerance > 0 && tolerance < 1 && expected !== undefined)) refuse(word.jobs.badType, `${place}.timing.tolerance`);
    inOrder(...(e.timing?.marks ?? []).map((m, j): [string, string] => [m.at, `${place}.timing.marks[${j}].at`]));
  });
  job.open?.forEach((o, i) => {
    inOrder([o.at, ""], [job.changed, "changed"]);
    limits(o.reading, `open[${i}].reading`);
  });
  job.ruledOut.forEach((r, i) => index(r.entry, `ruledOut[${i}].entry`));
  job.findings.forEach((f, i) => {
    const place = `findings[${i}]`;
    if (f.end === "cause" && !f.cause) refuse(word.jobs.badMissing, `${place}.cause`);
    index(f.condemnedBy, `${place}.condemnedBy`);
    inOrder([f.at, ""], [f.remedy?.at, `${place}.remedy.at`], [f.repaired, `${place}.repaired`], [job.changed, "changed"]);
  });
}

/** A record of this version in JSON, still to be checked. */
function parsed(source: string): unknown {
  let v: unknown;
  try {
    v = JSON.parse(source);
  } catch {
    refuse(word.jobs.badText);
  }
  const record = typeof v === "object" && v && (v as { record?: unknown }).record;
  if (typeof record !== "number" || record < 1) refuse(word.jobs.badText);
  if (Number(record) > 1) refuse(word.jobs.badVersion);
  return v;
}

window.benchleafRead = (source) => {
  try {
    if (new TextEncoder().encode(source).length > most) refuse(word.jobs.badSize);
    source = source.replace(/^\ufeff/, "");
    const short = /^\s*benchleaf-/i.test(source);
    const v = short ? fromLine(source.trim()) : parsed(source);
    keys = 0;
    check(v, form, "");
    // Of a key that is given twice, the last is all that is left; the text has one more.
    const texts = source.match(/"(?:[^"\\]+|\\.)*"(\s*:)?/g) ?? [];
    if (!short && texts.filter((t) => t.endsWith(":")).length !== keys) refuse(word.jobs.badTwice);
    whole(v as Job);
    return v as Job;
  } catch (e) {
    if (e instanceof Refusal) return e.message;
    throw e;
  }
};
