package handbook

import (
	"bytes"
	"net/url"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// CauseAnchor is the id of a cause's section on its page.
func CauseAnchor(id string) string { return "cause-" + id }

// EndAnchor is the id of an end's section on its page.
func EndAnchor(id string) string { return "end-" + id }

// Written is a heading, a cause or an end of the page as an author writes it; "" for another target.
func (t Target) Written() string {
	switch t.Kind {
	case ToHeading, ToNowhere: // what a mistaken target was probably meant for
		if t.ID != "" {
			return "#" + t.ID
		}
	case ToCause:
		return "cause:" + strings.TrimPrefix(t.ID, CauseAnchor(""))
	case ToEnd:
		return "end:" + strings.TrimPrefix(t.ID, EndAnchor(""))
	}
	return ""
}

// CalculatorAnchor is the id of a calculator on its page.
func CalculatorAnchor(name string) string { return "calculator-" + name }

// reserved tells whether a heading may not have the id, because something else
// on a page has or could have it.
func reserved(id string) bool {
	numbered := false
	for _, kind := range []string{"plot-", "self-check-", "callout-"} { // of a plot, of its picture's title, ...
		number, ok := strings.CutPrefix(id, kind)
		numbered = numbered || ok && number != "" && number[0] >= '0' && number[0] <= '9'
	}
	return id == "page-data" || strings.HasPrefix(id, CauseAnchor("")) || strings.HasPrefix(id, EndAnchor("")) ||
		strings.HasPrefix(id, CalculatorAnchor("")) || strings.HasPrefix(id, "state-") || numbered
}

// Endings of the files that a page may show or lead to.
var (
	pictureEndings = []string{".svg", ".png", ".jpg", ".jpeg", ".webp"}
	assetEndings   = append([]string{".pdf", ".csv", ".txt"}, pictureEndings...)
)

// referenceSchemes are the schemes of the handbook's own references. Those in
// headingSchemes say something about a step and are printed nowhere.
var (
	referenceSchemes = []string{"spec", "cause", "part", "calculator", "callout", "end", "hazard"}
	headingSchemes   = []string{"id", "minutes"}
	outwardSchemes   = []string{"http", "https", "mailto", "tel"}
)

// schemeOf is the scheme with which an address begins (RFC 3986, 3.1), "" for none.
func schemeOf(to string) string {
	for i := range len(to) {
		switch c := to[i]; {
		case 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z':
		case i == 0:
			return ""
		case c == ':':
			return to[:i]
		case '0' <= c && c <= '9' || c == '+' || c == '.' || c == '-':
		default:
			return ""
		}
	}
	return ""
}

// links resolves every link, reference and picture below a node. place gives
// the place of one of its nodes, src is the text that their offsets count in.
func (r *pageResolver) links(doc ast.Node, src []byte, place func(ast.Node) remark.Place) {
	if doc == nil { // a text that was not given
		return
	}
	source.Each(doc, func(n ast.Node) {
		switch n := n.(type) {
		case *ast.Link:
			if r.countLink(n.Destination, n.Title, place(n)) {
				r.link(n, destination(n.Destination), place(n))
			}
		case *ast.Image:
			r.images = append(r.images, n)
			if r.countLink(n.Destination, n.Title, place(n)) {
				r.image(n, src, place(n))
			}
		case *ast.AutoLink:
			if n.AutoLinkType == ast.AutoLinkURL {
				r.autoLink(n, string(n.URL(src)), place(n))
			}
		case *ast.RawHTML:
			r.rawHTML(rawText(n, src), place(n))
		case *ast.HTMLBlock:
			r.rawHTML(blockText(n, src), place(n))
		}
	})
}

// maxLinks bounds the links of a page together, in bytes with their titles: a
// link that is defined once can be used many times, and is printed each time.
const maxLinks = 2 << 20

// countLink tells whether a link still fits into the page.
func (r *pageResolver) countLink(to, title []byte, at remark.Place) bool {
	fitted := r.linkBytes <= maxLinks
	r.linkBytes += len(to) + len(title)
	if fitted && r.linkBytes > maxLinks {
		r.remarks.Add(remark.TextLimit, at, "the page with this link", "more bytes of links", strconv.Itoa(maxLinks))
	}
	return r.linkBytes <= maxLinks
}

func (r *pageResolver) link(n ast.Node, to string, at remark.Place) {
	if target, outward := r.target(to, at); !outward {
		r.page.Links[n] = target
	}
}

// destination resolves what Markdown writes otherwise, so that no scheme hides
// behind an escape or an entity.
func destination(raw []byte) string {
	if bytes.IndexByte(raw, '\\') < 0 && bytes.IndexByte(raw, '&') < 0 {
		return string(raw)
	}
	return string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(raw))))
}

// autoLink resolves a reference in angle brackets. In a heading some say
// something about the step and are not printed.
func (r *pageResolver) autoLink(n *ast.AutoLink, to string, at remark.Place) {
	scheme, _, _ := strings.Cut(to, ":")
	_, inHeading := n.Parent().(*ast.Heading)
	if inHeading && contains(headingSchemes, scheme) {
		r.page.Links[n] = Target{Kind: Unprinted}
		return
	}
	r.link(n, to, at)
	if target := r.page.Links[n]; inHeading && target.Kind == ToHazard {
		target.Kind = Unprinted
		r.page.Links[n] = target
	}
}

func (r *pageResolver) image(n *ast.Image, src []byte, at remark.Place) {
	if target, ok := r.pictureAt(destination(n.Destination), string(n.Destination), at, standsAlone(n)); ok {
		r.page.Links[n] = target
	}
	if plainText(n, src) == "" {
		r.remarks.Add(remark.PictureText, at)
	}
}

// rawHTML remarks on markup that will not be passed through. Comments are let
// go: they show nothing anyway.
func (r *pageResolver) rawHTML(text string, at remark.Place) {
	if !strings.HasPrefix(strings.TrimSpace(text), "<!--") && !strings.HasPrefix(text, "</") {
		r.remarks.Add(remark.RawHTML, at)
	}
}

// target resolves where a link leads. outward is true for addresses on other
// hosts, which are left as they are.
func (r *pageResolver) target(to string, at remark.Place) (target Target, outward bool) {
	scheme := strings.ToLower(schemeOf(to))
	name := source.Text{Value: to[min(len(to), len(scheme)+1):], Place: at}
	switch {
	case scheme == "":
		return r.relative(to, at), false
	case contains(outwardSchemes, scheme):
		return Target{}, true
	case contains(referenceSchemes, scheme):
		return r.named(scheme, name), false
	case len(scheme) == 1: // a disk, as in C:\pictures
		r.remarks.Add(remark.LinkOutside, at, to)
		return Target{}, false
	}
	why := remark.LinkUnsafe.At(at, scheme)
	if near := remark.Nearest(scheme, append(referenceSchemes[:len(referenceSchemes):len(referenceSchemes)], headingSchemes...)); near != "" && near != scheme {
		why = why.Instead("Did you mean `%s:`?", near)
	} else if contains(headingSchemes, scheme) {
		why = why.Instead("`<%s:...>` stands in a heading.", scheme)
	}
	r.remarks = append(r.remarks, why)
	return Target{}, false
}

// named resolves a reference of the handbook's own.
func (r *pageResolver) named(scheme string, name source.Text) Target {
	book, complete := r.whole.book, r.whole.complete
	switch scheme {
	case "spec":
		if s := r.spec(name); s != nil {
			return Target{Kind: ToSpec, Spec: s}
		}
	case "part":
		if p := findIn(&r.remarks, complete[kindPart], kindPart, book.Parts, name); p != nil {
			return Target{Kind: ToPart, Part: p}
		}
	case "hazard":
		if h := findIn(&r.remarks, complete[kindHazard], kindHazard, book.Hazards, name); h != nil {
			return Target{Kind: ToHazard, Hazard: h}
		}
	case "cause":
		var causes []*Cause
		if r.page.Procedure != nil {
			causes = r.page.Procedure.Causes
		}
		if c := findIn(&r.remarks, !r.sheetUnknown() && !r.keyTwice, kindCause, causes, name); c != nil {
			return Target{Kind: ToCause, ID: CauseAnchor(c.ID), Cause: c}
		}
	case "end":
		if r.page.Procedure != nil && contains(Ends, name.Value) {
			return Target{Kind: ToEnd, ID: EndAnchor(name.Value)}
		}
		if !r.sheetUnknown() {
			unknown(&r.remarks, kindEnd, Ends, name)
		}
	case "callout":
		return r.callout(name)
	case "calculator":
		var ids []string
		for _, c := range r.page.Calculators {
			if c.ID == CalculatorAnchor(name.Value) {
				return Target{Kind: ToCalculator, ID: c.ID}
			}
			ids = append(ids, strings.TrimPrefix(c.ID, CalculatorAnchor("")))
		}
		if !r.calculatorUnknown {
			unknown(&r.remarks, kindCalculator, ids, name)
		}
	}
	return Target{}
}

// frontBroken tells whether the front matter could not be read, so that what
// it would define is unknown.
func (r *pageResolver) frontBroken() bool {
	return r.page.Source.Front != nil && (r.page.Source.Front.Broken || r.page.Source.Front.Torn)
}

// relative resolves a link to a heading, a page or a file.
func (r *pageResolver) relative(to string, at remark.Place) Target {
	file, fragment, _ := strings.Cut(to, "#")
	heading := to[len(file):] // as it is written
	decoded, err := url.PathUnescape(file)
	if fragmentDecoded, err := url.PathUnescape(fragment); err == nil {
		fragment = fragmentDecoded
	}
	switch {
	case err != nil || to == "":
		r.remarks.Add(remark.LinkNowhere, at, to)
		return Target{}
	case file == "":
		return r.heading(r, to, fragment, at, Target{Kind: ToHeading, ID: fragment})
	case strings.HasPrefix(decoded, "/") || strings.HasPrefix(decoded, `\`):
		r.remarks.Add(remark.LinkOutside, at, to)
		return Target{}
	case strings.Contains(decoded, `\`):
		r.remarks = append(r.remarks, remark.LinkNowhere.At(at, to).Instead("Write slashes between folders: `%s`.", strings.ReplaceAll(decoded, `\`, "/")+heading))
		return Target{}
	}
	name := path.Join(path.Dir(r.page.Source.Path), decoded)
	if name == ".." || strings.HasPrefix(name, "../") {
		r.remarks.Add(remark.LinkOutside, at, to)
		return Target{}
	}
	if r.whole.tree.Unread(name) {
		r.loose = true
		return Target{}
	}
	other := r.whole.pageAt[name]
	if other == nil {
		other = r.instead(name)
	}
	if name == r.page.Source.Path {
		other = r // which may stand apart from the handbook
	}
	if other != nil {
		if other != r {
			r.read(ReadPage, other.page.Source.Path)
		}
		target := Target{Kind: ToPage, Page: other.page, ID: fragment}
		if fragment == "" {
			return target
		}
		return r.heading(other, to, fragment, at, target)
	}
	if r.whole.assetNames[name] {
		if !contains(assetEndings, strings.ToLower(path.Ext(name))) {
			r.remarks.Add(remark.AssetKind, at, to)
			return Target{}
		}
		if r.used == nil {
			r.used = map[string]bool{}
		}
		r.used[name] = true
		r.read(ReadAsset, name)
		return Target{Kind: ToAsset, Asset: name}
	}
	ending := path.Ext(decoded)
	near := r.meant(strings.TrimSuffix(decoded, ending), func() []string { return r.filesLike(ending) })
	r.nowhere(to, at, near, "", ending+heading)
	return Target{}
}

// heading checks that a page has the heading.
func (r *pageResolver) heading(on *pageResolver, to, id string, at remark.Place, found Target) Target {
	if on.has(id) {
		if on != r {
			r.read(ReadHeading, on.page.Source.Path+"#"+id)
		}
		return found
	}
	r.loose = true
	near := r.meant(id, func() []string { return slices.Collect(on.allIDs().All()) })
	if on.idTwice && near == "" {
		return Target{} // most likely the heading whose id is another's
	}
	before, _, _ := strings.Cut(to, "#")
	r.nowhere(to, at, near, before+"#", "")
	return Target{}
}

// meant returns the name of a page, a file or a heading that was probably meant, or "". A page
// with very many links to nothing is not told of each: no more than that are held against all names.
func (r *pageResolver) meant(name string, known func() []string) string {
	if r.sought++; r.sought > remark.MostOfFile {
		return ""
	}
	return remark.Nearest(name, known())
}

// nowhere remarks that a name is none of those known, and suggests the nearest where there is
// one, with what a link has before and after it.
func (r *pageResolver) nowhere(to string, at remark.Place, near, before, after string) {
	why := remark.LinkNowhere.At(at, to)
	if near != "" {
		why = why.Instead("Did you mean `%s`?", before+near+after)
	}
	of := remark.Subject{Name: r.page.Source.Path + " " + to}
	if step, here := strings.CutPrefix(to, "#"); here {
		of = nameless(kindStep, step, r.page.Source.Path)
	}
	r.remarks = append(r.remarks, why.About(of))
}

// filesLike returns the pages and files with an ending as links from this page
// would name them, without the ending: it says nothing about a slip.
func (r *pageResolver) filesLike(ending string) []string {
	if len(r.whole.pageAt)+len(r.whole.assetNames) > remark.MostNames {
		return nil // where every page has such a link, each would be held against all files
	}
	var names []string
	for _, name := range r.whole.fileNames() {
		if path.Ext(name) == ending {
			rel, err := filepath.Rel(path.Dir(r.page.Source.Path), name)
			if err == nil && name != r.page.Source.Path {
				names = append(names, strings.TrimSuffix(filepath.ToSlash(rel), ending))
			}
		}
	}
	return names
}

func rawText(n *ast.RawHTML, src []byte) string {
	if n.Segments.Len() == 0 {
		return ""
	}
	first := n.Segments.At(0)
	return string(first.Value(src))
}

func blockText(n *ast.HTMLBlock, src []byte) string {
	if n.Lines().Len() == 0 {
		return ""
	}
	first := n.Lines().At(0)
	return string(first.Value(src))
}
