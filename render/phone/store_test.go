package phone

import (
	"testing"

	pages "github.com/chromedp/cdproto/page"
)

// askedScript notes which comes first on a page: the question after its cookies, or a look into one of its stores.
const askedScript = `{
	const note = (what, object, key) => {
		const {get, ...rest} = Object.getOwnPropertyDescriptor(object, key);
		Object.defineProperty(object, key, {...rest, get() { window.cameFirst ??= what; return get.call(this); }});
	};
	note("cookie", Document.prototype, "cookie");
	for (const store of ["localStorage", "sessionStorage"]) note(store, window, store);
}`

// TestStoreIsBound looks whether every page asks for its cookies before it looks into a store. In Chromium a page of a new process,
// as one from a folder mostly is, otherwise now and then finds the stores empty, and keeps nothing: a job that was gone on
// with is not at hand, nor its model. To see that takes a busy machine and hundreds of pages; the order shows at once.
func TestStoreIsBound(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	call(b, pages.AddScriptToEvaluateOnNewDocument, pages.AddScriptToEvaluateOnNewDocumentParams{Source: askedScript})
	addresses := []string{bound(t).address("index.html", "")}
	for _, p := range append(d.kinds(), "models.html") {
		addresses = append(addresses, d.address(p))
	}
	for _, address := range addresses {
		b.goTo(address)
		b.waitLive()
		if first := eval[string](b, `window.cameFirst ?? ""`); first != "cookie" {
			t.Errorf("%s begins with %q", address, first)
		}
	}
}
