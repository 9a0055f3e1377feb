/** The reader's own way of writing times, in the language of the page. */
function locale(): string {
  const page = document.documentElement.lang;
  return navigator.languages.find((l) => l.split("-")[0] === page.split("-")[0]) ?? page;
}

/** A time as the reader writes it: with its day, unless that is today. */
export function moment(time: number | string): string {
  const d = new Date(time);
  const today = d.toDateString() === new Date().toDateString();
  return d.toLocaleString(locale(), today ? { timeStyle: "short" } : { dateStyle: "short", timeStyle: "short" });
}

/** The parts of a time as paper has them, whatever day it is read on. */
export const clock = (time: string): string => new Date(time).toLocaleTimeString(locale(), { timeStyle: "short" });
export const day = (time: string): string => new Date(time).toLocaleDateString(locale(), { dateStyle: "medium" });
export const dated = (time: string): string => `${day(time)}, ${clock(time)}`;
