package wasm

import (
	"fmt"
	"go/ast"
)

// weigh refuses types that hold too many fields or have type parameters, before
// the type checker sees them: it looks at every field of every field each time,
// so that a few lines of structs in structs would keep it busy for hours. Types
// are told by their names alone here; of two with one name each counts as both.
func (c *checker) weigh(files []*ast.File) {
	w := weigher{types: map[string][]ast.Expr{}, weights: map[string]int{}}
	var specs []*ast.TypeSpec
	for _, file := range files {
		ast.Inspect(file, func(node ast.Node) bool {
			if spec, ok := node.(*ast.TypeSpec); ok {
				if spec.TypeParams != nil {
					c.at(spec.Name, "a type with type parameters is not in the subset", "write it for float64")
				}
				specs = append(specs, spec)
				w.types[spec.Name.Name] = append(w.types[spec.Name.Name], spec.Type)
			}
			return true
		})
	}
	for _, spec := range specs {
		if w.named(spec.Name.Name) > maxWeight {
			c.at(spec.Name, fmt.Sprintf("the type holds more than %d fields", maxWeight), "")
			return
		}
	}
}

// weigher knows the types of a package by name, and the weights found so far.
type weigher struct {
	types   map[string][]ast.Expr
	weights map[string]int
}

// named returns the weight of a type: the fields in it, at most maxWeight + 1.
func (w *weigher) named(name string) int {
	if weight, seen := w.weights[name]; seen {
		return weight // 0 within itself, which the type checker refuses
	}
	w.weights[name] = 0
	weight := 0
	for _, e := range w.types[name] {
		weight = min(weight+w.weight(e), maxWeight+1)
	}
	w.weights[name] = weight
	return weight
}

// weight returns the weight of a type expression.
func (w *weigher) weight(node ast.Node) int {
	weight := 0
	ast.Inspect(node, func(inner ast.Node) bool {
		switch inner := inner.(type) {
		case *ast.Field:
			weight += max(1, len(inner.Names)) * (1 + w.weight(inner.Type))
			return false
		case *ast.Ident:
			weight += w.named(inner.Name)
		}
		return true
	})
	return min(weight, maxWeight+1)
}
