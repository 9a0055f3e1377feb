/** Readings that another model's limits have judged. */

import { page } from "./answered";
import { data } from "./data";
import { record } from "./hand";
import { otherwise } from "./journal";
import { limitOf } from "./model";
import type { Entry } from "./record";
import type { Side } from "./verdict";

/** Those of this page that the limits of the machine at hand judge in another way than they were judged. */
export function rejudged(): [Entry, Exclude<Side, "">][] {
  const own = record?.entries.filter((e) => e.page === page) ?? [];
  return otherwise(own, (spec) => data.specs?.[spec] && limitOf(data.specs[spec]!));
}
