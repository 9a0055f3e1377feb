/** The page of models: a serial number leads to its model, which is chosen from then on, and goes into the record of the job at hand. */

import "./lend-first";
import { data } from "./data";
import { button, fill, one, put } from "./dom";
import { nameOf } from "./jobname";
import { startModel } from "./model";
import { current, read, update } from "./records";
import { alike, modelsOf, plain, unlabelled } from "./serial";
import "./back";
import "./returned";
import { remember } from "./store";

const serials = data.serials!;
const form = one<HTMLFormElement>("form.search")!;
const field = one<HTMLInputElement>("input", form)!;
const answer = one(".answer")!;
const keys = one(".keys")!;
const inJob = one(".in-job")!;
const list = one<HTMLSelectElement>("select[name=model]")!;

const title = (model: string): string => [...list.options].find((o) => o.value === model)!.text;

/** Has a model chosen on every sheet, "" for all of them. */
function select(model: string): void {
  list.value = model;
  list.dispatchEvent(new Event("change"));
}

/** Takes a model as the one at hand. */
async function choose(model: string, serial: string): Promise<void> {
  select(model);
  put(answer, fill(word.models.one, { number: serial, model: title(model) }));
  keys.replaceChildren(...(history.length > 1 ? [button(word.models.back, () => history.back())] : []));
  const id = current();
  const job = id && (await read(id));
  if (!job) return void remember("serial", [serial, model], "sessionStorage"); // for the job that is begun next
  // Another machine is another job's.
  if (job.machine.serial && plain(job.machine.serial) !== plain(serial)) {
    put(inJob, fill(word.models.otherJob, { name: nameOf(job) }));
    return;
  }
  const stored = await update(id, (j) => j && { ...j, machine: { ...j.machine, model, serial }, changed: new Date().toISOString() });
  if (stored) put(inJob, fill(word.models.inJob, { name: nameOf(stored) }));
}

/** Writes a model into the job at hand, undefined for none that is known; a machine with a number of its own keeps its model. */
async function intoJob(model: string | undefined): Promise<void> {
  const id = current();
  if (!id) return;
  const stored = await update(id, (j) => {
    if (!j || j.machine.serial) return;
    const { model: _, ...machine } = j.machine;
    return { ...j, machine: model ? { ...machine, model } : machine, changed: new Date().toISOString() };
  });
  if (stored?.machine.serial) put(inJob, fill(word.models.otherJob, { name: nameOf(stored) }));
}

/** The plate denies the model that was chosen until now: nobody goes on with its limits unasked. */
function deny(): void {
  const model = list.value;
  if (!model || !one('[value=""]', list)) return; // of one model there is no choice
  const before = answer.textContent!;
  select("");
  void intoJob(undefined);
  put(answer, before + " " + fill(word.models.denied, { model: title(model) }));
  const again = button(fill(word.models.again, { model: title(model) }), () => {
    select(model);
    void intoJob(model);
    put(answer, before);
    again.remove();
  });
  keys.append(again);
}

/** Says which model has the number; of several, or one that looks like it, the reader chooses. */
function find(serial: string): void {
  const number = plain(serial);
  const models = modelsOf(number, serials);
  put(inJob, "");
  keys.replaceChildren();
  if (number) remember("serial", null, "sessionStorage"); // the machine before is not at hand any more
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
  if (number && models.length !== 1 && !models.includes(list.value)) deny();
}

form.addEventListener("submit", (e) => {
  e.preventDefault();
  find(unlabelled(field.value.normalize("NFKC"), serials).trim());
});
form.hidden = false;
startModel();
