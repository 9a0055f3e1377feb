/** The reader's own way of writing times, in the language of the page. */
function locale(): string {
  const page = document.documentElement.lang;
  return navigator.languages.find((l) => l.split("-")[0] === page.split("-")[0]) ?? page;
}

type Style = "short" | "medium";

/** Each format is made once: a list has hundreds of times, and a slow phone takes a tenth of a second to make its first one. */
const formats: Record<string, Intl.DateTimeFormat> = {};

const write = (time: number | string, dateStyle?: Style, timeStyle?: Style): string =>
  (formats[dateStyle + "" + timeStyle] ??= new Intl.DateTimeFormat(locale(), { dateStyle, timeStyle })).format(new Date(time));

/** A time as the reader writes it: with its day, unless that is today. */
export const moment = (time: number | string): string =>
  write(time, new Date(time).toDateString() === new Date().toDateString() ? undefined : "short", "short");

/** The parts of a time as paper has them, whatever day it is read on. */
export const clock = (time: string): string => write(time, undefined, "short");
export const day = (time: string): string => write(time, "medium");
export const dated = (time: string): string => `${day(time)}, ${clock(time)}`;
