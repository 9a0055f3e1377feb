/** Reads the short text form, as docs/record.md has it and render/record does. */

import { check, codes, ends } from "./jobs-short";
import { refuse } from "./refusal";

/** The last second that RFC 3339 can write. */
const latest = 253402300799;

const turned = (of: Record<string, string>): Record<string, string> => Object.fromEntries(Object.entries(of).map(([key, code]) => [code, key]));
const words = turned(codes);
const endWords = turned(ends);

/** The fields of a part, taken one by one; those left out at its end are empty. */
function part(text: string, place: string) {
  const fields = text.slice(1).split(":");
  const bad = (): never => refuse(word.jobs.badType, place);
  const next = (): string => fields.shift() ?? "";
  const number = (form: RegExp): number | undefined => {
    const field = next();
    if (!field) return undefined;
    return form.test(field) && isFinite(Number(field)) ? Number(field) : bad();
  };
  /** A time field; undefined for an empty one. */
  const since = (): number | undefined => {
    const field = next();
    if (!field) return undefined;
    const s = /^-?[\dA-Z]+$/.test(field) ? parseInt(field, 36) : NaN;
    return Math.abs(s) <= latest ? s : bad();
  };
  return {
    kind: text[0],
    bad,
    next,
    since,
    seconds: (): number => since() ?? 0,
    number: () => number(/^[-+]?(\d+\.?\d*|\.\d+)(E[-+]?\d+)?$/),
    whole: () => number(/^[-+]?\d+$/),
    /** The word of a code, "" for an empty field. */
    among: (of: Record<string, string>): string => of[next()] ?? bad(),
    text: (): string => {
      const field = next();
      if (!/^(\$?[A-Z]|[-0-9./+ ]|%[\dA-F]{2})*$/.test(field)) bad();
      try {
        return decodeURIComponent(field.replace(/%..|\$?[A-Z]/g, (c) => (c[0] === "%" ? c : (c[1] ?? c.toLowerCase()))));
      } catch {
        return bad(); // no UTF-8
      }
    },
    left: () => fields.length,
  };
}

/** A record with what the line has, still to be checked as any other is; what the form leaves out is empty. */
export function fromLine(line: string): unknown {
  const version = /^BENCHLEAF-([1-9]\d*)(?![^*])/.exec(line)?.[1];
  if (Number(version) > 1) refuse(word.jobs.badVersion);
  const end = line.lastIndexOf("*");
  if (!version || check(line.slice(0, end)) !== line.slice(end + 1)) refuse(word.jobs.badShort);
  let page = "";
  let begun = 0;
  let last = 0;
  let head: object | undefined;
  const entries: { page: string; step: string; to?: string }[] = [];
  const ruledOut: object[] = [];
  const findings: object[] = [];
  const left: string[] = [];
  const iso = (s: number | undefined): string | undefined => (s === undefined ? undefined : new Date(s * 1000).toISOString().slice(0, -5) + "Z");
  const after = (s: number | undefined): string | undefined => iso(s === undefined ? s : begun + s);
  for (const [i, text] of line.slice(0, end).split("*").slice(1).entries()) {
    const p = part(text, String(i + 1));
    if ((p.kind === "J") !== !i) p.bad();
    if (p.kind === "J") {
      head = {
        id: p.text(),
        handbook: { title: "", edition: p.text(), language: p.text() },
        machine: { model: p.text() || undefined, serial: p.text() || undefined, hours: p.number() },
        begun: iso((last = begun = p.seconds())),
        changed: after(p.seconds()),
        closed: after(p.since()),
      };
    } else if (p.kind === "P") {
      page = p.text() || p.bad();
    } else if (p.kind === "E") {
      const step = { page, step: p.text(), number: p.whole(), title: "", outcome: p.among(words) || undefined, said: "" };
      const to = p.text();
      const shown = last + p.seconds();
      last = shown + p.seconds();
      const flags = p.next();
      if (flags && flags !== "V") p.bad();
      const reading = p.left() ? { spec: p.text(), measure: "", text: "", value: p.number(), unit: p.text(), min: p.number(), max: p.number(), verdict: p.among(words) } : undefined;
      entries.push({ ...step, ...(to && { to: to[0] === "/" ? to.slice(1) : "#" + to }), ...{ shown: iso(shown), at: iso(last), verification: !!flags || undefined, reading } });
    } else if (p.kind === "R") {
      ruledOut.push({ page, cause: p.text(), title: "", entry: p.whole() });
    } else if (p.kind === "F") {
      const finding = { page, end: p.among(endWords), cause: p.text() || undefined, part: p.text() || undefined, at: after(p.seconds()), condemnedBy: p.whole() };
      const replaced = p.next();
      const at = after(p.since());
      if (!/^[01]?$/.test(replaced) || !replaced !== !at) p.bad();
      findings.push({ ...finding, remedy: at && { text: "", replaced: replaced === "1", at }, repaired: after(p.since()) });
    } else if (p.kind === "L") {
      while (p.left()) left.push(p.text());
    } else p.bad();
    if (p.left()) p.bad();
  }
  // An answer without a place leads to the next step of its page.
  entries.forEach((e, i) => {
    const next = entries[i + 1];
    if (next?.page === e.page) e.to ??= "#" + next.step;
  });
  // Keys without a value are left out.
  return JSON.parse(JSON.stringify({ record: 1, ...head, entries, ruledOut, findings, left })) as unknown;
}
