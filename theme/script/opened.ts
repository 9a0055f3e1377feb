/**
 * What stands in a procedure's page, behind its last card. Who opens the page at a card, by the code on a machine or from the
 * search, sees that card alone from the first paint on, as the guide will show it: the whole sheet would jump when that comes.
 * Where none comes, going to another card brings the sheet back.
 */

const card = document.getElementById(location.hash.slice(1))?.closest<HTMLElement>(".step, .end");
if (card) {
  const { body } = document;
  body.dataset.guided = "";
  if (card.dataset.step !== "1") body.dataset.begun = "";
  card.classList.add("current");
  requestAnimationFrame(() => card.scrollIntoView()); // the browser does once all scripts are there
  onhashchange = () => document.querySelector(".live") || delete body.dataset.guided;
}
