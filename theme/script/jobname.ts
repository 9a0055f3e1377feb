/** What a job is called: its machine, else when it began. */

import { fill, one } from "./dom";
import type { Job } from "./record";
import { moment } from "./time";

/** A model's title, its bare id where the handbook has it no more. */
export const modelName = (id: string | undefined): string | undefined =>
  id && (one<HTMLOptionElement>(`[name=model] option[value="${CSS.escape(id)}"]`)?.text ?? id);

/** The name where it stands alone. A serial number stays as it is. */
export function headOf(job: Job): string {
  const name = nameOf(job);
  return job.machine.model || job.machine.serial ? name : name[0]!.toLocaleUpperCase() + name.slice(1);
}

/** The name in the bar, beside the model: of two alike the serial number is what tells them apart. */
export const nameInBar = (job: Job): string => fill(word.job.name, { name: job.machine.serial || nameOf(job) });

export function nameOf({ machine, begun }: Job): string {
  return [machine.serial, modelName(machine.model)].filter(Boolean).join(" · ") || fill(word.job.begun, { time: moment(begun) });
}
