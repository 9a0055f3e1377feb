/**
 * The way back to a page that stands as it was left. WebKit then empties the fields that no browser is to complete, also
 * those that a record is written from. As long as the page is out of sight they are like others.
 */

import { all } from "./dom";

onpagehide = () => {
  for (const e of all<HTMLInputElement>("[autocomplete]")) {
    e.autocomplete = "on";
    setTimeout(() => (e.autocomplete = "off")); // waits for the way back
  }
};
