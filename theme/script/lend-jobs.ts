/** What the script of the jobs page lends besides. */

export { asRead, figure, quantity } from "./asread";
export { beside, load } from "./beside";
export { data } from "./data";
export { own } from "./dom";
export { failed, proved, sound, unproved, unsound } from "./journal";
export { modelName, nameOf } from "./jobname";
export { asLine } from "./jobs-short";
export { pageTitle, withoutCause } from "./jobs-stand";
export { settingOf } from "./stands";
export { clock, dated, day } from "./time";
