// Package audit holds the rules that a resolved handbook is judged by.
//
// In: a *handbook.Handbook. Out: remarks. Nothing is changed.
// It may import calc/unit, handbook, procedure, remark and source.
package audit

import (
	"slices"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// Audit applies every rule to the handbook.
func Audit(h *handbook.Handbook) remark.List {
	var remarks remark.List
	facts := make([]*Facts, len(h.Pages))
	for i, p := range h.Pages {
		facts[i] = Page(h, p)
		remarks = append(remarks, facts[i].Remarks...)
	}
	return append(remarks, Whole(h, facts, func(p *handbook.Page) *handbook.Page { return p })...)
}

// unexaminedParts gives advice on parts that no procedure examines: none of
// its causes is that part's, and no step speaks of it. A handbook without
// procedures is not asked.
func unexaminedParts(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	examined := map[string]bool{}
	procedures := 0
	for i, p := range h.Pages {
		if p.SheetUnknown {
			return // it may be the one that examines them
		}
		if p.Procedure != nil {
			procedures++
		}
		for _, part := range facts[i].Parts {
			examined[part] = true
		}
	}
	for _, part := range h.Parts {
		if procedures > 0 && !examined[part.ID] {
			remarks.Add(remark.PartUnexamined, part.Place, part.ID)
		}
	}
}

// unusedSettings gives advice on settings that no procedure names.
func unusedSettings(h *handbook.Handbook, facts []*Facts, remarks *remark.List) {
	used := map[string]bool{}
	procedures := 0
	for i, p := range h.Pages {
		if p.SheetUnknown || p.Procedure != nil && p.Procedure.ConductUnknown {
			return // it may be the one that names them
		}
		if p.Procedure != nil {
			procedures++
		}
		for _, s := range facts[i].Settings {
			used[s] = true
		}
	}
	for _, s := range h.Settings {
		if procedures > 0 && !used[s.ID] {
			remarks.Add(remark.SettingUnused, s.Place, s.ID)
		}
	}
}

// spot is a cause or a step, and the parts that it is about.
type spot struct {
	name  string
	place remark.Place
	parts []*handbook.Part
}

// partsOf returns the causes and steps of a procedure with their parts: a cause's
// own, those that its remedy names, and those that a step and its panels name.
func partsOf(p *handbook.Page) (spots []spot) {
	note := func(t handbook.Target) {
		if s := &spots[len(spots)-1]; t.Part != nil && !slices.Contains(s.parts, t.Part) {
			s.parts = append(s.parts, t.Part)
		}
	}
	for _, c := range p.Procedure.Causes {
		spots = append(spots, spot{name: "cause `" + c.ID + "`", place: c.Place})
		note(handbook.Target{Part: c.Part})
		eachTarget(p, c.Remedy.Doc, note)
	}
	for _, s := range p.Procedure.Steps {
		spots = append(spots, spot{name: "step `" + s.ID + "`", place: s.Place})
		eachTarget(p, s.Heading, note)
		for _, n := range s.Body {
			eachTarget(p, n, note)
		}
		for _, panel := range s.Panels {
			eachTarget(p, panel.Text.Doc, note)
		}
	}
	return spots
}

// eachTarget calls f for what every link below a node leads to.
func eachTarget(p *handbook.Page, n ast.Node, f func(handbook.Target)) {
	if n == nil { // a text that was not given
		return
	}
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if t, ok := p.Links[n]; ok && entering {
			f(t)
		}
		return ast.WalkContinue, nil
	})
}
