/**
 * What stands in the head of a procedure's page. Nothing shows before all of a procedure is there, as its address, or the job
 * at hand, may name a card far below. Where neither can, its head shows first: a phone that has not kept anything has no job.
 */
try {
  location.hash || localStorage.length || (document.querySelector<HTMLLinkElement>("[rel=expect]")!.href = "#_head");
} catch {
  // Nothing may be kept here.
}
