/**
 * The stopwatch of a timing. It keeps instants of the wall clock, so that
 * neither a dark screen nor a closed page stops it.
 */

import { jobAtHand, keyOf, onJob } from "./athand";
import type { Timed } from "./curve";
import { data, type Limit, type Unit } from "./data";
import { all, button, fill, make, one, own as kept, put } from "./dom";
import { judged, leftOpen, only, show, type Judged } from "./judged";
import { limitOf } from "./model";
import { inSigns } from "./number";
import { fragment } from "./place";
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

/** Where on the screen what the address names stands: who opened the page at what is below a watch, such as the calculator, sees that stay. */
const namedTop = (): number => document.getElementById(fragment())?.getBoundingClientRect().top ?? 0;

function startTiming(section: Timed): void {
  const step = section.closest(".step")!.id;
  const heading = one("h3", section)!;
  const table = one(".marks", section)!;
  const rows = all("[data-mark]", table);
  const last = rows.slice(-1)[0]!;
  const judgedMark = last.dataset.mark!;
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

  const key = (): string => `${keyOf("timing", job)} ${step}`;
  const instant = (mark: string): number => pressed.find((p) => p[0] === mark)?.[1] ?? NaN;
  const taken = (mark: string): number => (instant(mark) - instant("start")) / 1000;
  const tenths = (s: number): string => inSigns(s.toFixed(1));
  /** As the watch shows it: tenths of a second; where the limits are in minutes or hours, those and whole seconds. */
  const timeOf = (s: number): string => {
    if (factor === 1) return `${tenths(s)}\u00a0s`;
    const part = (n: number, u: string): string => (n >= 1 ? `${Math.floor(n)}\u00a0${u} ` : "");
    return `${part(s / 3600, "h")}${part((s / 60) % 60, "min")}${Math.floor(s % 60)}\u00a0s`;
  };

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
    const before = pressed.slice(-1)[0];
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

  /** Against limits in the unit of the times, or words why there are none. */
  function judgeTime(against: Limit | null | undefined | string): Judged {
    const s = taken(judgedMark);
    if (s !== s) return only("");
    // As a meter's bound: √3 of the standard uncertainty (JCGM 100:2008, 4.3.7 and 5.1.2).
    const doubt = Math.sqrt(6 * press2 + (watch[0] * s + watch[1]) ** 2);
    section.dataset.doubt = String(doubt / factor);
    if (typeof against === "string") return only(against);
    return judged(section, against, s / factor, doubt / factor, symbol, {
      low: word.timing.soon,
      high: word.timing.late,
      closeNext: fill(word.timing.closeNext, { bound: leftOpen(doubt, "s") }),
    });
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
    const expected = section.expect?.(taken) ?? null;
    const s = taken(judgedMark);
    show(section, judgeTime(tolerance ? expected : limitOf(spec!)), s === s ? kept(timeOf(s)) : "");
    // For the record of the job, which another script keeps: to the tenth of a second, in the unit of the limits.
    Object.assign(section.dataset, {
      marks: pressed.length ? JSON.stringify(pressed.map(([name, at]) => ({ name, title: titles[name], at: new Date(at).toISOString() }))) : "",
      value: s === s ? String(Number((Math.round(10 * s) / 10 / factor).toFixed(4))) : "",
      time: s === s && factor !== 1 ? timeOf(s) : "",
    });
  }

  function changed(words = ""): void {
    if (pressed.length || recall(key())) remember(key(), pressed); // nothing is kept where nothing was timed
    put(said, words || (running() ? runs() : ""));
    render();
  }

  /** The job at hand may be another one; what was pressed before the first one began is its own. */
  function takeUp(): void {
    const now = jobAtHand();
    if (now === job) return;
    const own = job === "" ? pressed : [];
    if (own.length) remember(key(), []);
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
  const from = namedTop();
  panel.append(clock, list, said, keys, verdict, one(".answers:not(.watch *)", section)!);
  table.before(panel);
  heading.tabIndex = -1;

  takeUp();
  scrollBy(0, namedTop() - from);
  section.addEventListener("benchleaf-plot", render, true);
  one("select[name=model]")?.addEventListener("change", render);
  onJob(takeUp);
  document.addEventListener("click", (e) => {
    if (!(e.target as HTMLElement).closest("[data-do=again], [data-do=other]")) return;
    takeUp();
    if (pressed.length) clear.click();
  });
}

for (const section of all<Timed>(".timing")) startTiming(section);
