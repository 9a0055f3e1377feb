package compare

import (
	"crypto/sha256"
	"encoding/base64"
	"slices"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
)

// fileValue begins what blocks call a file.
const fileValue = "file:"

// shown collects what stands on a page and is written elsewhere.
type shown struct {
	page  *handbook.Page
	found []string // some of it more than once
}

// shownIn lists what stands in a piece of text or in a block, sorted.
func shownIn(p *handbook.Page, n ast.Node) []string {
	s := shown{page: p}
	if b, ok := n.(*source.Block); ok {
		s.block(p.Blocks[b])
	} else {
		s.text(n)
	}
	return s.list()
}

// shownBy lists what a remedy or an end shows: what its text does, and a part.
func shownBy(p *handbook.Page, text source.Markdown, part *handbook.Part, settings []handbook.SettingAt) []string {
	s := shown{page: p}
	s.text(text.Doc)
	if part != nil {
		s.add(dataPart, part.ID)
	}
	s.settings(settings)
	return s.list()
}

func (s *shown) list() []string {
	slices.Sort(s.found)
	return slices.Compact(s.found)
}

func (s *shown) add(kind, id string) { s.found = append(s.found, value(kind, id)) }

func (s *shown) file(name string) { s.found = append(s.found, fileValue+name) }

func (s *shown) specs(list ...*handbook.Spec) {
	for _, x := range list {
		if x != nil {
			s.add(dataSpec, x.ID)
		}
	}
}

func (s *shown) settings(lists ...[]handbook.SettingAt) {
	for _, x := range slices.Concat(lists...) {
		s.add(DataSetting, x.ID)
	}
}

// text adds what links name; a nil text has none.
func (s *shown) text(n ast.Node) {
	if n == nil {
		return
	}
	switch n.Kind() {
	case ast.KindLink, ast.KindImage, ast.KindAutoLink:
		s.target(s.page.Links[n])
	}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		s.text(c)
	}
}

func (s *shown) target(t handbook.Target) {
	switch {
	case t.Hazard != nil:
		s.add(DataHazard, t.Hazard.ID)
	case t.Kind == handbook.ToSpec:
		s.specs(t.Spec)
	case t.Kind == handbook.ToPart && t.Part != nil:
		s.add(dataPart, t.Part.ID)
	case t.Kind == handbook.ToAsset:
		s.file(t.Asset)
	}
}

func (s *shown) block(block any) {
	switch x := block.(type) {
	case *handbook.Reading:
		s.specs(x.Spec)
		if x.Timing != nil && x.Timing.Curve != nil {
			s.specs(x.Timing.Curve.Limits...)
		}
	case *handbook.Safety:
		s.text(x.Text.Doc)
		if x.Hazard != nil {
			s.add(DataHazard, x.Hazard.ID)
		}
	case *handbook.Conduct:
		if x.State != nil {
			s.add(DataState, x.State.ID)
		}
		s.settings(x.Requires, x.Forbids, x.Sets, x.Restores)
	case *handbook.CircuitTable:
		s.add(DataCircuit, x.ID)
	case *handbook.Glossary:
		for _, t := range x.Terms {
			s.add(DataTerm, termID(x.Lang, t))
		}
	case *handbook.Picture:
		s.file(x.Asset)
	case *handbook.Plot:
		s.specs(x.Limits...)
	case *handbook.Calculator:
		for _, preset := range x.Presets {
			s.specs(preset.Spec)
		}
		for _, spec := range x.Limits {
			s.specs(spec)
		}
	case *handbook.SelfCheck:
		for _, n := range slices.Concat(x.Question, x.Explanation) {
			s.text(n)
		}
		for _, c := range x.Answers {
			s.text(c.Text)
		}
	}
}

// digest is a short digest of a text.
func digest(text string) string {
	if text == "" {
		return ""
	}
	sum := sha256.Sum256([]byte(text))
	return base64.RawURLEncoding.EncodeToString(sum[:9])
}
