/** What the script of a sheet lends besides. */

export { jobAtHand, keyOf, onJob } from "./athand";
export { data, unitFor } from "./data";
export { ids, own } from "./dom";
export { has, judged, leftOpen, only, show } from "./judged";
export { limitOf } from "./model";
export { format, inSigns, typedIn } from "./number";
export { painted } from "./painted";
export { fragment, linkTo, query } from "./place";
export { sideOf } from "./reading";
export { forget } from "./store";
export { fromSI } from "./unit";
export { judge } from "./verdict";
