package wasm

import (
	"go/ast"
	"go/types"
)

// call translates a conversion, a builtin, an instruction or a call.
func (b *body) call(e *ast.CallExpr) []SlotType {
	fun := ast.Unparen(e.Fun)
	if b.info.Types[fun].IsType() {
		return b.convert(e)
	}
	var object types.Object
	switch fun := fun.(type) {
	case *ast.Ident:
		object = b.info.Uses[fun]
	case *ast.SelectorExpr:
		object = b.info.Uses[fun.Sel]
		if selection := b.info.Selections[fun]; selection != nil && selection.Kind() != types.FieldVal {
			return b.callMethod(e, fun, selection)
		}
	}
	switch object := object.(type) {
	case *types.Builtin:
		return b.callBuiltin(e, object)
	case *types.Func:
		if in, ok := intrinsics[object.Name()]; ok && object.Pkg().Path() == b.intrin && b.Program.functions[object] == nil {
			if b.arguments(e) {
				in.emit(b)
				return b.mustLayout(object.Signature().Results())
			}
			return nil
		}
		if callee := b.compiler.function(e.Fun, object); callee != nil && b.arguments(e) {
			return b.callFunction(callee)
		}
		return nil
	}
	if len(b.problems) == 0 { // otherwise what is called was refused: that says it
		b.refuse(e.Fun, "only a function that has a name can be called", "declare it at package level")
	}
	return nil
}

// arguments pushes the arguments.
func (b *body) arguments(e *ast.CallExpr) bool {
	for _, argument := range e.Args {
		if b.expression(argument) == nil {
			return false
		}
	}
	return true
}

func (b *body) callFunction(callee *function) []SlotType {
	b.callTo(callee)
	b.calls = min(b.calls+1+callee.calls+len(callee.code)/100, maxCalls+1)
	return append([]SlotType{}, callee.results...)
}

// callMethod translates the call of a method of a value.
func (b *body) callMethod(e *ast.CallExpr, fun *ast.SelectorExpr, selection *types.Selection) []SlotType {
	method := selection.Obj().(*types.Func)
	if selection.Kind() != types.MethodVal {
		b.refuse(fun, "a method as a function is not in the subset", "call it on a value")
		return nil
	}
	if _, ok := method.Signature().Recv().Type().Underlying().(*types.Pointer); ok {
		b.refuse(fun, "a method of a pointer is not in the subset", "declare it on the value and return what changes")
		return nil
	}
	callee := b.compiler.function(fun, method)
	if callee == nil {
		return nil
	}
	path := selection.Index()
	var receiver []SlotType
	if len(path) > 1 {
		receiver = b.part(fun, fun.X, path[:len(path)-1])
	} else {
		receiver = b.expression(fun.X)
	}
	if receiver == nil || !b.arguments(e) {
		return nil
	}
	return b.callFunction(callee)
}

// callBuiltin translates min and max; len is a constant.
func (b *body) callBuiltin(e *ast.CallExpr, builtin *types.Builtin) []SlotType {
	if builtin.Name() != "min" && builtin.Name() != "max" {
		hint := ""
		if builtin.Name() == "panic" {
			hint = "where there is no result, return NaN"
		}
		b.refuse(e.Fun, "the builtin "+builtin.Name()+" is not in the subset", hint)
		return nil
	}
	if _, ok := b.layout(e, b.info.TypeOf(e)); !ok {
		return nil
	}
	t := b.kind(e)
	if b.expression(e.Args[0]) == nil {
		return nil
	}
	for _, argument := range e.Args[1:] {
		if t == Float {
			if b.expression(argument) == nil {
				return nil
			}
			if builtin.Name() == "min" {
				b.op(opFMin)
			} else {
				b.op(opFMax)
			}
			continue
		}
		x, y := b.local(Int), b.local(Int)
		b.set(x)
		if b.expression(argument) == nil {
			return nil
		}
		b.set(y)
		b.push([]int{x, y, x, y})
		if builtin.Name() == "min" {
			b.op(opILtS)
		} else {
			b.op(opIGtS)
		}
		b.op(opSelect)
	}
	return []SlotType{t}
}

// convert translates a conversion between types of the subset.
func (b *body) convert(e *ast.CallExpr) []SlotType {
	to, ok := b.layout(e.Fun, b.info.TypeOf(e))
	if !ok {
		return nil
	}
	from := b.expression(e.Args[0])
	if from == nil {
		return nil
	}
	if len(from) == 1 && len(to) == 1 && from[0] != to[0] {
		if to[0] == Int {
			b.callTo(b.toInt())
		} else {
			b.op(opIntToFloat)
		}
	}
	return to
}

// burn returns the function that spends its argument of the fuel, global 0, and
// traps when there is none left.
func (c *compiler) burn() *function {
	if c.burner == nil {
		f := c.newFunction([]SlotType{Bool}, nil)
		f.labels = 1
		f.code = []instr{
			{op: opGlobalGet}, {op: opGet}, {op: opBSub}, {op: opTee}, {op: opGlobalSet},
			{op: opGet}, {op: opBoolConst}, {op: opBLtS},
			{op: opIf, n: 1}, {op: opUnreachable}, {op: opEnd, n: 1, result: endOfIf},
		}
		c.burner = f
	}
	return c.burner
}

// divide returns the function that divides ints as Go does: the least int by -1
// is itself, which traps as an instruction; a division by zero traps.
func (c *compiler) divide() *function {
	if c.divider == nil {
		f := c.newFunction([]SlotType{Int, Int}, []SlotType{Int})
		f.labels = 1
		f.code = []instr{
			{op: opGet, n: 1}, {op: opIntConst, n: -1}, {op: opIEq},
			{op: opIf, n: 1, result: 1 + int(Int)},
			{op: opIntConst}, {op: opGet}, {op: opISub},
			{op: opElse},
			{op: opGet}, {op: opGet, n: 1}, {op: opIDivS},
			{op: opEnd, n: 1, result: endOfIf},
		}
		c.divider = f
	}
	return c.divider
}

// toInt returns the function that converts a float64 to an int as Go does on
// amd64: NaN and what is out of range give the least int.
func (c *compiler) toInt() *function {
	if c.converter == nil {
		f := c.newFunction([]SlotType{Float}, []SlotType{Int})
		f.labels = 1
		f.code = []instr{
			{op: opGet}, {op: opAbs}, {op: opFloatConst, value: 1 << 63}, {op: opFLt},
			{op: opIf, n: 1, result: 1 + int(Int)},
			{op: opGet}, {op: opFloatToInt},
			{op: opElse},
			{op: opIntConst, n: -1 << 63},
			{op: opEnd, n: 1, result: endOfIf},
		}
		c.converter = f
	}
	return c.converter
}
