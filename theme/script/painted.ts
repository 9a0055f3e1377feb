/** What waits for a page to be painted: a tap is seen to be taken before all that it brings is worked out. */

const waiting: (() => void)[] = [];

/** Does at once what waits. */
export const workOut = (): void => waiting.splice(0).forEach((f) => f());

/** Calls a function once what stands now is painted, and at the latest when the page is left. */
export function painted(f: () => void): void {
  waiting.push(f);
  requestAnimationFrame(() => setTimeout(workOut));
}

addEventListener("pagehide", workOut);
