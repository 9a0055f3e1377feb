/** What the first script of a page lends to those behind it. See lend.go. */

export { all, button, fill, make, one, put } from "./dom";
export { here, hrefOf, pageAddress } from "./place";
export { recall, remember } from "./store";
