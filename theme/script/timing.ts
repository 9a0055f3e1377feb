/**
 * The stopwatch of a timing. It keeps instants of the wall clock, so that
 * neither a dark screen nor a closed page stops it.
 */

import { data, type Limit, type Unit } from "./data";
import { all, button, fill, make, one, put } from "./dom";
import { judged, leftOpen, only, show, type Judged } from "./judged";
import { limitOf } from "./model";
import { format } from "./number";
import type { Curve, Plotted } from "./plot";
import { query } from "./place";
import { recall, remember } from "./store";

/**
 * The square of a press's standard uncertainty, in s. A hand is 0.11 s late, with
 * a standard deviation of 0.07 s. The lags of start and mark cancel where both
 * are noticed alike; here one may be heard and the other seen, so that they
 * count in full.
 *
 * Source: 4304 reaction times of timekeepers, in "Manual timing in physics
 * experiments: Error and uncertainty", American Journal of Physics 87, 110 (2019).
 * "Typically tens or even hundreds of milliseconds" is what NIST Special
 * Publication 960-12, Stopwatch and Timer Calibrations (2009), says.
 */
const press2 = 0.11 ** 2 + 0.07 ** 2;

/**
 * The phone's own watch: a share of the time, which no quartz is off by (from memory), and the
 * tenth that it shows, in s. A meter of the handbook has no part in it.
 */
const watch = [1e-4, 0.1] as const;

/** A second press within so many ms is the bounce of a finger in a glove. */
const bounce = 500;

/** What was pressed without a job, and so many ms ago, is another machine's. */
const fresh = 12 * 3600e3;

/** A mark, "start" for the first, and its instant in ms. */
type Press = [mark: string, at: number];

/** Practice on a planted fault is no job. */
const practice = query().startsWith("?practice=");

const decimal = data.decimal ?? ".";
const points = 97;
const halvings = 30;

/** When a curve first comes to a value, in SI, as the build looks for it; null where it never does. */
function reached({ from, to, value }: Curve, level: number): number | null {
  let rising = false;
  let before = NaN;
  const past = (v: number): boolean => (rising ? v >= level : v <= level);
  for (let i = 0; i < points; i++) {
    let t = from + ((to - from) * i) / (points - 1);
    const v = value(t);
    if (v !== v) before = NaN;
    else if (before !== before) {
      if (v === level) return t;
      rising = v < level;
      before = t;
    } else if (past(v)) {
      for (let n = 0; n < halvings; n++) {
        const middle = before + (t - before) / 2;
        if (past(value(middle))) t = middle;
        else before = middle;
      }
      return t;
    } else before = t;
  }
  return null;
}

function startTiming(section: HTMLElement): void {
  const step = section.closest(".step")!.id;
  const heading = one("h3", section)!;
  const table = one(".marks", section)!;
  const rows = all("[data-mark]", table);
  const last = rows[rows.length - 1]!;
  const judgedMark = last.dataset.mark!;
  const figure = one<Plotted>(".plotted", section);
  const tolerance = Number(section.dataset.tolerance); // NaN for limits from a specification
  const spec = tolerance ? undefined : data.specs?.[section.dataset.reading!];
  const unit: Unit = spec?.units[0] ?? ["s", 1, 0];
  const [symbol, factor] = unit;
  const titles: Record<string, string> = { start: one("tbody th", table)!.textContent! };
  for (const row of rows) titles[row.dataset.mark!] = one("th", row)!.firstChild!.textContent!.trim();

  let job: string | undefined;
  let pressed: Press[] = [];
  /** What was cleared, to be brought back. */
  let cleared: Press[] = [];
  /** The page's own count at the start; the wall clock can be set, this cannot. */
  let count = NaN;
  let timer = 0;

  const key = (): string => `timing ${job} ${document.body.dataset.page} ${step}`;
  const instant = (mark: string): number => pressed.find((p) => p[0] === mark)?.[1] ?? NaN;
  const taken = (mark: string): number => (instant(mark) - instant("start")) / 1000;
  const tenths = (s: number): string => s.toFixed(1).replace(".", decimal);
  /** As the watch shows it: tenths of a second; where the limits are in minutes or hours, those and whole seconds. */
  const timeOf = (s: number): string => {
    if (factor === 1) return `${tenths(s)}\u00a0s`;
    const part = (n: number, u: string): string => (n >= 1 ? `${Math.floor(n)}\u00a0${u} ` : "");
    return `${part(s / 3600, "h")}${part((s / 60) % 60, "min")}${Math.floor(s % 60)}\u00a0s`;
  };
  const computed = (s: number): string => format(s / factor, 3, decimal);

  const panel = make("div");
  panel.className = "watch";
  const clock = make("p");
  clock.className = "clock";
  clock.setAttribute("role", "timer"); // read on request alone
  const list = make("ul");
  list.className = "answers";
  const keys = make("p");
  keys.className = "keys";
  const said = make("p");
  said.setAttribute("role", "status");
  const verdict = document.createElement("output");
  verdict.name = "verdict";

  /** The wall clock was set back: it shows less than the page counted, or goes before what was pressed. */
  const setBack = (now: number): boolean =>
    pressed.some(([, at]) => at > now) || now - instant("start") + 1000 < performance.now() - count;

  function press(mark: string): void {
    const now = Date.now();
    const before = pressed[pressed.length - 1];
    if (before && setBack(now)) return put(said, word.timing.setBack);
    if (before && now - before[1] < bounce) return;
    if (!before) count = performance.now();
    pressed.push([mark, now]);
    changed(before && `${titles[mark]}: ${timeOf(taken(mark))}`);
    const next = one("li:not([hidden]) button", list);
    if (next) return next.focus();
    // The time, its verdict and the answer that follows stand together.
    heading.focus({ preventScroll: true });
    clock.scrollIntoView();
    (one("[data-follows]", section) ?? verdict).scrollIntoView({ block: "nearest" });
  }

  /** What is kept runs on without the page, what a browser refuses to store does not. */
  const runs = (): string =>
    fill(recall(key()) ? word.timing.runs : word.timing.runsHere, { time: new Date(instant("start")).toLocaleTimeString([], { timeStyle: "medium" }) });

  const clear = button(word.timing.clear, () => {
    cleared = pressed;
    pressed = [];
    changed();
  });

  const undo = button("", () => {
    if (pressed.length) pressed.pop();
    else pressed = cleared;
    changed();
  });

  const running = (): boolean => pressed.length > 0 && !instant(judgedMark);

  function tick(): void {
    const now = running() ? Date.now() : instant(judgedMark) || 0;
    const bad = running() && setBack(now);
    put(clock, bad ? "–" : timeOf(pressed.length ? (now - instant("start")) / 1000 : 0));
    if (bad) put(said, word.timing.setBack);
  }

  /** The limit in the unit of the times, or why there is none. */
  function limit(expected: number | null): Limit | null | undefined | Judged {
    if (!tolerance) return limitOf(spec!);
    const curve = figure?.curve;
    if (!curve) return only("");
    if (curve.model) return null;
    if (curve.missing.length) return only(fill(word.verdict.enter, { input: curve.missing.join(", ") }));
    if (expected === null) return only(fill(word.timing.noCurve, { mark: titles[judgedMark]! }));
    return [expected * (1 - tolerance), expected * (1 + tolerance), expected, null]; // in s, as all that has a tolerance
  }

  function judgeTime(expected: number | null): Judged {
    const s = taken(judgedMark);
    if (s !== s) return only("");
    const against = limit(expected);
    if (against && "verdict" in against) return against;
    // As a meter's bound: √3 of the standard uncertainty (JCGM 100:2008, 4.3.7 and 5.1.2).
    const doubt = Math.sqrt(6 * press2 + (watch[0] * s + watch[1]) ** 2);
    section.dataset.doubt = String(doubt / factor);
    return judged(section, against, s / factor, doubt / factor, symbol, {
      low: word.timing.soon,
      high: word.timing.late,
      closeNext: fill(word.timing.closeNext, { bound: leftOpen(doubt, "s") }),
    });
  }

  /** Shows what the curve expects, and returns when the last mark is. */
  function expect(curve: Curve): number | null {
    const svg = one<HTMLElement>("svg.plot", figure!)!;
    const [left, top, width, height] = svg.dataset.box!.split(" ").map(Number) as [number, number, number, number];
    const spots = svg.querySelectorAll(".plot-spot");
    let spot = 0;
    let at: number | null = null;
    for (const row of rows) {
      if (!row.dataset.level) continue;
      const level = Number(row.dataset.level);
      at = reached(curve, level);
      put(row.children[1]!, at === null ? word.timing.never : `${computed(at)}\u00a0${symbol}`);
      const time = taken(row.dataset.mark!);
      const [x, y] = curve.place(time === time ? time : (at ?? NaN), level);
      const e = spots[spot++]!;
      const seen = x >= left && x <= left + width && y >= top && y <= top + height;
      e.setAttribute("display", seen ? "" : "none");
      if (seen) e.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      e.setAttribute("fill", time === time ? "currentColor" : "none");
    }
    if (!last.dataset.level) return null;
    if (tolerance && at !== null) {
      const range = fill(word.limit.range, {
        min: computed(at * (1 - tolerance)),
        max: `${computed(at * (1 + tolerance))}\u00a0${symbol}`,
      });
      const share = `${String(Number((100 * tolerance).toFixed(3))).replace(".", decimal)}\u00a0%`;
      put(one(".limit dd", section)!, fill(word.timing.limit, { tolerance: share, range }));
    }
    return at;
  }

  function render(): void {
    one("li", list)!.hidden = pressed.length > 0;
    all("li[data-for]", list).forEach((li) => (li.hidden = !running() || !!instant(li.dataset.for!)));
    for (const row of rows) {
      const s = taken(row.dataset.mark!);
      put(row.lastElementChild!, s !== s ? "" : factor === 1 ? tenths(s) : timeOf(s));
    }
    put(undo, pressed.length ? word.timing.undo : word.timing.back);
    undo.hidden = !pressed.length && !cleared.length;
    clear.hidden = !pressed.length;
    tick();
    clearInterval(timer);
    if (running()) timer = window.setInterval(tick, 100);
    const expected = figure?.curve ? expect(figure.curve) : null;
    const s = taken(judgedMark);
    show(section, judgeTime(expected), s === s ? timeOf(s) : "");
    // For the record of the job, which another script keeps: to the tenth of a second, in the unit of the limits.
    Object.assign(section.dataset, {
      marks: pressed.length ? JSON.stringify(pressed.map(([name, at]) => ({ name, title: titles[name], at: new Date(at).toISOString() }))) : "",
      value: s === s ? String(Number((Math.round(10 * s) / 10 / factor).toFixed(4))) : "",
      expected: (!figure?.curve?.missing.length && !figure?.curve?.model && expected?.toFixed(2)) || "",
    });
  }

  function changed(words = ""): void {
    remember(key(), pressed);
    put(said, words || (running() ? runs() : ""));
    render();
  }

  /** The job at hand may be another one; what was pressed before the first one began is its own. */
  function takeUp(): void {
    const now = practice ? "practice" : (recall<string>("job") ?? "");
    if (now === job) return;
    const own = job === "" ? pressed : [];
    if (job === "") remember(key(), []);
    job = now;
    pressed = recall<Press[]>(key()) ?? [];
    if (!pressed.length) pressed = own;
    if (!job && Date.now() - instant("start") > fresh) pressed = [];
    cleared = [];
    count = NaN;
    changed();
  }

  const item = (mark: string, text: string): void => {
    const li = make("li");
    if (mark !== "start") li.dataset.for = mark;
    li.append(button(text, () => press(mark)));
    list.append(li);
  };
  item("start", fill(word.timing.start, { mark: titles.start! }));
  for (const row of rows) item(row.dataset.mark!, titles[row.dataset.mark!]!);
  keys.append(undo, " ", clear);
  panel.append(clock, list, said, keys, verdict, one(".answers:not(.watch *)", section)!);
  table.before(panel);
  heading.tabIndex = -1;

  takeUp();
  figure?.addEventListener("benchleaf-plot", render);
  one("select[name=model]")?.addEventListener("change", render);
  document.addEventListener("benchleaf-step", takeUp);
  document.addEventListener("benchleaf-answer", () => setTimeout(takeUp)); // it may begin a job
  document.addEventListener("click", (e) => {
    if (!(e.target as HTMLElement).closest("[data-do=again], [data-do=other]")) return;
    takeUp();
    if (pressed.length) clear.click();
  });
}

for (const section of all(".timing")) startTiming(section);
