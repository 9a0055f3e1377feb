/** An answer as the record has it, read from the page. */

import { data } from "./data";
import { all, ids, one } from "./dom";
import type { Passed } from "./guide";
import type { Cause } from "./journal";
import { limitOf } from "./model";
import { typedIn } from "./number";
import type { Entry, Open, Outcome, Reading, Time, Timing } from "./record";
import { here, linkTo, pageAddress } from "./place";

export const page = document.body.dataset.page!;

/** A heading without its number. */
export function titleOf(card: Element): string {
  const h = one("h2", card)!.cloneNode(true) as HTMLElement;
  one(".number", h)?.remove();
  return h.textContent!.trim();
}

/** An address of the page as the record has it. */
export const recorded = (href: string): string => (href[0] === "#" ? href : new URL(href, pageAddress()).href.slice(here.length));

const text = (section: Element, name: string): string => one(name, section)?.textContent?.trim() ?? "";

/** What is measured, and where: with the specification it names a quantity. */
function quantityOf(section: HTMLElement): Pick<Reading, "spec" | "measure" | "red" | "black" | "conditions"> {
  const red = text(section, ".red dd");
  const black = text(section, ".black dd");
  const conditions = text(section, ".conditions dd");
  return {
    spec: section.dataset.reading ?? "",
    measure: text(section, "h3"),
    ...(red && { red }),
    ...(black && { black }),
    ...(conditions && { conditions }),
  };
}

function readingOf(section: HTMLElement, timing: Timing | undefined): Reading | undefined {
  const { value, side = "" } = section.dataset;
  const input = one<HTMLInputElement>("input", section);
  const typed = input ? typedIn(input) : "";
  const spec = data.specs?.[section.dataset.reading ?? ""];
  const unit = spec?.units[0][0] ?? "s";
  if (!section.dataset.reading || !(typed || (timing && value))) return undefined;
  const v = value ? Number(value) : undefined;
  const [min, max] = timing?.tolerance ? within(timing) : ((spec && limitOf(spec)) ?? [null, null]);
  return {
    ...quantityOf(section),
    // A figure that cannot be has no value: what it was meant in stands with it.
    text: (typed && v === undefined && /\d$/.test(typed) ? `${typed} ${unit}` : typed) || section.dataset.time || `${value} ${unit}`,
    ...(v !== undefined && { value: v }),
    unit,
    ...(min !== null && { min }),
    ...(max !== null && { max }),
    ...(v !== undefined && { doubt: Number(section.dataset.doubt) || spec!.meter[0] * Math.abs(v) + spec!.meter[1] }),
    verdict: side as Reading["verdict"],
  };
}

function timingOf(section: HTMLElement): Timing | undefined {
  const { marks, expected, tolerance, given } = section.dataset;
  if (!marks) return undefined;
  return {
    marks: JSON.parse(marks) as Timing["marks"],
    ...(expected && { expected: Number(expected) }),
    ...(expected && tolerance && { tolerance: Number(tolerance) }),
    ...(given && given !== "[]" && { given: JSON.parse(given) as Timing["given"] }),
  };
}

/** The limits of a time that is judged by its tolerance. */
const within = ({ expected = 0, tolerance = 0 }: Timing): [number, number] =>
  [1 - tolerance, 1 + tolerance].map((share) => Number((expected * share).toFixed(4))) as [number, number];

const stepOf = (step: HTMLElement): Pick<Open, "page" | "step" | "number" | "title" | "state"> => ({
  page,
  step: step.id,
  number: Number(step.dataset.step),
  title: titleOf(step),
  ...(step.dataset.state && { state: step.dataset.state }),
});

/** What is typed in a step, as long as it is not answered; undefined for nothing. */
export function openIn(step: HTMLElement, at: Time): Open | undefined {
  const reading = readingOf(one(".reading", step)!, undefined);
  return reading && { ...stepOf(step), at, reading };
}

/** An answer as it was when it was given: what stands in the page may change after it. */
const known = new Map<string, Entry>();

export function answered(p: Passed): Entry {
  const key = `${p.id} ${p.at}`;
  const found = known.get(key) ?? read(p);
  known.set(key, found);
  return found;
}

function read(p: Passed): Entry {
  const step = document.getElementById(p.id)!;
  const section = one(".reading", step);
  const timing = section ? timingOf(section) : undefined;
  const reading = section && readingOf(section, timing);
  const notes = [section?.dataset.recalled, step.dataset.since].filter(Boolean);
  return {
    ...stepOf(step),
    shown: new Date(p.shown).toISOString(),
    at: new Date(p.at).toISOString(),
    said: [p.said, ...notes.map((note) => `(${note})`)].join(" "),
    ...(p.outcome && { outcome: p.outcome as Outcome }),
    to: recorded(p.to),
    ...("verification" in step.dataset && { verification: true as const }),
    ...(reading && { reading }),
    ...(timing && { timing }),
  };
}

/** The causes of the page and the steps that lead to them. */
export const causes: Cause[] = all(".end[data-cause]").map((end) => {
  const to = "#" + end.id;
  const cause = end.dataset.cause!;
  const steps = all(".step:not([data-verification])").filter((step) => one(`.answers a[href="${linkTo(to)}"]`, step));
  const misses = steps.filter((step) => ids(step.dataset.misses).includes(cause));
  return { cause, title: titleOf(end), to, steps: steps.map((step) => step.id), misses: misses.map((step) => step.id) };
});
