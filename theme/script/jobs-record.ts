/** The script of a job that is open: its record as a sheet and as a text, and its short form. It comes behind the page. */

import { showShort } from "./jobs-code";
import { nameOf } from "./jobname";
import { asText, sheet, shown } from "./jobs-sheet";
import type { Job } from "./record";

declare global {
  interface Window {
    benchleafRecord?: {
      asSheet(job: Job): HTMLElement[];
      asText(job: Job): string;
      showShort(job: Job): void;
    };
  }
}

window.benchleafRecord = {
  asSheet: (job) => shown(sheet(job)),
  asText: (job) => asText(nameOf(job), sheet(job)),
  showShort,
};
