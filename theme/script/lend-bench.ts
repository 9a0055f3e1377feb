/** What the script of a sheet with calculators lends besides. */

export { drawSoon } from "./calculator";
export { inputs, lives, usable } from "./doubt";
export { labelOf } from "./form";
export { system } from "./system";
