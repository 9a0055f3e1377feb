package handbook

import (
	"bytes"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

const kindRemark = "remark"

var ruleSeverities = map[string]remark.Severity{
	"advice": remark.Advice, "warning": remark.Warning, "error": remark.Error, "off": remark.Off,
}

// rules takes what the handbook makes of kinds of remarks.
func (r *resolver) rules(list source.Map[source.Text]) {
	r.book.Rules = remark.Rules{}
	for _, e := range list {
		kind := settledKind(&r.remarks, e.ID)
		severity, ok := ruleSeverities[e.Value.Value]
		if !ok {
			r.remarks.Add(remark.ValueChoice, e.Value.Place, e.Value.Value, e.ID.Value, "advice, warning, error, off")
		}
		if ok && kind != nil {
			r.book.Rules[kind.ID] = severity
		}
	}
}

// settledKind returns the kind of remark that is named, for a handbook to make of it what
// it wants; nil with a remark where there is none, or it is an error.
func settledKind(remarks *remark.List, name source.Text) *remark.Kind {
	var ids []string
	for _, k := range remark.All() {
		if ids = append(ids, k.ID); k.ID != name.Value {
			continue
		}
		if k.Severity == remark.Error {
			remarks.Add(remark.RemarkFixed, name.Place, k.ID)
			return nil
		}
		return k
	}
	unknown(remarks, kindRemark, ids, name)
	return nil
}

// allowances reads what the page's front matter and its comments allow.
func (r *pageResolver) allowances() {
	for _, e := range r.front.Allow {
		r.allow(e.ID, e.Value.Value, 0, math.MaxInt)
	}
	p := r.page.Source
	if p.Doc == nil || !bytes.Contains(p.Text, []byte("<!--")) { // a plain page has no comments
		return
	}
	after := map[ast.Node]ast.Node{} // what a comment that follows another one is for
	_ = ast.Walk(p.Doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		name, reason, ok := r.allowance(n)
		if !ok {
			return ast.WalkContinue, nil
		}
		covered := n
		if n.Type() == ast.TypeInline {
			for covered.Type() == ast.TypeInline {
				covered = covered.Parent()
			}
		} else if known := after[n]; known != nil {
			covered = known
		} else {
			var comments []ast.Node
			for next := n.NextSibling(); next != nil; next = next.NextSibling() {
				covered = next
				if _, _, also := r.allowance(next); !also {
					break
				}
				comments = append(comments, next)
			}
			for _, c := range comments {
				after[c] = covered
			}
		}
		to := math.MaxInt
		if next := following(covered); next != nil {
			to = p.PlaceOf(next).Line - 1
		}
		r.allow(source.Text{Value: name, Place: p.PlaceOf(n)}, reason, p.PlaceOf(n).Line, to)
		return ast.WalkContinue, nil
	})
}

func (r *pageResolver) allow(name source.Text, reason string, from, to int) {
	var block string
	name.Value, block = AllowedBlock(name.Value)
	kind := settledKind(&r.remarks, name)
	switch {
	case kind == nil:
	case kind == remark.CauseUnplanted && r.page.Lang != r.whole.book.Languages[0]: // of the source alone, with whose front matter a translation begins
	case remark.OfBlocks(kind.ID) && block == "":
		r.remarks.Add(remark.AllowBlock, name.Place, kind.ID)
	default:
		r.page.Allowances = append(r.page.Allowances, remark.Allowance{
			ID: kind.ID, Block: block, Place: name.Place, From: from, To: to, Reason: strings.TrimSpace(reason),
		})
	}
}

var allowedBlock = regexp.MustCompile(`^(.+)-([` + digestLetters + `]{6})$`)

// AllowedBlock parts what is allowed into the id of a kind and the digest of the block that it is allowed for, if any.
func AllowedBlock(name string) (kind, digest string) {
	if m := allowedBlock.FindStringSubmatch(name); m != nil && remark.OfBlocks(m[1]) {
		return m[1], m[2]
	}
	return name, ""
}

// allowForm is what stands in a comment that allows something. Ids have a hyphen, so that
// "allow for the heat" is a comment like others.
var allowForm = regexp.MustCompile(`^<!--\s*allow\s+([a-z]+(?:-[a-z]+)+)\s*(?::((?s:.*?)))?-->`)

// allowance reads a comment that allows something.
func (r *pageResolver) allowance(n ast.Node) (name, reason string, ok bool) {
	text, src := "", r.page.Source.Text
	switch n := n.(type) {
	case *ast.RawHTML:
		text = string(n.Segments.Value(src))
	case *ast.HTMLBlock:
		text = string(n.Lines().Value(src))
		if n.HasClosure() {
			text += string(n.ClosureLine.Value(src))
		}
	default:
		return "", "", false
	}
	m := allowForm.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return "", "", false
	}
	return m[1], m[2], true
}

// following returns the block after a node and all that is in it.
func following(n ast.Node) ast.Node {
	for ; n != nil; n = n.Parent() {
		if next := n.NextSibling(); next != nil {
			return next
		}
	}
	return nil
}

// allowLine is a comment of a data file that allows something in what stands beneath it.
var allowLine = regexp.MustCompile(`^ *# *allow +([a-z]+(?:-[a-z]+)+) *(?::(.*))?$`)

// dataAllowances reads what comments of the data files allow: each for the next line, with those that are indented more.
func (r *resolver) dataAllowances() {
	for _, name := range slices.Sorted(maps.Keys(r.tree.Data)) {
		lines := strings.Split(string(r.tree.Text(name)), "\n")
		indent := func(i int) int { // -1 for a line that says nothing
			text := strings.TrimLeft(lines[i], " ")
			if text = strings.TrimRight(text, "\r"); text == "" || text[0] == '#' {
				return -1
			}
			return len(lines[i]) - len(strings.TrimLeft(lines[i], " "))
		}
		for i, line := range lines {
			m := allowLine.FindStringSubmatch(strings.TrimRight(line, "\r"))
			if m == nil {
				continue
			}
			from := i + 1
			for from < len(lines) && indent(from) < 0 {
				from++
			}
			to := from + 1
			for to < len(lines) && (indent(to) < 0 || indent(to) > indent(from)) {
				to++
			}
			at := remark.Place{File: name, Line: i + 1, Column: strings.Index(line, "#") + 1}
			if kind := settledKind(&r.remarks, source.Text{Value: m[1], Place: at}); kind != nil {
				r.book.allowed = append(r.book.allowed, remark.Allowance{ID: kind.ID, Place: at, From: from + 1, To: to, Reason: strings.TrimSpace(m[2])})
			}
		}
	}
}

// Allowances lists the allowances of all pages, and of the data.
func (h *Handbook) Allowances() (list []remark.Allowance) {
	list = slices.Clone(h.allowed)
	for _, p := range h.Pages {
		list = append(list, p.Allowances...)
	}
	return list
}
