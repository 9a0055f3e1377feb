/** A time as the reader writes it: with its day, unless that is today. */
export function moment(time: number | string): string {
  const d = new Date(time);
  const today = d.toDateString() === new Date().toDateString();
  return d.toLocaleString([], today ? { timeStyle: "short" } : { dateStyle: "short", timeStyle: "short" });
}
