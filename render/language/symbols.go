package language

import (
	"cmp"
	"context"
	"slices"
	"strings"
)

// references are the places where a name stands; its definition among them, if the client wants it.
func (s *server) references(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, false)
	if err != nil {
		return nil, err
	}
	list := []location{}
	_, _, _, at := s.at(v, params)
	if at == nil || at.name == "" {
		return list, nil
	}
	texts := map[string]*text{}
	s.every(v, func(file string, x site) {
		if x.kind != at.kind || x.scope != at.scope || x.name != at.name || x.defines && !params.Context.IncludeDeclaration {
			return
		}
		if texts[file] == nil {
			texts[file] = newText(v.texts[file])
		}
		list = append(list, location{s.uriOf(file), texts[file].span(x.start, x.end, s.encoding)})
	})
	return list, nil
}

// symbolKinds are the protocol's numbers for what an editor shows a picture of.
var symbolKinds = map[kind]int{
	kindStep: 6, kindCause: 24, kindSpec: 14, kindPart: 19, kindModel: 5, kindHazard: 24, kindSetting: 7, kindState: 10, kindCalculator: 12,
	kindPoint: 8, kindElement: 8,
}

// documentSymbols are what a document defines: of a page its steps, causes and calculators.
func (s *server) documentSymbols(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, false)
	if err != nil {
		return nil, err
	}
	list := []documentSymbol{}
	name := s.nameOf(params.TextDocument.URI)
	if name == "" || v.texts[name] == nil {
		return list, nil
	}
	t := newText(v.texts[name])
	for _, x := range s.sites(v, name) {
		number, known := symbolKinds[x.kind]
		if !known || !x.defines || x.name == "" {
			continue
		}
		line := t.position(x.start, s.encoding).Line
		first, last := t.line(line)
		list = append(list, documentSymbol{
			Name: cmp.Or(x.title, x.name), Detail: string(x.kind) + " " + x.name, Kind: number,
			Range: t.span(first, max(last, x.end), s.encoding), SelectionRange: t.span(x.start, x.end, s.encoding),
		})
	}
	return list, nil
}

// mostSymbols bounds an answer: who looks for a name types more of it.
const mostSymbols = 200

// workspaceSymbols are what the handbook defines whose name or title has the words of a query.
func (s *server) workspaceSymbols(ctx context.Context, params documentParams) (any, error) {
	v, err := s.look(ctx, false)
	if err != nil {
		return nil, err
	}
	list := []symbol{}
	words := strings.Fields(strings.ToLower(params.Query))
	texts := map[string]*text{}
	s.every(v, func(file string, x site) {
		number, known := symbolKinds[x.kind]
		says := strings.ToLower(x.name + " " + x.title)
		if !known || !x.defines || x.name == "" || len(list) == mostSymbols || slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(says, w) }) {
			return
		}
		if texts[file] == nil {
			texts[file] = newText(v.texts[file])
		}
		list = append(list, symbol{cmp.Or(x.title, x.name), number, string(x.kind) + " " + x.name, location{s.uriOf(file), texts[file].span(x.start, x.end, s.encoding)}})
	})
	return list, nil
}
