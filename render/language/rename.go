package language

import (
	"context"
	"maps"
	"regexp"
	"slices"
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// renamed are the kinds of which a name may be another, for all of them stand in the
// author's files alone.
var renamed = []kind{kindSpec, kindStep, kindCause, kindPart, kindHazard, kindSetting, kindState, kindModel, kindCalculator,
	kindPoint, kindElement, kindInput, kindFigure, kindResult}

// pointName is what a point of a circuit is called: as the drawing has it.
var pointName = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9-]*$`)

// toRename returns what is to have another name, where it stands and where it is defined.
func (s *server) toRename(v *view, params documentParams) (t *text, at *site, err error) {
	name, t, _, at := s.at(v, params)
	if at == nil || at.name == "" || !slices.Contains(renamed, at.kind) {
		return nil, nil, refuse("Nothing is named here that could have another name.")
	}
	_, sites := s.defined(v, name, *at)
	switch {
	case len(sites) == 0:
		return nil, nil, refuse("The %s `%s` is defined nowhere.", at.kind, at.name)
	case at.kind == kindCalculator && slices.ContainsFunc(sites, func(x site) bool { return x.made }):
		return nil, nil, refuse("The calculator `%s` is a built-in one: its name is the program's.", at.name)
	case slices.ContainsFunc(sites, func(x site) bool { return x.made }):
		return nil, nil, refuse("The step has no name of its own, only its words: write `<id:%s>` behind them first.", at.name)
	}
	return t, at, nil
}

// prepareRename tells what would be renamed.
func (s *server) prepareRename(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, false)
	if err != nil {
		return nil, err
	}
	t, at, err := s.toRename(v, params)
	if err != nil {
		return nil, err
	}
	return renamable{t.span(at.start, at.end, s.encoding), at.name}, nil
}

// rename gives a name another one wherever it stands, in all languages. The handbook with the
// edits is judged before they are given: they bring no error that was not there.
func (s *server) rename(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, true)
	if err != nil {
		return nil, err
	}
	_, at, err := s.toRename(v, params)
	if err != nil {
		return nil, err
	}
	to := params.NewName
	switch {
	case at.kind == kindPoint && !pointName.MatchString(to):
		return nil, refuse("`%s` is no name: letters, digits and hyphens, a letter first.", remark.Printable(to))
	case at.kind != kindPoint && !source.IsID(to):
		return nil, refuse("`%s` is no name: lower-case letters, digits and hyphens, a letter first.", remark.Printable(to))
	case to == at.name:
		return nil, nil
	}
	places := replacements{}
	var taken error
	s.every(v, func(file string, x site) {
		if x.kind != at.kind || x.scope != at.scope {
			return
		}
		switch {
		case x.name == at.name && x.formula:
			places[file] = append(places[file], replacement{x.start, x.end, inFormula(to)})
		case x.name == at.name:
			places[file] = append(places[file], replacement{x.start, x.end, to})
		case x.name == to && x.defines && taken == nil:
			taken = refuse("Another %s is called `%s` already, in %s, line %d.", x.kind, to, remark.Printable(file), newText(v.texts[file]).position(x.start, s.encoding).Line+1)
		}
	})
	if taken != nil {
		return nil, taken
	}
	after, err := s.judgeNow(ctx, places.over(v))
	if err != nil {
		return nil, err
	}
	if records := s.records(v, places); len(records) > 0 {
		s.rerecord(v, after, places, records)
		if after, err = s.judgeNow(ctx, places.over(v)); err != nil {
			return nil, err
		}
	}
	if r, worse := worse(v.Remarks, after.Remarks); worse {
		return nil, refuse("With this name the handbook would have a mistake: %v", r)
	}
	return s.edits(v, places), nil
}

// replacement puts a text into the place of another.
type replacement struct {
	start, end int
	text       string
}

// replacements are those of each file, in its order.
type replacements map[string][]replacement

// over are the unsaved texts of a view, with the replacements made.
func (r replacements) over(v *view) map[string][]byte {
	with := map[string][]byte{}
	for name := range v.versions {
		with[name] = v.texts[name]
	}
	for name, list := range r {
		data, at := []byte(nil), 0
		for _, x := range list {
			data = append(append(data, v.texts[name][at:x.start]...), x.text...)
			at = x.end
		}
		with[name] = append(data, v.texts[name][at:]...)
	}
	return with
}

// records are the translations that record digests of pages among those that are changed, by the page.
func (s *server) records(v *view, places replacements) map[string][]string {
	found := map[string][]string{}
	for _, lang := range v.Book.Languages[1:] {
		for file := range places {
			rest, ok := strings.CutPrefix(file, v.Book.Languages[0]+"/")
			other := lang + "/" + rest
			if ok && v.texts[other] != nil && slices.ContainsFunc(s.sites(v, other), func(x site) bool { return x.kind == kindDigest }) {
				found[file] = append(found[file], other)
			}
		}
	}
	return found
}

// rerecord adds to places the new digests of what translations were made from: a name is in the blocks
// that they record, and with another one they are not older than their source.
func (s *server) rerecord(v *view, after *Judged, places replacements, records map[string][]string) {
	for file, translations := range records {
		for _, other := range translations {
			now := map[string]string{}
			for _, name := range []string{other, file} { // the translation's own are named where a block of its own is allowed
				was, is := v.Digests[name], after.Digests[name]
				for i, digest := range was {
					if len(was) == len(is) { // else remarks will say why
						now[digest] = is[i]
					}
				}
			}
			for _, x := range s.sites(v, other) {
				if digest, known := now[x.name]; x.kind == kindDigest && known && digest != x.name {
					places[other] = append(places[other], replacement{x.start, x.end, digest})
				}
			}
			slices.SortFunc(places[other], func(a, b replacement) int { return a.start - b.start })
		}
	}
}

// worse returns an error of which there are more than before in its file. Advice may come of a new
// name itself, and leaves the handbook whole.
func worse(before, after remark.List) (r remark.Remark, is bool) {
	type mistake struct{ id, file string }
	count := map[mistake]int{}
	for _, r := range before {
		count[mistake{r.ID, r.Place.File}]++
	}
	for _, r := range after {
		if r.Severity != remark.Error {
			continue
		}
		m := mistake{r.ID, r.Place.File}
		if count[m]--; count[m] < 0 {
			return r, true
		}
	}
	return r, false
}

// edits are replacements as the client takes them.
func (s *server) edits(v *view, places replacements) workspaceEdit {
	edit := workspaceEdit{Changes: map[string][]textEdit{}}
	for _, file := range slices.Sorted(maps.Keys(places)) {
		t := newText(v.texts[file])
		var list []textEdit
		for _, x := range places[file] {
			list = append(list, textEdit{t.span(x.start, x.end, s.encoding), x.text})
		}
		uri := s.uriOf(file)
		edit.Changes[uri] = list
		d := documentEdit{Edits: list}
		d.TextDocument.URI = uri
		if version, open := v.versions[file]; open {
			d.TextDocument.Version = &version
		}
		edit.DocumentChanges = append(edit.DocumentChanges, d)
	}
	if s.client.Capabilities.Workspace.WorkspaceEdit.DocumentChanges {
		edit.Changes = nil
	} else {
		edit.DocumentChanges = nil
	}
	return edit
}
