/** Readings are taken once: another sheet offers what was read. */

import { page } from "./answered";
import { all, button, fill, one } from "./dom";
import type { Shown } from "./guide";
import { id, record } from "./hand";
import { last } from "./jobuse";
import { keep } from "./jobway";
import { lastOther } from "./journal";
import { noteUnder } from "./note";
import { hold, holding } from "./readings";
import { asRead, figure } from "./asread";
import { moment } from "./time";

/** What names a reading: what is measured, how, and in which state of the engine. */
function quantity(card: HTMLElement, section: HTMLElement): string {
  const how = all("dl > div:not([data-model])", section).map((e) => e.textContent);
  return [section.dataset.reading, card.dataset.state, ...how].join("|");
}

/** A reading was answered: it holds for other sheets as long as the machine stands so. */
export function keepRead(step: HTMLElement, at: number): void {
  const section = one(".reading", step);
  if (section) hold(id(), new Date(at).toISOString(), quantity(step, section));
}

/**
 * Offers what was read on another sheet in the same way. Where a sheet asks for a
 * quantity again, or changes something first, it wants another reading, and a check
 * after the repair is always measured.
 */
export function offerReading(card: HTMLElement): void {
  const section = one(".reading", card);
  const input = section && one<HTMLInputElement>("input", section);
  if (!input) return;
  one(".use", section)?.remove();
  const { verification, sets, restores } = card.dataset;
  if (input.value || verification !== undefined || sets || restores) return;
  const held = holding(id());
  const before = last((e) => e.page !== page && held[e.at] === quantity(card, section));
  if (!before) return;
  const values = { value: asRead(before.reading), time: moment(before.at), number: before.number, title: before.title };
  const take = button(fill(word.job.takeOver, values), () => {
    const { value, text } = before.reading;
    input.value = value === undefined ? text : figure(value); // a page in another language reads marks otherwise
    input.dispatchEvent(new Event("input", { bubbles: true }));
    section.dataset.recalled = fill(word.job.taken, values);
    keep(history.state as Shown);
    take.remove();
    input.focus();
  });
  take.className = "use";
  input.closest(".taken")!.before(take);
}

/** A wait that one is tempted to cut short: an engine that cools, not one that warms up. */
const longWait = 30;

/** Says so where a check comes before the engine can be in the state that it wants; it is the technician's to answer even so. */
export function warnSoon(card: HTMLElement, time: string): void {
  const [usual, ...from] = card.dataset.minutes?.split(" ") ?? [];
  const [e, minutes] = (record && lastOther(record, card.dataset.state, time)) ?? [];
  const wanted = from.find((f) => f.startsWith(e?.state + ":"))?.split(":")[1] ?? usual;
  const soon = e && Number(wanted) >= longWait && minutes! < Number(wanted);
  const text = soon ? fill(word.job.since, { number: e.number, minutes: minutes!, wanted: wanted! }) : "";
  card.dataset.since = text;
  noteUnder(card, "too-soon", text);
}
