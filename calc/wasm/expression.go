package wasm

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
)

// expression pushes the value of an expression, or the values of a call, and
// returns its slots; nil if it was refused. The type of every expression must be
// in the subset.
func (b *body) expression(e ast.Expr) []SlotType {
	defer func() { b.depth-- }()
	if !b.deeper(e) {
		return nil
	}
	value := b.info.Types[e]
	if value.Value != nil {
		return b.constant(e, value)
	}
	if name, ok := e.(*ast.Ident); ok {
		value.Type = b.info.TypeOf(name)
	}
	if locals, ok := b.place(e); ok {
		b.push(locals)
		return b.mustLayout(value.Type)
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		return b.expression(e.X)
	case *ast.Ident:
		return b.refuseName(e, b.info.Uses[e])
	case *ast.SelectorExpr:
		return b.selector(e)
	case *ast.CallExpr:
		return b.call(e)
	case *ast.UnaryExpr:
		return b.unary(e)
	case *ast.BinaryExpr:
		return b.binary(e)
	case *ast.IndexExpr:
		return b.index(e)
	case *ast.CompositeLit:
		return b.composite(e, func(field ast.Expr) { b.expression(field) }, b.zero)
	}
	b.refuse(e, describe(e)+" is not in the subset", "")
	return nil
}

// refuseName says why a name cannot stand as a value.
func (b *body) refuseName(e ast.Expr, object types.Object) []SlotType {
	switch object := object.(type) {
	case *types.Var:
		if isPackageVariable(object) {
			if _, ok := object.Type().Underlying().(*types.Array); ok {
				b.refuse(e, "an array can only be indexed, or counted with len", "")
			} else {
				b.refuse(e, object.Name()+" is a variable of the package, which is not in the subset", "make it a constant, or a parameter")
			}
			return nil
		}
		if len(b.problems) == 0 { // otherwise its declaration was refused: that says it
			b.refuse(e, object.Name()+" is not in the subset", "")
		}
		return nil
	case *types.Func:
		b.refuse(e, "a function as a value is not in the subset", "call it by its name")
		return nil
	}
	b.refuse(e, "this is not in the subset", "")
	return nil
}

// place returns the locals of a local variable or of a field of one.
func (b *body) place(e ast.Expr) ([]int, bool) {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return b.place(e.X)
	case *ast.Ident:
		object := b.info.Uses[e]
		if object == nil {
			object = b.info.Defs[e]
		}
		locals, ok := b.variables[object]
		return locals, ok
	case *ast.SelectorExpr:
		selection := b.info.Selections[e]
		if selection == nil || selection.Kind() != types.FieldVal {
			return nil, false
		}
		locals, ok := b.place(e.X)
		if !ok {
			return nil, false
		}
		from, to, ok := b.field(selection.Recv(), selection.Index())
		if !ok {
			return nil, false
		}
		return locals[from:to:to], true
	}
	return nil, false
}

// field returns the range of slots of the field that the path leads to; false if
// it leads through a pointer.
func (b *body) field(t types.Type, path []int) (from, to int, ok bool) {
	to = len(b.mustLayout(t))
	for _, i := range path {
		s, ok := t.Underlying().(*types.Struct)
		if !ok {
			return 0, 0, false
		}
		for j := range i {
			from += len(b.mustLayout(s.Field(j).Type()))
		}
		t = s.Field(i).Type()
		to = from + len(b.mustLayout(t))
	}
	return from, to, true
}

// selector pushes a field of a value that is no variable.
func (b *body) selector(e *ast.SelectorExpr) []SlotType {
	selection := b.info.Selections[e]
	if selection == nil {
		return b.refuseName(e, b.info.Uses[e.Sel])
	}
	if selection.Kind() != types.FieldVal {
		b.refuse(e, "a method as a value is not in the subset", "call it")
		return nil
	}
	return b.part(e, e.X, selection.Index())
}

// part pushes what the path leads to from the value of x.
func (b *body) part(node ast.Node, x ast.Expr, path []int) []SlotType {
	slots := b.expression(x)
	if slots == nil {
		return nil
	}
	from, to, ok := b.field(b.info.TypeOf(x), path)
	if !ok || to > len(slots) {
		b.refuse(node, "a pointer is not in the subset", "use the value itself")
		return nil
	}
	locals := b.localsFor(slots)
	b.store(locals)
	b.push(locals[from:to])
	return slots[from:to]
}

// composite pushes the fields of a struct literal: those given by push, the
// others by zero.
func (b *body) composite(e *ast.CompositeLit, push func(ast.Expr), zero func([]SlotType)) []SlotType {
	t := b.info.TypeOf(e)
	slots, ok := b.layout(e, t)
	if !ok {
		return nil
	}
	s, ok := t.Underlying().(*types.Struct)
	if !ok {
		b.refuse(e, "this literal is not in the subset", "")
		return nil
	}
	fields := slices.Collect(s.Fields())
	values := make([]ast.Expr, len(fields))
	for i, element := range e.Elts {
		if pair, ok := element.(*ast.KeyValueExpr); ok {
			element = pair.Value
			name, _ := pair.Key.(*ast.Ident)
			if i = slices.IndexFunc(fields, func(f *types.Var) bool { return f == b.info.Uses[name] }); i < 0 {
				b.refuse(pair, describe(pair)+" is not in the subset", "")
				return nil
			}
		}
		values[i] = element
	}
	for i, value := range values {
		if value == nil {
			zero(b.mustLayout(fields[i].Type()))
		} else {
			push(value)
		}
	}
	return slots
}

func (b *body) unary(e *ast.UnaryExpr) []SlotType {
	switch e.Op {
	case token.ADD, token.SUB, token.NOT:
	case token.AND:
		b.refuse(e, "taking the address of a value is not in the subset", "use the value itself")
		return nil
	default:
		b.refuse(e, "the operator "+e.Op.String()+" is not in the subset", "")
		return nil
	}
	if _, ok := b.layout(e, b.info.TypeOf(e)); !ok {
		return nil
	}
	if e.Op == token.SUB && b.kind(e) == Int {
		b.int(0)
	}
	slots := b.expression(e.X)
	if slots == nil {
		return nil
	}
	switch {
	case e.Op == token.NOT:
		b.op(opBEqz)
	case e.Op == token.SUB && slots[0] == Float:
		b.op(opNeg) // 0 - x would give 0 for 0
	case e.Op == token.SUB:
		b.op(opISub)
	}
	return slots
}

// kind returns the slot type of an expression whose type layout has accepted.
func (b *body) kind(e ast.Expr) SlotType {
	if slots := b.mustLayout(b.info.TypeOf(e)); len(slots) == 1 {
		return slots[0]
	}
	return Float
}

func (b *body) binary(e *ast.BinaryExpr) []SlotType {
	switch e.Op {
	case token.LAND:
		return b.and(e)
	case token.LOR:
		x := b.expression(e.X)
		b.or(func() { b.expression(e.Y) })
		return x
	case token.XOR, token.AND, token.OR, token.AND_NOT, token.SHL, token.SHR:
		b.refuseOperator(e, e.Op)
		return nil
	}
	x := b.expression(e.X)
	if x == nil {
		return nil
	}
	y := b.expression(e.Y)
	if y == nil {
		return nil
	}
	if !isBasic(b.info.TypeOf(e.X)) || !isBasic(b.info.TypeOf(e.Y)) || x[0] != y[0] {
		b.refuse(e, "comparing structs is not in the subset", "compare field by field")
		return nil
	}
	if op := comparison(e.Op, x[0]); op != 0 {
		b.op(op)
		return []SlotType{Bool}
	}
	b.arithmeticBy(e, e.Op, x[0], e.Y)
	return x
}

// isBasic reports whether a type that layout has accepted is no struct.
func isBasic(t types.Type) bool {
	_, ok := t.Underlying().(*types.Basic)
	return ok
}

// refuseOperator refuses an operator on bits.
func (b *body) refuseOperator(node ast.Node, op token.Token) {
	hint := "multiply, divide or use % with a constant"
	if op == token.XOR {
		hint = "for a power use the function Pow of the elementary functions"
	}
	b.refuse(node, "the operator "+op.String()+" (on bits) is not in the subset", hint)
}

// and and or evaluate the second operand only if it decides.
func (b *body) and(e *ast.BinaryExpr) []SlotType {
	x := b.expression(e.X)
	label := b.openWith(opIf, 1+int(Bool))
	b.expression(e.Y)
	b.op(opElse)
	b.emit(instr{op: opBoolConst})
	b.end(label, endOfIf)
	return x
}

// or emits this for the first operand on the stack.
func (b *body) or(second func()) {
	label := b.openWith(opIf, 1+int(Bool))
	b.emit(instr{op: opBoolConst, n: 1})
	b.op(opElse)
	second()
	b.end(label, endOfIf)
}

// equality returns the opcode of == for a slot type.
func equality(t SlotType) opcode { return comparison(token.EQL, t) }

// comparison returns the opcode of a comparison, or 0 if op is none.
func comparison(op token.Token, t SlotType) opcode {
	return map[token.Token][3]opcode{
		token.EQL: {Float: opFEq, Int: opIEq, Bool: opBEq},
		token.NEQ: {Float: opFNe, Int: opINe, Bool: opBNe},
		token.LSS: {Float: opFLt, Int: opILtS},
		token.GTR: {Float: opFGt, Int: opIGtS},
		token.LEQ: {Float: opFLe, Int: opILeS},
		token.GEQ: {Float: opFGe, Int: opIGeS},
	}[op][t]
}

// arithmetic emits op on the two numbers on the stack; neither is a divisor.
func (b *body) arithmetic(node ast.Node, op token.Token, t SlotType) {
	b.arithmeticBy(node, op, t, nil)
}

// arithmeticBy emits op on the two numbers on the stack; the upper is that of y.
func (b *body) arithmeticBy(node ast.Node, op token.Token, t SlotType, y ast.Expr) {
	code := map[token.Token][2]opcode{
		token.ADD: {Float: opFAdd, Int: opIAdd},
		token.SUB: {Float: opFSub, Int: opISub},
		token.MUL: {Float: opFMul, Int: opIMul},
		token.QUO: {Float: opFDiv, Int: opIDivS},
		token.REM: {Int: opIRemS},
	}[op]
	if t == Bool || code[t] == 0 {
		b.refuseOperator(node, op)
		return
	}
	if code[t] == opIDivS && !b.safeDivisor(y) {
		b.callTo(b.divide())
		return
	}
	b.op(code[t])
}

// safeDivisor reports whether a divisor is a constant other than -1, by which
// the least int cannot be divided.
func (b *body) safeDivisor(y ast.Expr) bool {
	v := b.info.Types[y].Value
	return v != nil && v.ExactString() != "-1"
}
