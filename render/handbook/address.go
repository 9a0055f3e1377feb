package handbook

import (
	"net/url"
	"path"
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// At returns the address of a file of the edition on its host, with an anchor
// where it leads to one; "" for a handbook that has no address.
func (h *Handbook) At(file, anchor string) string {
	if h.Address == "" {
		return ""
	}
	u := url.URL{Path: file, Fragment: anchor}
	return h.Address + strings.TrimPrefix(u.String(), "./")
}

// CodePath is where the picture of a page's address lies in the edition.
func CodePath(file string) string {
	return codeFolder + "/" + strings.TrimSuffix(file, path.Ext(file)) + ".png"
}

const codeFolder = "qr"

// address checks the address of the folder in which the edition lies on its host.
func (r *resolver) address(t source.Text) {
	if !t.Given() {
		return
	}
	u, err := url.Parse(t.Value)
	if err != nil || u.Scheme != "https" || u.Hostname() == "" || u.User != nil || u.RawQuery != "" || u.ForceQuery || strings.Contains(t.Value, "#") ||
		path.Ext(u.Path) == ".html" || len(t.Value) > mostAddress {
		r.addressWrong = true
		r.remarks.Add(remark.ValueText, t.Place, t.Value, "address of a folder", "https://handbook.example/engines/")
		return
	}
	r.book.Address = strings.TrimSuffix(u.String(), "/") + "/"
}

// mostAddress leaves room in a code for the path of a page.
const mostAddress = 200
