/** The model at hand: chosen once, kept for every sheet of the handbook. */

import { onRenewed } from "../desk/renew";
import type { Limit, Spec } from "./data";
import { all, fill, one } from "./dom";
import { linkTo } from "./place";
import { recall, remember } from "./store";

const select = one<HTMLSelectElement>("select[name=model]");
const watchers: (() => void)[] = [];
let title = document.title;

/** Calls a function whenever the model changes. */
export const onModel = (f: () => void): void => void watchers.push(f);

/**
 * The limit of a specification for the chosen model, which has none where the sheet
 * does not hold for it; without one, that of all the sheet's models if they agree.
 * null: they differ, undefined: there is none.
 */
export function limitOf(spec: Spec): Limit | null | undefined {
  const model = select?.value;
  if (model) return spec.limits[model];
  const limits = Object.values(spec.limits);
  return limits.every((l) => String(l) === String(limits[0])) ? limits[0] : null;
}

/** A text with the chosen model's name. */
export const ofModel = (text: string): string => fill(text, { model: select?.selectedOptions[0]?.text ?? "" });

/** Leaves of all values by model the chosen one's, if there is one. */
function show(): void {
  // "" for none, and for one that the sheet does not hold for.
  const model = select && document.body.matches(`[data-models~="${select.value}"]`) ? select.value : "";
  for (const e of all("[data-model]")) {
    const has = (x: Element): boolean => x.matches(`[data-model~="${model}"]`); // nothing has ""
    const any = [...e.parentElement!.children].some(has);
    e.toggleAttribute("hidden", !!model && !has(e) && (any || e.tagName === "LI")); // a part of a picture has no property for it
    for (const label of all(".for", e)) label.hidden = any;
  }
  for (const notice of all("[data-not]")) notice.hidden = notice.dataset.not !== select?.value;
  if (!bound) document.adoptedStyleSheets = []; // chosen.ts has shown the same
  // The head of a print has the title: a sheet of figures says whose they are.
  document.title = title + ofModel(model && " · {model}");
  for (const f of watchers) f();
}

export function startModel(): void {
  if (select) {
    const takeLast = (): void => {
      select.value = recall<string>("model") ?? "";
      if (!select.value) select.selectedIndex = 0; // of one model there is no choice
    };
    takeLast();
    // A key changes a list that is closed, at once: who passes the last entry has not asked for its page.
    let key = 0;
    select.onkeydown = () => (key = setTimeout(() => (key = 0)));
    select.onchange = () => {
      // The last entry leads to the page of models.
      if (select.value.includes(".")) {
        if (!key) location.href = linkTo(select.value);
        return takeLast();
      }
      remember("model", select.value);
      remember("serial", null, "sessionStorage"); // it was another machine's
      show();
    };
    // The way back brings a page, or its fields, as they were.
    onpageshow = () => {
      const before = select.value;
      takeLast();
      if (select.value !== before) show();
    };
  }
  show();
  if (desk)
    onRenewed(() => {
      ({ title } = document);
      queueMicrotask(show); // when all have the new limits
    });
}
