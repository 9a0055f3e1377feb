/** Readings of a job that still hold, since nothing on the machine was put off or back after them. */

import { recall, remember } from "./store";

const key = (job: string): string => `read ${job}`;

/** What was read, and how, by the time of its answer. */
export const holding = (job: string): Record<string, string> => recall<Record<string, string>>(key(job)) ?? {};

export const hold = (job: string, at: string, quantity: string): unknown => remember(key(job), { ...holding(job), [at]: quantity });

/** Something was put off or back: it is another machine now. */
export const forgetRead = (job: string): unknown => remember(key(job), {});
