package language

import (
	"bytes"
	"context"
	"regexp"
	"strings"

	"benchleaf/render/remark"
)

var (
	meant = regexp.MustCompile("^Did you mean `([^`]+)`\\?|^Write `([^`]+)`; or allow it|^Write (<spec:[^>]+>); or allow it|^Name the specification, `([^`]+)`")
	says  = regexp.MustCompile("`([^`]+)`")
)

// quickFix is what a remark's mend says to write, and in whose place, for mends that leave nothing to
// decide. The text that is wrong is among those that the message quotes.
func quickFix(t *text, r remark.Remark) (x replacement, ok bool) {
	if r.Fix.New != "" {
		start, _ := t.marked(r.Fix.Place)
		x = replacement{start, start + len(r.Fix.Old), r.Fix.New}
		return x, r.Fix.Place.File == r.Place.File && bytes.HasPrefix(t.data[start:], []byte(r.Fix.Old))
	}
	if r.ID == remark.AllowIdle.ID {
		return t.comment(r.Place)
	}
	m := meant.FindStringSubmatch(r.Mend)
	if m == nil || r.Place.Line < 1 || r.Place.Line > len(t.starts) {
		return x, false
	}
	x.text = m[1] + m[2] + m[3] + m[4]
	if strings.HasPrefix(x.text, "<") && !t.prose(r.Place.Line-1) {
		return x, false // a reference is one in a text alone
	}
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

// comment is the taking out of a comment that begins at a place, with its line where nothing else stands there.
func (t *text) comment(at remark.Place) (x replacement, ok bool) {
	if at.Line < 1 || at.Line > len(t.starts) {
		return x, false
	}
	start, _ := t.marked(at)
	first, last := t.line(at.Line - 1)
	switch rest := t.data[start:]; {
	case bytes.HasPrefix(rest, []byte("<!--")):
		end := bytes.Index(rest, []byte("-->"))
		if end < 0 {
			return x, false
		}
		x.start, x.end = start, start+end+len("-->")
		if newline := bytes.IndexByte(t.data[x.end:], '\n'); newline >= 0 && len(bytes.TrimSpace(t.data[x.end:x.end+newline])) == 0 && len(bytes.TrimSpace(t.data[first:start])) == 0 {
			x.start, x.end = first, x.end+newline+1
		}
	case bytes.HasPrefix(rest, []byte("#")) && len(bytes.TrimSpace(t.data[first:start])) == 0:
		x.start, x.end = first, min(last+1, len(t.data))
	default:
		return x, false // a key of front matter
	}
	return x, true
}

// prose tells whether a line of a page is neither of its front matter nor of a fenced block.
func (t *text) prose(n int) bool {
	front, fence := false, false
	for i := range n {
		start, end := t.line(i)
		switch line := string(bytes.TrimRight(t.data[start:end], " \r\n")); {
		case line == "---" && (i == 0 || front):
			front = i == 0
		case !front && strings.HasPrefix(line, "```"):
			fence = !fence
		}
	}
	return !front && !fence
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
		if end = max(end, x.end); r.Fix.New != "" {
			_, end = t.line(r.Place.Line - 1) // what is written stands elsewhere
		}
		if !ok || first > end || last < start {
			continue
		}
		title := "Write " + remark.Printable(x.text)
		switch {
		case r.Fix.New != "":
			title = r.Fix.Title
		case x.text == "":
			title = "Take it out"
		}
		list = append(list, codeAction{
			Title: title, Kind: "quickfix", Diagnostics: []diagnostic{s.diagnostic(t, r)}, IsPreferred: r.Fix.New == "",
			Edit: s.edits(v, replacements{name: {x}}),
		})
	}
	return list, nil
}
