/** The machine and the circumstances of a job, kept while they are typed. */

import { data } from "./data";
import { fill, make, one } from "./dom";
import { say } from "./jobs-save";
import { inSigns, read as readNumber, typedIn } from "./number";
import type { Job } from "./record";
import { current, pend, update } from "./records";
import { modelsOf, plain } from "./serial";
import { remember } from "./store";

type Field = HTMLInputElement & HTMLSelectElement;

const form = one<HTMLFormElement>(".machine")!;
const field = (name: string): Field | null => form.elements.namedItem(name) as Field | null;

/** A record that changes now: its time never goes back, whatever the clock does. */
export function change(job: Job): Job {
  const now = new Date().toISOString();
  return { ...job, changed: Date.parse(job.changed) > Date.parse(now) ? job.changed : now };
}

const numeral = (v: number | undefined): string => (v === undefined ? "" : inSigns(v));

/** What the fields hold, as texts. */
function texts(job: Job): Record<string, string | undefined> {
  const { machine: m, ambient } = job;
  return {
    model: m.model, serial: m.serial, hours: numeral(m.hours), fitted: m.fitted, drives: m.drives,
    ambient: numeral(ambient?.value), unit: ambient?.unit, complaint: job.complaint, meter: job.meter, note: job.note,
  }; // prettier-ignore
}

export function fillForm(job: Job): void {
  for (const [name, text] of Object.entries(texts(job))) {
    const e = field(name);
    if (!e) continue;
    if (e.options && text && ![...e.options].some((o) => o.value === text)) e.append(make("option", text)); // of another edition
    e.value = text ?? e.options?.[0]!.value ?? "";
    e.removeAttribute("aria-invalid");
  }
}

/** A number, undefined for nothing; null, and said so, for what is none. */
function numberOf(name: string, complaint: string): number | undefined | null {
  const e = field(name)!;
  const text = typedIn(e);
  const number = text ? readNumber(text) : undefined;
  const wrong = typeof number === "string" || !!number?.[1];
  if (wrong) say(complaint);
  else if (e.getAttribute("aria-invalid") === "true") say("");
  e.setAttribute("aria-invalid", String(wrong));
  return wrong ? null : (number as [number] | undefined)?.[0];
}

/** The record with what the form says; what is no number leaves the old one. */
function filled(job: Job): Job {
  const text = (name: string): string | undefined => field(name)?.value.trim() || undefined;
  const hours = numberOf("hours", word.jobs.hoursBad);
  const ambient = numberOf("ambient", word.jobs.ambientBad);
  const then = {
    ...job,
    machine: {
      model: field("model") ? text("model") : job.machine.model,
      serial: text("serial"),
      hours: hours === null ? job.machine.hours : hours,
      fitted: text("fitted"),
      drives: text("drives"),
    },
    ambient: ambient === null ? job.ambient : ambient === undefined ? undefined : { value: ambient, unit: field("unit")!.value },
    complaint: text("complaint"),
    meter: text("meter"),
    note: text("note"),
  };
  // Keys without a value are left out.
  return JSON.parse(JSON.stringify(then)) as Job;
}

/** The serial number chooses the model, if one alone has it. */
function chooseModel(): void {
  const number = field("serial")!.value.trim();
  if (!number || !data.serials) return;
  const [model, ...more] = modelsOf(plain(number), data.serials);
  if (!model) say(fill(word.models.none, { number }));
  else if (!more.length) field("model")!.value = model;
}

let open = "";
let timer = 0;
let after: (job: Job) => void;
let shown: () => Job | undefined;

/** A record with what was typed, if that is anything new. */
function typedInto(job: Job | undefined): Job | undefined {
  const then = job && filled(job);
  return !then || JSON.stringify(texts(then)) === JSON.stringify(texts(job)) ? undefined : change(then);
}

/** Keeps what was typed; the record as it stands then. */
export async function keep(): Promise<Job | undefined> {
  clearTimeout(timer);
  if (!open) return undefined;
  // A page that is left breaks its transactions off.
  const next = typedInto(shown());
  if (next) pend(next);
  const job = await update(open, typedInto);
  if (next) pend(null);
  // The machine at hand is the model at hand.
  if (next && open === current()) remember("model", next.machine.model);
  if (job) after(job);
  return job;
}

/** Lets the form write into a job, "" for none. */
export function edit(id: string): void {
  open = id;
}

/** Calls changed with the record whenever it was kept; at is the job that the page shows. */
export function startForm(changed: (job: Job) => void, at: () => Job | undefined): void {
  after = changed;
  shown = at;
  form.onsubmit = () => false;
  form.oninput = () => {
    clearTimeout(timer);
    timer = window.setTimeout(() => void keep(), 400);
  };
  form.onchange = (e) => {
    if (e.target === field("serial")) chooseModel();
    void keep();
  };
  // The phone may put the page away at any moment.
  addEventListener("visibilitychange", () => void keep());
}
