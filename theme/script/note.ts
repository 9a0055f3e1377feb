/** A line right under the heading of a card, which is read out when it comes. */

import { make, one } from "./dom";

/** Puts it in the place of the one that stood there; none without a text. */
export function noteUnder(card: HTMLElement, name: string, text: string): void {
  one("." + name, card)?.remove();
  if (!text) return;
  const p = make("p", text);
  p.className = "recalled " + name;
  p.setAttribute("role", "status");
  one("h2", card)!.after(p);
}
