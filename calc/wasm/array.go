package wasm

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/types"
)

// index pushes an element of a constant array of a package. There is no memory:
// the array is a function from index to element.
func (b *body) index(e *ast.IndexExpr) []SlotType {
	var object types.Object
	switch x := ast.Unparen(e.X).(type) {
	case *ast.Ident:
		object = b.info.Uses[x]
	case *ast.SelectorExpr:
		object = b.info.Uses[x.Sel]
	}
	variable, ok := object.(*types.Var)
	if !ok || !isPackageVariable(variable) {
		b.refuse(e.X, "only a constant array of a package can be indexed", "declare it with var at package level")
		return nil
	}
	array, ok := variable.Type().Underlying().(*types.Array)
	if !ok {
		b.refuse(e.X, article(typeName(variable.Type()))+" cannot be indexed in the subset", "declare an array: [...]float64{...}")
		return nil
	}
	slots, ok := b.layout(e, array.Elem())
	if !ok {
		return nil
	}
	if len(slots) != 1 {
		b.refuse(e.X, "an array of structs is not in the subset", "declare an array for each field")
		return nil
	}
	table := b.table(e, variable, array, slots[0])
	if table == nil || b.expression(e.Index) == nil {
		return nil
	}
	b.callTo(table)
	return slots
}

// table returns the function that maps an index to an element and traps when
// there is none, or nil if the array is refused.
func (c *compiler) table(node ast.Node, variable *types.Var, array *types.Array, t SlotType) *function {
	if f, seen := c.tables[variable]; seen {
		return f
	}
	c.tables[variable] = nil
	if array.Len() > maxElements {
		c.refuse(node, fmt.Sprintf("%s has more than %d elements", variable.Name(), maxElements), "")
		return nil
	}
	defer c.enter(variable)()
	if use := c.changed[variable]; use != nil {
		c.refuse(use, variable.Name()+" may change here; a calculator's arrays are constant", "read single elements only")
		return nil
	}
	values, ok := c.elements(variable, array, t)
	if !ok {
		return nil
	}
	f := c.newFunction([]SlotType{Int}, []SlotType{t})
	n := int64(len(values))
	f.labels = n + 1
	// One block around another, the outermost for an index out of range; the
	// block of an element ends just before its value is returned.
	for label := f.labels; label >= 1; label-- {
		f.code = append(f.code, instr{op: opBlock, n: label})
	}
	labels := make([]int64, n+1)
	for i := range labels {
		labels[i] = int64(i) + 1
	}
	f.code = append(f.code,
		instr{op: opGet}, instr{op: opIntConst, n: n}, instr{op: opIGeU}, instr{op: opBrIf, n: f.labels},
		instr{op: opGet}, instr{op: opWrap}, instr{op: opBrTable, labels: labels})
	for i, value := range values {
		f.code = append(f.code, instr{op: opEnd, n: int64(i) + 1}, value, instr{op: opReturn})
	}
	f.code = append(f.code, instr{op: opEnd, n: f.labels}, instr{op: opUnreachable})
	c.tables[variable] = f
	return f
}

// elements returns the instruction that pushes each element.
func (c *compiler) elements(variable *types.Var, array *types.Array, t SlotType) ([]instr, bool) {
	zero := map[SlotType]opcode{Float: opFloatConst, Int: opIntConst, Bool: opBoolConst}[t]
	values := make([]instr, array.Len())
	for i := range values {
		values[i] = instr{op: zero}
	}
	initial := c.arrays[variable]
	if initial == nil {
		return values, true
	}
	literal, ok := ast.Unparen(initial).(*ast.CompositeLit)
	if !ok {
		c.refuse(initial, variable.Name()+" has a value that is not written out", "write [...]float64{...}")
		return nil, false
	}
	b := &body{compiler: c, function: &function{}}
	next := int64(0)
	for _, element := range literal.Elts {
		if pair, ok := element.(*ast.KeyValueExpr); ok {
			element = pair.Value
			next, _ = constant.Int64Val(constant.ToInt(c.info.Types[pair.Key].Value))
		}
		value := c.info.Types[element]
		if value.Value == nil {
			c.refuse(element, "the element is no constant", "write a number or a constant expression")
			return nil, false
		}
		if b.constant(element, value) == nil {
			return nil, false
		}
		values[next] = b.code[len(b.code)-1]
		next++
	}
	return values, true
}
