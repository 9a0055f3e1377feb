/** The short text form of a record, as docs/record.md has it: one line for a QR code. */

import type { Entry, Job, Reading } from "./record";

/** A text in the form's alphabet: capital letters stand for small ones. */
const capitals = (text = ""): string =>
  [...new TextEncoder().encode(text)]
    .map((b) => {
      const c = String.fromCharCode(b);
      if (/[a-z]/.test(c)) return c.toUpperCase();
      if (/[A-Z]/.test(c)) return "$" + c;
      return /[-0-9./+ ]/.test(c) ? c : "%" + b.toString(16).toUpperCase().padStart(2, "0");
    })
    .join("");

const figure = (v?: number): string => (v === undefined ? "" : String(v).toUpperCase());
const base36 = (v: number): string => v.toString(36).toUpperCase();

/** Where a field's zero goes without saying. */
const orEmpty = (zero: string): string => (zero === "0" ? "" : zero);

const seconds = (t: string): number => Math.floor(Date.parse(t) / 1000);

export const codes: Record<string, string> = { low: "L", within: "W", high: "H", none: "N", unstable: "U", close: "C", "": "" };
export const ends = { cause: "C", "hand-over": "H", "not-reproduced": "N" };

/** CRC-32 of ISO-HDLC: reflected, polynomial EDB88320. */
export function check(text: string): string {
  let crc = -1;
  for (const c of text) {
    crc ^= c.charCodeAt(0);
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (~crc >>> 0).toString(16).toUpperCase().padStart(8, "0");
}

const read = (r?: Reading): string[] =>
  r ? [capitals(r.spec), figure(r.value), capitals(r.unit), figure(r.min), figure(r.max), codes[r.verdict]!] : [];

/** Where an entry leads: nothing where that is the next one. */
function leads(e: Entry, next?: Entry): string {
  if (next && next.page === e.page && e.to === "#" + next.step) return "";
  return capitals(/^#[^/]/.test(e.to) ? e.to.slice(1) : "/" + e.to);
}

export function asLine(job: Job): string {
  let text = "BENCHLEAF-1";
  let page = "";
  const part = (kind: string, ...fields: string[]): void => void (text += `*${kind}${fields.join(":").replace(/:+$/, "")}`);
  const turn = (to: string): void => {
    if (to !== page) part("P", capitals((page = to)));
  };
  const begun = seconds(job.begun);
  const since = (t?: string): string => (t ? base36(seconds(t) - begun) : "");
  const { handbook: h, machine: m } = job;
  part("J", capitals(job.id), capitals(h.edition), capitals(h.language), capitals(m.model), capitals(m.serial), figure(m.hours), base36(begun), orEmpty(since(job.changed)), since(job.closed));
  let last = begun;
  job.entries.forEach((e, i) => {
    turn(e.page);
    const [shown, at] = [seconds(e.shown), seconds(e.at)];
    part("E", capitals(e.step), String(e.number), codes[e.outcome ?? ""]!, leads(e, job.entries[i + 1]), orEmpty(base36(shown - last)), orEmpty(base36(at - shown)), e.verification ? "V" : "", ...read(e.reading));
    last = at;
  });
  for (const r of job.ruledOut) {
    turn(r.page);
    part("R", capitals(r.cause), String(r.entry));
  }
  for (const f of job.findings) {
    turn(f.page);
    part("F", ends[f.end], capitals(f.cause), capitals(f.part), orEmpty(since(f.at)), figure(f.condemnedBy), f.remedy ? String(+f.remedy.replaced) : "", since(f.remedy?.at), since(f.repaired));
  }
  if (job.left.length) text += "*L" + job.left.map(capitals).join(":");
  return `${text}*${check(text)}`;
}
