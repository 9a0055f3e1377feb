package language

import (
	"cmp"
	"context"
	"fmt"
	"path"
	"slices"
	"strings"

	"benchleaf/render/handbook"
)

// defined returns where a name is defined, and its title. Where a page has it in several
// languages, those of the asking file's language come alone, if there are any.
func (s *server) defined(v *view, from string, like site) (files []string, sites []site) {
	own := false
	s.every(v, func(file string, x site) {
		if !x.defines || x.kind != like.kind || x.scope != like.scope || x.name != like.name {
			return
		}
		same := x.kind.ofPage() && top(file) == top(from)
		if same && !own {
			own, files, sites = true, nil, nil
		}
		if same || !own {
			files, sites = append(files, file), append(sites, x)
		}
	})
	return files, sites
}

// top is the folder of a page's language.
func top(file string) string {
	folder, _, _ := strings.Cut(file, "/")
	return folder
}

// definition leads to where a name is defined.
func (s *server) definition(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, false)
	if err != nil {
		return nil, err
	}
	list := []location{}
	name, _, _, at := s.at(v, params)
	if at == nil {
		return list, nil
	}
	switch at.kind {
	case kindProcedure, kindBulletin:
		for _, p := range v.Book.Pages {
			if p.Key == at.name {
				list = append(list, location{s.uriOf(p.Source.Path), span{}})
			}
		}
		return list, nil
	case kindCircuit:
		for to := range v.texts {
			if keyOf(to, nil) == "circuits/"+at.name {
				list = append(list, location{s.uriOf(to), span{}})
			}
		}
		return list, nil
	case kindLink, kindWay, kindPage:
		if to := path.Join(path.Dir(name), at.name); v.texts[to] != nil {
			list = append(list, location{s.uriOf(to), span{}})
		}
		return list, nil
	}
	files, sites := s.defined(v, name, *at)
	for i, x := range sites {
		list = append(list, location{s.uriOf(files[i]), newText(v.texts[files[i]]).span(x.start, x.end, s.encoding)})
	}
	return list, nil
}

// hover says what a name stands for: of a specification its value for each model.
func (s *server) hover(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, false)
	if err != nil {
		return nil, err
	}
	name, t, offset, at := s.at(v, params)
	if at == nil {
		return s.hoverKey(v, name, t, offset), nil
	}
	says := ""
	if at.kind == kindSpec {
		for _, spec := range v.Book.Specs {
			if spec.ID == at.name {
				says = specText(v.Book, spec, strings.Trim(top(name), "/"))
			}
		}
	} else if _, sites := s.defined(v, name, *at); len(sites) > 0 && sites[0].title != "" {
		says = fmt.Sprintf("%s `%s`: %s", at.kind, at.name, sites[0].title)
	} else if slices.Contains([]kind{kindProcedure, kindBulletin, kindCircuit, kindRemark}, at.kind) { // no file defines these by a name in it
		for _, c := range s.candidates(v, name, *at) {
			if c.label == at.name {
				says = fmt.Sprintf("%s `%s`: %s", at.kind, at.name, c.detail)
			}
		}
	}
	if says == "" {
		return nil, nil
	}
	return hover{markup{"markdown", says}, t.span(at.start, at.end, s.encoding)}, nil
}

// hoverKey says what stands behind a key.
func (s *server) hoverKey(v *view, name string, t *text, offset int) any {
	if t == nil {
		return nil
	}
	p := spotAt(name, t.data, v.Book.Languages, offset)
	if p == nil || !p.key || p.start == p.end {
		return nil
	}
	key := string(t.data[p.start:p.end])
	for _, k := range keysAt(p.rules, p.keys) {
		if k.name == key {
			return hover{markup{"markdown", fmt.Sprintf("`%s`: %s", key, k.says)}, t.span(p.start, p.end, s.encoding)}
		}
	}
	return nil
}

// specText is a specification in Markdown, in a language where it has words of that.
func specText(book *handbook.Handbook, spec *handbook.Spec, lang string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "**%s** `%s`\n\n", spec.Title.In(lang), spec.ID)
	if len(book.Models) == 0 {
		fmt.Fprintf(&b, "- %s", valueText(spec, nil))
	}
	for _, m := range book.Models {
		fmt.Fprintf(&b, "- %s: %s", m.Title.In(lang), valueText(spec, m))
	}
	for _, also := range []struct{ what, says string }{
		{"Conditions", spec.Conditions.In(lang)}, {"Source", spec.Source.In(lang)}, {"Revised", spec.Revised},
	} {
		if also.says != "" {
			fmt.Fprintf(&b, "\n%s: %s\n", also.what, also.says)
		}
	}
	return b.String()
}

// valueText is the value for a model, in lines: with those that hold for some machines, and those that held before.
func valueText(spec *handbook.Spec, m *handbook.Model) string {
	now := limitText(spec, spec.For(m))
	if spec.Ranges(m) != nil {
		now += ", all other machines"
	}
	lines := []string{now}
	for _, e := range spec.History {
		l := e.For(m)
		if l == nil {
			continue
		}
		var when []string
		if n := e.Serials; n != nil && n.To == "" {
			when = append(when, "from "+n.From)
		} else if n != nil {
			when = append(when, n.From+" to "+n.To)
		}
		if e.From != "" {
			when = append(when, "from "+e.From)
		}
		if e.Until != "" {
			when = append(when, "until "+e.Until+", superseded")
		}
		if e.Bulletin != "" {
			when = append(when, "bulletin `"+e.Bulletin+"`")
		}
		lines = append(lines, "  - "+strings.Join(when, ", ")+": "+limitText(spec, l))
	}
	return strings.Join(lines, "\n") + "\n"
}

// limitText is what a value must be, with the digits of its author.
func limitText(spec *handbook.Spec, l *handbook.Limit) string {
	if l == nil {
		return "no value"
	}
	figure := func(n *handbook.Number) string { return strings.TrimSpace(n.Text + " " + spec.Unit.Symbol) }
	var parts []string
	if l.Nominal != nil {
		parts = append(parts, figure(l.Nominal))
	}
	switch {
	case l.Min != nil && l.Max != nil:
		parts = append(parts, l.Min.Text+" to "+figure(l.Max))
	case l.Min != nil:
		parts = append(parts, "at least "+figure(l.Min))
	case l.Max != nil:
		parts = append(parts, "at most "+figure(l.Max))
	}
	return cmp.Or(strings.Join(parts, ", "), "no value")
}
