/** What every page shows of the job at hand: whose it is, what still stands, what was read. */

import { style } from "./beside";
import { make, one, put } from "./dom";
import { keepClear } from "./edges";
import { now, onRecord, record, save } from "./hand";
import { showLeft, startLeft } from "./jobleft";
import { nameInBar } from "./jobname";
import { offer } from "./jobuse";
import { here, hrefOf, linkTo } from "./place";
import { lasting } from "./records";

const link = one<HTMLAnchorElement>(".bar .job");
const jobs = link ? hrefOf(link) : "";
const model = one<HTMLSelectElement>("select[name=model]");

let lasts = true;

/** The jobs page; where it may not find the record, as a browser keeps a store for each file or none at all, the link carries it. */
export function address(): string {
  if (!record) return linkTo(jobs);
  if (lasts && (bound || location.protocol[0] === "h")) return linkTo(`${jobs}#${record.id}`);
  const bytes = new TextEncoder().encode(JSON.stringify(record));
  const text = btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join(""));
  return linkTo(`${jobs}#${text.replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "")}`);
}

/** Calls a function once the machine at hand is said to be of another model. */
let onMachine = (): void => {};

/** The technician says which machine it is. */
function onModel(): void {
  const chosen = model?.value;
  if (!record || chosen === undefined || (record.machine.model ?? "") === chosen) return;
  save(({ machine: { model: _, ...machine }, ...job }) => ({ ...job, machine: chosen ? { ...machine, model: chosen } : machine, changed: now() }));
  onMachine();
}

/** The limits are those of the machine at hand, whatever was chosen since for another; what was chosen for it goes into its record. */
function chooseModel(): void {
  const known = record?.machine.model;
  if (!known) return onModel();
  if (!model || model.value === known || ![...model.options].some((o) => o.value === known)) return;
  model.value = known;
  model.dispatchEvent(new Event("change"));
}

/** Draws all that comes from the record. */
export function drawBar(): void {
  chooseModel();
  if (link) {
    put(link, record ? nameInBar(record) : word.job.jobs);
    link.href = address();
  }
  showLeft();
  offer();
}

/** Says so where the browser does not keep what is answered. */
async function warn(draw: () => void): Promise<void> {
  lasts = await lasting();
  if (lasts) return;
  draw();
  const p = make("p", word.job.memory);
  p.setAttribute("role", "status");
  one(".bar")!.prepend(p);
}

/** draw draws what the page shows of the record, now that it has changed; other is called once its machine is of another model. */
export function startBar(draw: () => void, other = onMachine): void {
  onMachine = other;
  style(here + "assets/job.css"); // a sheet without it waits for nothing
  void warn(draw);
  startLeft();
  keepClear();
  onRecord(draw);
  model?.addEventListener("change", onModel);
}
