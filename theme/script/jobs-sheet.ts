/** A record as a sheet: one list of rows, shown, printed, copied and shared alike. */

import { asRead, figure, quantity } from "./asread";
import { data } from "./data";
import { fill, make, own } from "./dom";
import { modelName } from "./jobname";
import { pageTitle, withoutCause } from "./jobs-stand";
import { failed, proved, sound, unproved, unsound } from "./journal";
import { format, inSigns } from "./number";
import type { Entry, Finding, Job, Open, Reading, Timing } from "./record";
import { inShort, limit, unprovedBy, verdictOf } from "./spoken";
import { settingOf } from "./stands";
import { clock, dated, day } from "./time";
import { guardFactor } from "./verdict";

/** A line of a row; one with a verdict stands with its shape. */
export interface Line {
  text: string;
  verdict?: "within" | "outside" | "close";
}

/** A row: what it is about, when it was, and what is to be said of it. */
export interface Row {
  name: string;
  when?: string;
  lines: Line[];
}

export interface Part {
  title: string;
  rows: Row[];
}

const line = (text: string | undefined): Line[] => (text ? [{ text }] : []);

/** What the meter leaves open, or the presses and the watch, as the card says it: that in seconds. */
function doubtOf({ doubt, unit }: Reading, timing?: Timing): string {
  if (!doubt) return "";
  const bound = (v: number, u: string): string => `${format(guardFactor * v, 2)}\u00a0${u}`;
  if (!timing) return fill(word.jobs.doubt, { bound: bound(doubt, unit) });
  return fill(word.jobs.doubtTimed, { bound: bound(doubt * ({ min: 60, h: 3600 }[unit] ?? 1), "s") });
}

/** Said of a reading whose limits hold no more for its machine. */
function gone({ machine }: Job, e: Entry | Open | undefined): Line[] {
  const { spec = "", min, max } = e?.reading ?? {};
  const [unit, limits] = data.now?.[spec] ?? [];
  // A time that is worked out has limits of its own.
  if (!unit || !limits || (min ?? max) === undefined || (e && "timing" in e && e.timing?.expected !== undefined)) return [];
  const now = limits[machine.model ?? ""] ?? Object.values(limits).flat();
  if (now.some(([least, most]) => (least ?? undefined) === min && (most ?? undefined) === max)) return [];
  const text = now.map(([least, most]) => limit({ min: least ?? undefined, max: most ?? undefined, unit })).join(word.list.semicolon);
  return [{ text: fill(word.jobs.limitGone, { limit: text }), verdict: "close" }];
}

function taken(record: Job, e: Entry | Open): Line[] {
  const r = e.reading!;
  const timing = "timing" in e ? e.timing : undefined;
  const bounds = limit(r);
  const doubt = doubtOf(r, timing);
  const [verdict, said] = r.verdict ? verdictOf(r.verdict, { timing }) : [undefined, ""];
  return [
    ...line(r.measure || r.spec),
    ...line([r.red && `${word.reading.red}: ${r.red}`, r.black && `${word.reading.black}: ${r.black}`].filter(Boolean).join(word.list.comma)),
    ...line(r.conditions),
    ...line([asRead(r), bounds && `${word.reading.limit} ${bounds}`, doubt].filter(Boolean).join(word.list.comma)),
    ...(said ? [{ text: said, verdict }] : []),
    ...gone(record, e),
  ];
}

const seconds = (from: string, to: string): string =>
  `${inSigns(((Date.parse(to) - Date.parse(from)) / 1000).toFixed(1))}\u00a0s`;

function timing({ marks, expected, given = [] }: NonNullable<Entry["timing"]>): Line[] {
  return [
    ...marks.map((m, i) => ({ text: `${m.title}: ${i ? seconds(marks[0]!.at, m.at) : clock(m.at)}` })),
    ...(expected === undefined ? [] : [{ text: fill(word.jobs.expected, { time: quantity(Number(expected.toPrecision(3)), "s") }) }]),
    ...line(given.map((g) => `${g.title} ${quantity(g.value, g.unit)}`).join(word.list.comma)),
  ];
}

/** Said where an answer judges a reading that is not noted. */
const noFigure = (e: Entry): Line[] => (e.reading || sound(e) ? [] : [{ text: word.job.noFigure, verdict: "close" }]);

/** A check after a repair, and how long after it. */
function checked(record: Job, { at }: Entry): string {
  const mended = record.findings.map((f) => f.remedy?.at ?? "").filter((t) => t && t <= at).sort().pop();
  if (!mended) return word.jobs.verification;
  return fill(word.jobs.verifiedAfter, { minutes: Math.floor((Date.parse(at) - Date.parse(mended)) / 60000) });
}

const nameOfStep = (e: { number: number; title: string; step: string }): string => `${e.number} ${e.title || e.step}`;

/** The steps, with the procedure's title wherever another begins, and the day wherever it is another. */
function steps(record: Job): Part[] {
  const parts: Part[] = [];
  let page = "";
  let date = day(record.begun);
  for (const e of record.entries) {
    if (e.page !== page) {
      page = e.page;
      parts.push({ title: pageTitle(page), rows: [] });
    }
    const now = day(e.at);
    const from = clock(e.shown);
    const to = clock(e.at);
    const hours = from === to ? to : `${from}–${to}`;
    parts[parts.length - 1]!.rows.push({
      name: nameOfStep(e),
      when: [now !== date && now, hours, e.state && (data.states?.[e.state] ?? e.state)].filter(Boolean).join(word.list.comma),
      lines: [
        ...line(e.verification ? checked(record, e) : ""),
        ...(e.reading ? taken(record, e) : []),
        ...(e.timing ? timing(e.timing) : []),
        ...noFigure(e),
        ...line(`→ ${e.said || e.to}`),
      ],
    });
    date = now;
  }
  return parts;
}

/** What is said of an end by answers that prove nothing. */
const notProved = (list: Entry[]): Line[] =>
  list.length ? [{ text: fill(word.job.unsound, { what: list.map(unprovedBy).join(word.list.semicolon) }), verdict: "close" }] : [];

/** Whether a repair holds. */
function held(record: Job, f: Finding): Line {
  if (proved(record, f)) return { text: fill(word.jobs.proved, { time: dated(f.repaired!) }), verdict: "within" };
  const check = failed(record, f);
  if (check) return { text: fill(word.job.failed, { number: check.number }), verdict: "outside" };
  const open = unproved(record, f);
  const readings = open.map(unprovedBy).join(word.list.semicolon);
  return { text: open.length ? fill(f.remedy ? word.job.unproved : word.job.unprovedFound, { readings }) : word.jobs.notProved, verdict: "close" };
}

function finding(record: Job, f: Finding): Row {
  if (f.end !== "cause") return { name: withoutCause(record, f), when: dated(f.at), lines: f.end === "hand-over" ? [] : notProved(unsound(record, f)) };
  const condemning = f.condemnedBy === undefined ? undefined : record.entries[f.condemnedBy];
  const seen = record.entries.find((e) => e.at === f.at);
  const shown = seen && sound(seen) ? fill(word.job.shown, { number: seen.number, said: seen.said }) : "";
  const proof = condemning?.reading
    ? fill(word.jobs.condemnedBy, { step: nameOfStep(condemning), reading: inShort(condemning) })
    : `${shown} ${word.jobs.notCondemned}`.trim();
  return {
    name: f.title || f.cause!,
    when: dated(f.at),
    lines: [
      ...line(f.part && `${word.end.part}: ${f.partTitle || f.part}`),
      ...(f.part ? line(proof) : notProved(seen && !sound(seen) ? [seen] : [])),
      ...gone(record, condemning),
      ...(f.remedy
        ? line(
            [`${word.end.remedy}: ${f.remedy.text || word.page.done}`, f.remedy.replaced ? word.job.replaced : word.job.kept, clock(f.remedy.at)].join(word.list.comma),
          )
        : []),
      held(record, f),
    ],
  };
}

const row = (name: string, text: string | undefined): Row[] => (text ? [{ name, lines: [{ text }] }] : []);

/** Everything of a record. */
export function sheet(record: Job): Part[] {
  const { machine: m, handbook: h } = record;
  const note = row(word.jobs.note, record.note);
  // Of one part its finding says enough.
  const fitted = record.findings.flatMap((f) => (f.remedy?.replaced ? row(f.partTitle || f.part || f.title || f.cause!, dated(f.remedy.at)) : []));
  const parts: Part[] = [
    {
      title: word.jobs.machine,
      rows: [
        ...row(word.bar.model, modelName(m.model)),
        ...row(word.jobs.serial, m.serial),
        ...row(word.jobs.hours, m.hours === undefined ? "" : figure(m.hours)),
        ...row(word.jobs.fitted, m.fitted),
        ...row(word.jobs.drives, m.drives),
        ...row(word.jobs.ambient, record.ambient && quantity(record.ambient.value, record.ambient.unit)),
        ...row(word.jobs.complaint, record.complaint),
        ...row(word.jobs.meter, record.meter),
        ...(record.findings.length ? [] : note),
        ...row(word.jobs.begun, dated(record.begun)),
        ...row(word.jobs.changed, dated(record.changed)),
        ...row(word.jobs.closed, record.closed && dated(record.closed)),
        ...row(word.jobs.number, record.id),
        ...row(word.page.handbook, [h.title || word.jobs.shortened, fill(word.page.edition, { edition: h.edition }), h.date && own(h.date)].filter(Boolean).join(word.list.comma)),
      ],
    },
    ...steps(record),
    {
      title: word.jobs.open,
      rows: (record.open ?? []).map((o) => ({ name: nameOfStep(o), when: dated(o.at), lines: taken(record, o) })),
    },
    {
      title: word.job.ruledOut,
      rows: record.ruledOut.map((r) => {
        const by = record.entries[r.entry]!;
        return { name: r.title || r.cause, lines: [{ text: fill(word.jobs.byStep, { step: nameOfStep(by) }) }, ...gone(record, by)] };
      }),
    },
    { title: word.jobs.findings, rows: record.findings.length ? [...record.findings.map((f) => finding(record, f)), ...note] : [] },
    { title: word.job.fitted, rows: fitted.length > 1 ? fitted : [] },
    { title: word.job.left, rows: record.left.map(settingOf).map(([name, restore]) => ({ name, lines: line(restore) })) },
  ];
  return parts.filter((p) => p.rows.length);
}

/** The sheet as elements. */
export function shown(parts: Part[]): HTMLElement[] {
  return parts.flatMap(({ title, rows }) => {
    const list = make("ol");
    list.classList.toggle("many", rows.length > 1);
    for (const r of rows) {
      const item = make("li");
      item.classList.toggle("line", !r.when && r.lines.length === 1);
      item.append(make("b", r.name), " ");
      if (r.when) item.append(make("span", r.when), " ");
      for (const l of r.lines) {
        const p = make("p", l.text);
        if (l.verdict) p.dataset.verdict = l.verdict;
        item.append(p);
      }
      list.append(item);
    }
    return [make("h3", title), list];
  });
}

/** The shapes of the verdicts, for texts that have no picture. */
const shapes = { within: "✓", outside: "×", close: "≈" };

/** The sheet as a text for people: short lines, everything on it. */
export function asText(title: string, parts: Part[]): string {
  const lines = [title];
  for (const part of parts) {
    lines.push("", part.title.toLocaleUpperCase(document.documentElement.lang));
    for (const r of part.rows) {
      const said = r.lines.map((l) => (l.verdict ? `${shapes[l.verdict]} ${l.text}` : l.text));
      if (!r.when && said.length === 1) lines.push(`${r.name}: ${said[0]}`);
      else lines.push(r.when ? `${r.name} (${r.when})` : r.name, ...said.map((s) => `  ${s}`));
    }
  }
  return lines.join("\n").replaceAll("\u00a0", " ") + "\n";
}
