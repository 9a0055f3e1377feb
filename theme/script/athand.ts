/** The job at hand, for what is kept with it. */

import { painted } from "./painted";
import { query } from "./place";
import { recall } from "./store";

/** Its id; "" for none, as for practice on a planted fault. */
export const jobAtHand = (): string => (query().startsWith("?practice=") ? "" : (recall<string>("job") ?? ""));

/** Under what something of the page is kept with a job. */
export const keyOf = (what: string, job = ""): string => `${what} ${job} ${document.body.dataset.page}${query()}`;

/** Calls a function once another one is at hand: an answer or a reading may have begun it. The card that it leads to is painted first. */
export const onJob = (f: () => void): void => document.addEventListener("benchleaf-job", () => painted(f));
