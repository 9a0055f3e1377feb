/** Ways from records, for the guides of their pages. */

import type { Job } from "./record";
import { remember } from "./store";

/** Lays a job's way through a page out as if it had been gone here. */
export function layOut(job: Job, page: string): void {
  const own = job.entries.filter((e) => e.page === page);
  const open = job.open?.filter((o) => o.page === page) ?? [];
  const last = own.slice(-1)[0];
  const when = Date.parse((last ?? open[0]!).at);
  remember(`way ${job.id} ${page}`, {
    way: own.map((e) => ({ id: e.step, said: e.said, outcome: e.outcome, to: e.to, shown: Date.parse(e.shown), at: Date.parse(e.at) })),
    at: last?.to[0] === "#" ? last.to.slice(1) : (last ?? open[0]!).step,
    shown: when,
    when,
    typed: Object.fromEntries([...own, ...open].flatMap((e) => (e.reading ? [[e.step, e.reading.text]] : []))),
  });
}
