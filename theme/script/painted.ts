/** What waits for a page to be painted: a tap is seen to be taken before all that it brings is worked out. */

import { afterPaint } from "./dom";

const waiting: (() => void)[] = [];

const workOut = (): void => waiting.splice(0).forEach((f) => f());

/** Calls a function once what stands now is painted, and before whatever is tapped next. */
export function painted(f: () => void): void {
  if (waiting.push(f) === 1) afterPaint(workOut);
}

// A page that is left paints nothing more.
for (const what of ["click", "pagehide"]) addEventListener(what, workOut, true);
