/** Serial numbers: which models have one. handbook.Serials is the same in the build. */

import { western } from "./figures";

/** A range: its model, what stands before and behind the figures that count, and the first and the last of these; "" for none. */
export type Serials = [model: string, head: string, tail: string, low: string, high: string];

/** A serial number as it is compared: without what parts its letters and figures, in capitals. */
export const plain = (text: string): string => western(text).replace(/[^\p{L}\p{N}]/gu, "").toUpperCase();

/** Whether figures count beyond others, or stand before them. */
const after = (a: string, b: string): boolean => a.length > b.length || (a.length === b.length && a > b);

export function has([, head, tail, low, high]: Serials, number: string): boolean {
  const figures = number.slice(head.length, number.length - tail.length);
  return (
    head + figures + tail === number &&
    /^[0-9]+$/.test(figures) &&
    !after(low, figures) &&
    (!high || !after(figures, high)) &&
    // A number that grows beyond the width of the first has no zero before it.
    (figures.length === low.length || figures[0] !== "0")
  );
}

/** The models that have a serial number. */
export const modelsOf = (number: string, list: Serials[]): string[] => [...new Set(list.filter((s) => has(s, number)).map(([model]) => model))];

const figure = (text: string): string => text.replace(/O/g, "0").replace(/I/g, "1");

/** Numbers that some model has, and that look like one that none has: O and 0, I and 1 are taken for each other, and zeros before the figures left out. */
export function alike(number: string, list: Serials[]): string[] {
  const looks = figure(number);
  const found = list.flatMap(([model, head, tail, low, high]) => {
    const [before, behind] = [figure(head), figure(tail)];
    const typed = looks.slice(before.length, looks.length - behind.length);
    const figures = typed.padStart(low.length, "0");
    if (!typed || before + typed + behind !== looks || !has([model, before, behind, low, high], before + figures + behind)) return [];
    return [head + figures + tail];
  });
  return [...new Set(found)];
}

/**
 * A number as it was typed, without what stands before it only to say that it is one, in the page's words
 * or in those of plates, where it is some model's only so.
 */
export function unlabelled(text: string, list: Serials[]): string {
  const known = (t: string): boolean => !![...modelsOf(plain(t), list), ...alike(plain(t), list)][0];
  const rest = text.replace(RegExp(`^\\s*(?:${word.models.field})?[\\s:]*(?:s[/.]?\\s*n|(?:ser\\p{L}*[\\s.]*)?(?:n(?:o|r|[º°]|[uú]m\\p{L}*)|№)?)[\\s.:#]+`, "iu"), "");
  return !known(text) && known(rest) ? rest : text;
}
