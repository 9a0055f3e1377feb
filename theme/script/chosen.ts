/**
 * What stands in the head of a page with values by model, and is taken away by model.ts: before that is there, a page shows
 * what is left of it for the chosen model, so that nothing moves. A browser without :has() shows all of it until then.
 */

try {
  void document.cookie; // first, as store.ts says
  // As store.ts keeps it, in quotes; the icon lies in the handbook's folder.
  const model = localStorage[`benchleaf ${document.querySelector("link")!.href.slice(0, -13)} model`] as string;
  const has = `[data-model~=${model}]`;
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(
    `[data-not=${model}]{display:block!important}[data-models~=${model}] :is(:has(>${has})>[data-model]:not(${has}),:has(>${has})>[data-model] .for,li[data-model]:not(${has})){display:none}`,
  );
  document.adoptedStyleSheets = [sheet];
} catch {
  // Nothing is kept, or such sheets are not known.
}
