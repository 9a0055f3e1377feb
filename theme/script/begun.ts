/** A new job. */

import { one } from "./dom";
import type { Job } from "./record";
import { recall, remember } from "./store";

/** An id that no other job has. */
export const newId = (): string => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");

export function begun(id: string, model?: string): Job {
  const { title = "", edition = "", date = "" } = JSON.parse(one("[data-edition]")?.dataset.edition || "{}") as Record<string, string>;
  const time = new Date().toISOString();
  // The number by which the model was found, if it was, is this machine's and no other's.
  const [serial, found] = recall<[string, string]>("serial", "sessionStorage") ?? [];
  if (serial) remember("serial", null, "sessionStorage");
  return {
    record: 1,
    id,
    handbook: { title, edition, ...(date && { date }), language: document.documentElement.lang },
    machine: { ...(model && { model }), ...(serial && found === model && { serial }) },
    begun: time,
    changed: time,
    entries: [],
    ruledOut: [],
    findings: [],
    left: [],
  };
}
