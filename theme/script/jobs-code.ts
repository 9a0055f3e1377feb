/** The short form of a record, and its picture as a QR code. */

import { beside, load } from "./beside";
import { fill, one } from "./dom";
import { asLine } from "./jobs-short";
import type { Code } from "./qr";
import type { Job } from "./record";

/** The most bytes of a QR code that one phone reads from the screen of another: version 20, correction M, less two that say UTF-8. */
const most = 664;

/** Calls f once the library is there. */
function withLibrary(f: () => void): void {
  if (window.benchleafCode) f();
  else load(beside("qr"), f);
}

function svg(name: string, attributes: Record<string, string>): SVGElement {
  const e = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
  return e;
}

/** The picture, with the quiet zone of four squares that the standard asks for (ISO/IEC 18004, 6.3.8). */
function picture(code: Code): SVGElement {
  let d = "";
  for (let y = 0; y < code.size; y++) for (let x = 0; x < code.size; x++) if (code.get(x, y)) d += `M${x + 4} ${y + 4}h1v1h-1z`;
  const size = code.size + 8;
  const drawn = svg("svg", { viewBox: `0 0 ${size} ${size}`, role: "img", "aria-label": word.jobs.codeText, "shape-rendering": "crispEdges" });
  drawn.append(svg("path", { d: `M0 0h${size}v${size}H0z`, fill: "#fff" }), svg("path", { d, fill: "#000" }));
  return drawn;
}

/** Shows the short form, and its picture where that is small enough. */
export function showShort(job: Job): void {
  const text = asLine(job);
  one<HTMLTextAreaElement>("[name=short]")!.value = text;
  const place = one(".code")!;
  if (text.length > most) place.replaceChildren(fill(word.jobs.codeTooLong, { count: text.length }));
  else withLibrary(() => window.benchleafCode && place.replaceChildren(picture(window.benchleafCode(text))));
}
