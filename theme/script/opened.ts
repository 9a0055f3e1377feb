/**
 * What stands in a procedure's page, behind its last card. Who opens the page at a card, by the code on a machine or from the
 * search, sees that card alone from the first paint on, as the guide will show it: the whole sheet would jump when that comes.
 * Where none comes, going to another card brings the sheet back.
 *
 * Where a job is at hand, its record says which card shows and what is done before it. That comes with the last script: until then
 * the sheet's head shows.
 */

const { dataset } = document.body;
const card = document.getElementById(location.hash.slice(1))?.closest<HTMLElement>(".step,.end");
if (card) {
  dataset.guided = "";
  if (card.dataset.step !== "1") dataset.begun = "";
  card.classList.add("current");
  requestAnimationFrame(() => dataset.waits ?? card.scrollIntoView()); // the browser does once all scripts are there
  onhashchange = () => document.querySelector(".live") || delete dataset.guided;
}
try {
  // As store.ts and records.ts keep it; the icon lies in the handbook's folder. Who practises has no job.
  void document.cookie; // first, as store.ts says
  if (!location.search && localStorage[`benchleaf ${document.querySelector("link")!.href.slice(0, -13)} job`][2]) {
    dataset.waits = "";
    setTimeout(() => delete dataset.waits, 5e3); // whatever comes
  }
} catch {
  // None is at hand, or nothing is kept.
}
