/** The label on a machine leads to the finder on its host, and says the model. */

import { one } from "./dom";

const model = new URLSearchParams(location.search).get("model") ?? "";
const option = one<HTMLOptionElement>(`select[name=model] option[value="${CSS.escape(model)}"]`);
if (model && option) {
  option.selected = true;
  one("select[name=model]")!.dispatchEvent(new Event("change"));
  history.replaceState(null, "", location.pathname + location.hash); // it is said once
}
