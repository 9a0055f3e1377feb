/**
 * What stands in a procedure's page, behind its last card. Who opens the page at a card, by the code on a machine or from the
 * search, sees that card alone from the first paint on, as the guide will show it: the whole sheet would jump when that comes.
 * Where none comes, going to another card brings the sheet back.
 *
 * Where a job is at hand, its record says which card shows and what is done before it. That comes with the last script: until then
 * the sheet's head shows.
 */

const { dataset } = document.body;
const named = document.getElementById(location.hash.slice(1)); // a card, or what stands in one
const card = named?.closest<HTMLElement>(".end,.step");
if (card) {
  dataset.guided = "";
  onhashchange = () => document.querySelector(".live") || delete dataset.guided;
  card.className += " current";
  // The card shows once something follows this script. The browser scrolls once all scripts are there.
  requestAnimationFrame(() => requestAnimationFrame(() => dataset.head ?? named!.scrollIntoView()));
  if (card != document.querySelector(".step")) dataset.begun = "";
}
try {
  // As store.ts and records.ts keep it; the icon lies in the handbook's folder.
  void document.cookie; // first, as store.ts says
  if (location.search) {
    // Who practises has no job.
  } else if (localStorage[`benchleaf ${document.querySelector("link")!.href.slice(0, -13)} job`][2]) {
    dataset.head = "";
    setTimeout(() => delete dataset.head, 5e3); // whatever comes
  }
} catch {
  // None is at hand, or nothing is kept.
}
