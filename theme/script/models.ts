/** The page of models: a serial number leads to its model, which is chosen from then on, and goes into the record of the job at hand. */

import { data } from "./data";
import { button, fill, one, put } from "./dom";
import { nameOf } from "./jobname";
import { startModel } from "./model";
import { current, read, update } from "./records";
import { alike, modelsOf, plain } from "./serial";
import "./shell";
import { remember } from "./store";

const serials = data.serials!;
const form = one<HTMLFormElement>("form.search")!;
const field = one<HTMLInputElement>("input", form)!;
const answer = one(".answer")!;
const keys = one(".keys")!;
const inJob = one(".in-job")!;
const select = one<HTMLSelectElement>("select[name=model]")!;

const title = (model: string): string => [...select.options].find((o) => o.value === model)!.text;

/** Takes a model as the one at hand. */
async function choose(model: string, serial: string): Promise<void> {
  select.value = model;
  select.dispatchEvent(new Event("change"));
  put(answer, fill(word.models.one, { number: serial, model: title(model) }));
  keys.replaceChildren(...(history.length > 1 ? [button(word.models.back, () => history.back())] : []));
  const id = current();
  const job = id && (await read(id));
  if (!job) return remember("serial", [serial, model], "sessionStorage"); // for the job that is begun next
  // Another machine is another job's.
  if (job.machine.serial && plain(job.machine.serial) !== plain(serial)) {
    put(inJob, fill(word.models.otherJob, { name: nameOf(job) }));
    return;
  }
  const stored = await update(id, (j) => j && { ...j, machine: { ...j.machine, model, serial }, changed: new Date().toISOString() });
  if (stored) put(inJob, fill(word.models.inJob, { name: nameOf(stored) }));
}

/** Says which model has the number; of several, or one that looks like it, the reader chooses. */
function find(serial: string): void {
  const number = plain(serial);
  const models = modelsOf(number, serials);
  put(inJob, "");
  keys.replaceChildren();
  if (!number) put(answer, "");
  else if (models.length === 1) void choose(models[0]!, serial);
  else if (models.length) {
    put(answer, fill(word.models.several, { number: serial }));
    keys.replaceChildren(...models.map((m) => button(title(m), () => void choose(m, serial))));
  } else {
    const looks = alike(number, serials);
    put(answer, fill(looks.length ? word.models.alike : word.models.none, { number: serial }));
    keys.replaceChildren(
      ...looks.map((n) =>
        button(n, () => {
          field.value = n;
          find(n);
        }),
      ),
    );
  }
}

form.addEventListener("submit", (e) => {
  e.preventDefault();
  find(field.value.trim());
});
form.hidden = false;
startModel();
