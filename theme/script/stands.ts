/** Settings of the machine, by their ids. */

import { data } from "./data";
import type { Job } from "./record";
import { recall, remember } from "./store";

/** With the engine states that allow it; all do where none is named. */
type Setting = [title: string, restore: string, states?: string];

/** Those of all pages that this phone has shown: a job goes over several. */
const settings = { ...recall<Record<string, Setting>>("settings"), ...data.settings };
if (data.settings) remember("settings", settings);

/** Its title, and what to do to put it back. */
export const settingOf = (id: string): Setting => settings[id] ?? [id, ""];

/** What still stands, in words, last off first on; "" for nothing. */
export const stands = ({ left }: Job): string =>
  left.length ? `${word.job.left}: ${[...left].reverse().map((id) => settingOf(id)[0]).join(word.list.comma)}` : "";
