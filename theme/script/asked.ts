/**
 * What stands in the head of the search page. Who comes with a query sees the places that it has found, not the list of all sheets:
 * until search.ts has them, that list and what stands below would only move away. Where it never comes they show.
 */

if (/[?#&]q=./.test(location.href)) {
  const { dataset } = document.documentElement;
  dataset.asked = "";
  setTimeout(() => delete dataset.asked, 1e4);
}
