/** A new job. */

import { one } from "./dom";
import type { Job } from "./record";

/** An id that no other job has. */
export const newId = (): string => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");

export function begun(id: string, model?: string): Job {
  const { title = "", edition = "", date = "" } = JSON.parse(one("[data-edition]")?.dataset.edition || "{}") as Record<string, string>;
  const time = new Date().toISOString();
  return {
    record: 1,
    id,
    handbook: { title, edition, ...(date && { date }), language: document.documentElement.lang },
    machine: { ...(model && { model }) },
    begun: time,
    changed: time,
    entries: [],
    ruledOut: [],
    findings: [],
    left: [],
  };
}
