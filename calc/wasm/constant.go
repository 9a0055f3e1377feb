package wasm

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
)

// constant pushes the value of a constant expression as go/types has folded it.
func (b *body) constant(e ast.Expr, value types.TypeAndValue) []SlotType {
	slots, ok := b.layout(e, value.Type)
	if !ok || !b.check(e) {
		return nil
	}
	switch slots[0] {
	case Float:
		v, _ := constant.Float64Val(constant.ToFloat(value.Value))
		b.float(v)
	case Int:
		v, exact := constant.Int64Val(constant.ToInt(value.Value))
		if !exact {
			b.refuse(e, "the constant is no int", "")
			return nil
		}
		b.int(v)
	case Bool:
		in := instr{op: opBoolConst}
		if constant.BoolVal(value.Value) {
			in.n = 1
		}
		b.emit(in)
	}
	return slots
}

// check looks at the parts of a constant expression, and at the constants that
// it names: a quotient of whole numbers that leaves a remainder is a mistake in a
// formula (1/2 is 0), and the type of every part must be in the subset, though
// the value that go/types gives the whole would be right.
func (c *compiler) check(e ast.Expr) bool {
	if c.checked[e] {
		return true // or reported already
	}
	c.checked[e] = true
	before := len(c.problems)
	place := e
	if call, ok := e.(*ast.CallExpr); ok && c.info.Types[call.Fun].IsType() {
		place = call.Fun
	}
	if _, ok := c.layout(place, c.info.TypeOf(e)); !ok {
		return false
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		c.check(e.X)
	case *ast.BasicLit:
		if e.Kind != token.INT && e.Kind != token.FLOAT {
			c.refuse(e, "a constant that is no number is not in the subset", "")
		}
	case *ast.Ident:
		c.checkNamed(c.info.Uses[e])
	case *ast.SelectorExpr:
		c.checkNamed(c.info.Uses[e.Sel])
	case *ast.UnaryExpr:
		c.check(e.X)
	case *ast.BinaryExpr:
		c.check(e.X)
		c.check(e.Y)
		if e.Op == token.QUO {
			c.checkQuotient(e)
		}
	case *ast.CallExpr:
		c.checkCall(e)
	default:
		c.refuse(e, "this constant is not in the subset", "")
	}
	return len(c.problems) == before
}

func (c *compiler) checkNamed(object types.Object) {
	if object == nil {
		return
	}
	defer c.enter(object)()
	if e := c.constants[object]; e != nil {
		c.check(e)
	}
}

// checkQuotient refuses a quotient of whole numbers that is not whole.
func (c *compiler) checkQuotient(e *ast.BinaryExpr) {
	x, y := c.info.Types[e.X], c.info.Types[e.Y]
	if !isInteger(x.Type) || !isInteger(y.Type) || x.Value == nil || y.Value == nil {
		return
	}
	n, d := constant.ToInt(x.Value), constant.ToInt(y.Value)
	if n.Kind() != constant.Int || d.Kind() != constant.Int || constant.Sign(d) == 0 {
		return
	}
	if c.namesIota(e) { // the values here are those of one of the lines that share e
		c.refuse(e, "a division of whole numbers with iota may lose its remainder", "write float64(iota), or each value by itself")
		return
	}
	if constant.Sign(constant.BinaryOp(n, token.REM, d)) != 0 {
		c.refuse(e, fmt.Sprintf("%s/%s is a division of whole numbers and gives %s", n, d, constant.BinaryOp(n, token.QUO_ASSIGN, d)),
			fmt.Sprintf("write %s.0/%s", n, d))
	}
}

// namesIota reports whether iota stands in an expression.
func (c *compiler) namesIota(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(node ast.Node) bool {
		name, ok := node.(*ast.Ident)
		found = found || ok && c.info.Uses[name] == types.Universe.Lookup("iota")
		return !found
	})
	return found
}

func isInteger(t types.Type) bool {
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsInteger != 0
}

// checkCall looks into a conversion, min or max; len of an array is a constant
// by its type.
func (c *compiler) checkCall(e *ast.CallExpr) {
	if c.info.Types[e.Fun].IsType() {
		c.check(e.Args[0])
		return
	}
	name, ok := ast.Unparen(e.Fun).(*ast.Ident)
	if !ok {
		c.refuse(e, "this constant is not in the subset", "")
		return
	}
	if builtin, ok := c.info.Uses[name].(*types.Builtin); ok && builtin.Name() == "len" {
		if _, ok := c.info.TypeOf(e.Args[0]).Underlying().(*types.Array); !ok {
			c.refuse(e, "len is for arrays", "")
		}
		return
	}
	for _, argument := range e.Args {
		c.check(argument)
	}
}
