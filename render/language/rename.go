package language

import (
	"context"
	"maps"
	"slices"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// renamed are the kinds of which a name may be another, for all of them stand in the
// author's files alone.
var renamed = []kind{kindSpec, kindStep, kindCause, kindPart, kindHazard, kindSetting}

// toRename returns what is to have another name, where it stands and where it is defined.
func (s *server) toRename(v *view, params documentParams) (t *text, at *site, err error) {
	name, t, _, at := s.at(v, params)
	if at == nil || at.name == "" || !slices.Contains(renamed, at.kind) {
		return nil, nil, refuse("No specification, step, cause, part, hazard or setting is named here.")
	}
	_, sites := s.defined(v, name, *at)
	switch {
	case len(sites) == 0:
		return nil, nil, refuse("The %s `%s` is defined nowhere.", at.kind, at.name)
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
	case !source.IsID(to):
		return nil, refuse("`%s` is no name: lower-case letters, digits and hyphens, a letter first.", remark.Printable(to))
	case to == at.name:
		return nil, nil
	}
	places := map[string][]site{}
	var taken error
	s.every(v, func(file string, x site) {
		if x.kind != at.kind || x.scope != at.scope {
			return
		}
		switch {
		case x.name == at.name:
			places[file] = append(places[file], x)
		case x.name == to && x.defines && taken == nil:
			taken = refuse("There is a %s `%s` already, in %s, line %d.", x.kind, to, remark.Printable(file), newText(v.texts[file]).position(x.start, s.encoding).Line+1)
		}
	})
	if taken != nil {
		return nil, taken
	}
	with := map[string][]byte{}
	for name := range v.versions {
		with[name] = v.texts[name]
	}
	for file, sites := range places {
		data, at := []byte(nil), 0
		for _, x := range sites {
			data = append(append(data, v.texts[file][at:x.start]...), to...)
			at = x.end
		}
		with[file] = append(data, v.texts[file][at:]...)
	}
	after, err := s.judgeNow(ctx, with)
	if err != nil {
		return nil, err
	}
	if r, worse := worse(v.Remarks, after.Remarks); worse {
		return nil, refuse("With this name the handbook would have a mistake: %v", r)
	}
	return s.edits(v, places, to), nil
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

// edits put a name into its places.
func (s *server) edits(v *view, places map[string][]site, to string) workspaceEdit {
	edit := workspaceEdit{Changes: map[string][]textEdit{}}
	for _, file := range slices.Sorted(maps.Keys(places)) {
		t := newText(v.texts[file])
		var list []textEdit
		for _, x := range places[file] {
			list = append(list, textEdit{t.span(x.start, x.end, s.encoding), to})
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
