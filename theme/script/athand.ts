/** The job at hand, for what is kept with it. */

import { query } from "./place";
import { recall } from "./store";

/** Its id; "" for none, as for practice on a planted fault. */
export const jobAtHand = (): string => (query().startsWith("?practice=") ? "" : (recall<string>("job") ?? ""));

/** Under what something of the page is kept with a job. */
export const keyOf = (what: string, job = ""): string => `${what} ${job} ${document.body.dataset.page}${query()}`;

/** Calls a function whenever another one may be at hand. */
export function onJob(f: () => void): void {
  document.addEventListener("benchleaf-step", f);
  document.addEventListener("benchleaf-answer", () => setTimeout(f)); // it may begin one
}
