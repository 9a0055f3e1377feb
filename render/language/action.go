package language

import (
	"bytes"
	"context"
	"regexp"
	"strings"

	"benchleaf/render/remark"
)

var (
	meant = regexp.MustCompile("^Did you mean `([^`]+)`\\?|^Write `([^`]+)`; or allow it")
	says  = regexp.MustCompile("`([^`]+)`")
)

// quickFix is what a remark's mend says to write, and in whose place, for mends that leave nothing to
// decide. The text that is wrong is among those that the message quotes.
func quickFix(t *text, r remark.Remark) (x replacement, ok bool) {
	m := meant.FindStringSubmatch(r.Mend)
	if m == nil || r.Place.Line < 1 || r.Place.Line > len(t.starts) {
		return x, false
	}
	x.text = m[1] + m[2]
	from, _ := t.marked(r.Place)
	_, end := t.line(r.Place.Line - 1)
	for _, said := range says.FindAllStringSubmatch(r.Message, -1) {
		wrong := said[1]
		if strings.HasSuffix(x.text, ":") && !strings.HasSuffix(wrong, ":") { // a scheme
			wrong += ":"
		}
		if i := bytes.Index(t.data[from:end], []byte(wrong)); i >= 0 && wrong != x.text {
			x.start, x.end = from+i, from+i+len(wrong)
			return x, true
		}
	}
	return x, false
}

// codeAction gives the quick fixes of what is wrong in a part of a document.
func (s *server) codeAction(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, true)
	if err != nil {
		return nil, err
	}
	list := []codeAction{}
	name := s.nameOf(params.TextDocument.URI)
	if name == "" || v.texts[name] == nil {
		return list, nil
	}
	t := newText(v.texts[name])
	first, last := t.offset(params.Range.Start, s.encoding), t.offset(params.Range.End, s.encoding)
	for _, r := range v.everywhere() {
		if r.Place.File != name || r.Place.Line < 1 {
			continue
		}
		x, ok := quickFix(t, r)
		start, end := t.marked(r.Place)
		if !ok || first > max(end, x.end) || last < start {
			continue
		}
		list = append(list, codeAction{
			Title: "Write " + remark.Printable(x.text), Kind: "quickfix", Diagnostics: []diagnostic{s.diagnostic(t, r)}, IsPreferred: true,
			Edit: s.edits(v, replacements{name: {x}}),
		})
	}
	return list, nil
}
