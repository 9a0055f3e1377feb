// Package audit holds the rules that a resolved handbook is judged by.
//
// In: a *handbook.Handbook. Out: remarks. Nothing is changed.
// It may import handbook, procedure, remark and source.
package audit

import (
	"maps"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// Audit applies every rule to the handbook.
func Audit(h *handbook.Handbook) remark.List {
	var remarks remark.List
	whole := map[*handbook.Page]bool{}
	for _, p := range h.Pages {
		if p.Procedure != nil {
			before := len(remarks)
			whole[p] = proveProcedure(h, p, &remarks)
			if remarks[before:].Count(remark.Error) == 0 { // else figures may be wrong for what has a remark
				proveCircuit(h, p, &remarks)
			}
			absentParts(p, &remarks)
		}
	}
	proveEntries(h, whole, &remarks)
	unexaminedParts(h, &remarks)
	return remarks
}

// unexaminedParts gives advice on parts that no procedure examines: none of
// its causes is that part's, and no step speaks of it. A handbook without
// procedures is not asked.
func unexaminedParts(h *handbook.Handbook, remarks *remark.List) {
	examined := map[*handbook.Part]bool{}
	procedures := 0
	for _, p := range h.Pages {
		if p.SheetUnknown {
			return // it may be the one that examines them
		}
		if p.Procedure != nil {
			procedures++
			maps.Copy(examined, examines(p))
		}
	}
	for _, part := range h.Parts {
		if procedures > 0 && !examined[part] {
			remarks.Add(remark.PartUnexamined, part.Place, part.ID)
		}
	}
}

// eachTarget calls f for what every link below a node leads to.
func eachTarget(p *handbook.Page, n ast.Node, f func(handbook.Target)) {
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if t, ok := p.Links[n]; ok && entering {
			f(t)
		}
		return ast.WalkContinue, nil
	})
}
