package wasm

import (
	"fmt"
	"go/ast"
	"go/types"
	"strings"
)

// Compile compiles the named function of the source's package and what it
// calls. The Module is nil if there are problems.
func (p *Program) Compile(name string) (*Module, []Problem) {
	c := &compiler{
		Program:   p,
		functions: map[*types.Func]*function{},
		tables:    map[types.Object]*function{},
		checked:   map[ast.Expr]bool{},
	}
	entry, ok := p.source.Scope().Lookup(name).(*types.Func)
	if !ok || p.functions[entry] == nil {
		return nil, []Problem{{Message: fmt.Sprintf("package %q has no function %s", p.source.Path(), name)}}
	}
	module := c.entry(entry)
	if len(c.problems) > 0 {
		return nil, sortProblems(c.problems)
	}
	for _, f := range c.module {
		f.shorten()
	}
	module.Bytes = encode(c.module, c.burner != nil)
	return module, nil
}

// compiler is the state of one Compile.
type compiler struct {
	*Program
	module    []*function                // in the order of their indices
	functions map[*types.Func]*function  // translated, or nil while being translated
	tables    map[types.Object]*function // that index a constant array
	checked   map[ast.Expr]bool          // constant expressions looked at
	problems  []Problem

	burner, divider, converter *function // helpers, if used
}

// refuse records a problem with the extent of a node.
func (c *compiler) refuse(node ast.Node, message, hint string) {
	c.problems = append(c.problems, c.problem(node.Pos(), node.End(), message, hint))
}

// newFunction adds a function to the module.
func (c *compiler) newFunction(params, results []SlotType) *function {
	f := &function{params: params, results: results, index: len(c.module)}
	f.locals = append(f.locals, params...)
	c.module = append(c.module, f)
	return f
}

// entry translates the function that is exported: at its border every number is
// an f64.
func (c *compiler) entry(object *types.Func) *Module {
	decl := c.Program.functions[object]
	signature := object.Signature()
	if !c.callable(decl, decl.Name, object) {
		return nil
	}
	module := &Module{Inputs: c.slots(signature.Params()), Results: c.slots(signature.Results())}
	if len(module.Results) == 0 {
		c.refuse(decl.Name, "the function returns nothing", "return the results, in a struct for instance")
		return nil
	}
	f := c.newFunction(make([]SlotType, len(module.Inputs)), make([]SlotType, len(module.Results)))
	c.functions[object] = nil
	b := &body{compiler: c, function: f, variables: map[types.Object][]int{}, signature: signature, border: true}
	param := 0
	for v := range signature.Params().Variables() {
		for range c.mustLayout(v.Type()) {
			local := param
			switch module.Inputs[param].Type {
			case Int:
				local = b.local(Int)
				b.get(param)
				b.op(opSaturate)
				b.set(local)
			case Bool:
				local = b.local(Bool)
				b.get(param)
				b.float(0)
				b.op(opFNe)
				b.set(local)
			}
			b.variables[v] = append(b.variables[v], local)
			param++
		}
	}
	b.translate(decl)
	c.functions[object] = f
	if c.burner != nil {
		f.code = append([]instr{{op: opBoolConst, n: Fuel}, {op: opGlobalSet}}, f.code...)
	}
	return module
}

// enter turns to the program that knows an object's declaration, until the
// function that it returns is called.
func (c *compiler) enter(object types.Object) (leave func()) {
	caller := c.Program
	for c.base != nil && object.Pkg() != c.source {
		c.Program = c.base
	}
	return func() { c.Program = caller }
}

// function returns the translation of a function that is called at node, or nil
// if it was refused.
func (c *compiler) function(node ast.Node, object *types.Func) *function {
	f, seen := c.functions[object]
	if f != nil {
		return f
	}
	if seen {
		c.refuse(node, object.Name()+" calls itself, directly or through another function", "write a loop with a bound instead")
		return nil
	}
	defer c.enter(object)()
	decl := c.Program.functions[object]
	if !c.callable(decl, node, object) {
		return nil
	}
	if len(c.module) >= maxFuncs {
		c.refuse(node, fmt.Sprintf("the calculator needs more than %d functions", maxFuncs), "")
		return nil
	}
	signature := object.Signature()
	var params []SlotType
	if signature.Recv() != nil {
		params = c.mustLayout(signature.Recv().Type())
	}
	params = append(params, c.mustLayout(signature.Params())...)
	f = c.newFunction(params, c.mustLayout(signature.Results()))
	c.functions[object] = nil
	b := &body{compiler: c, function: f, variables: map[types.Object][]int{}, signature: signature}
	param := 0
	bind := func(v *types.Var) {
		for range c.mustLayout(v.Type()) {
			b.variables[v] = append(b.variables[v], param)
			param++
		}
	}
	if signature.Recv() != nil {
		bind(signature.Recv())
	}
	for v := range signature.Params().Variables() {
		bind(v)
	}
	b.translate(decl)
	c.functions[object] = f
	return f
}

// callable refuses, at its declaration or else at node, a function whose
// signature is not in the subset.
func (c *compiler) callable(decl *ast.FuncDecl, node ast.Node, object *types.Func) bool {
	signature := object.Signature()
	switch {
	case decl == nil || decl.Body == nil:
		c.refuse(node, object.Name()+" has no body that can be compiled", "")
		return false
	case signature.TypeParams() != nil || signature.RecvTypeParams() != nil:
		c.refuse(decl.Name, "a function with type parameters is not in the subset", "write it for float64")
		return false
	case signature.Variadic():
		c.refuse(decl.Name, "a function with any number of arguments (...) is not in the subset", "name each parameter")
		return false
	}
	before := len(c.problems)
	for _, list := range []*ast.FieldList{decl.Recv, decl.Type.Params, decl.Type.Results} {
		if list == nil {
			continue
		}
		for _, field := range list.List {
			c.layout(field.Type, c.info.TypeOf(field.Type))
		}
	}
	if len(c.problems) > before {
		return false
	}
	for _, tuple := range []*types.Tuple{signature.Params(), signature.Results()} {
		if len(c.mustLayout(tuple)) > maxSlots {
			c.refuse(decl.Name, fmt.Sprintf("the function has more than %d numbers as parameters or as results", maxSlots), "")
			return false
		}
	}
	return true
}

// layout returns the slots of a value of the type, or refuses the type at node
// and returns false.
func (c *compiler) layout(node ast.Node, t types.Type) ([]SlotType, bool) {
	var slots []Slot
	if refused, hint := flatten(&slots, "", t, 0); refused != "" {
		c.refuse(node, refused, hint)
		return nil, false
	}
	return slotTypes(slots), true
}

// mustLayout returns the slots of a type that layout has accepted, or of the
// variables of a tuple of such types.
func (c *compiler) mustLayout(t types.Type) []SlotType {
	if tuple, ok := t.(*types.Tuple); ok {
		return slotTypes(c.slots(tuple))
	}
	var slots []Slot
	flatten(&slots, "", t, 0)
	return slotTypes(slots)
}

// slots returns the named slots of parameters or results.
func (c *compiler) slots(tuple *types.Tuple) []Slot {
	var slots []Slot
	for v := range tuple.Variables() {
		name := v.Name()
		if _, ok := v.Type().Underlying().(*types.Struct); ok {
			name = ""
		}
		flatten(&slots, name, v.Type(), 0)
	}
	return slots
}

func slotTypes(slots []Slot) []SlotType {
	out := make([]SlotType, len(slots))
	for i, s := range slots {
		out[i] = s.Type
	}
	return out
}

// flatten appends the slots of a type, or says why it is not in the subset.
func flatten(slots *[]Slot, name string, t types.Type, depth int) (refused, hint string) {
	switch u := t.Underlying().(type) {
	case *types.Basic:
		var slot SlotType
		switch u.Kind() {
		case types.Float64, types.UntypedFloat:
			slot = Float
		case types.Int, types.UntypedInt:
			slot = Int
		case types.Bool, types.UntypedBool:
			slot = Bool
		default:
			return refusedBasic(t, u)
		}
		if len(*slots) >= maxSlots {
			return fmt.Sprintf("the type holds more than %d numbers", maxSlots), ""
		}
		*slots = append(*slots, Slot{name, slot})
		return "", ""
	case *types.Struct:
		if depth >= 20 {
			return "the struct is nested more than 20 deep", ""
		}
		if u.NumFields() == 0 { // many of them, nested, would take for ever and no slot
			return "a struct without fields is not in the subset", ""
		}
		for field := range u.Fields() {
			inner := field.Name()
			if name != "" {
				inner = name + "." + inner
			}
			if refused, hint = flatten(slots, inner, field.Type(), depth+1); refused != "" {
				return refused, hint
			}
		}
		return "", ""
	case *types.Array:
		return article(typeName(t)) + " is not in the subset here", "declare a constant array at package level and index it, or use the fields of a struct"
	case *types.Pointer:
		return article(typeName(t)) + " is not in the subset", "use the value itself"
	case *types.Slice:
		return article(typeName(t)) + " is not in the subset", "declare a constant array at package level and index it"
	}
	return article(typeName(t)) + " is not in the subset", "use float64, int, bool or a struct of them"
}

// refusedBasic says why a type over a basic type is not in the subset.
func refusedBasic(t types.Type, u *types.Basic) (refused, hint string) {
	refused = article(typeName(t)) + " is not in the subset"
	switch {
	case u.Info()&types.IsString != 0:
		return refused, "return a named int; its words belong to the messages"
	case u.Info()&types.IsInteger != 0:
		return refused, "use int"
	case u.Info()&types.IsFloat != 0:
		return refused, "use float64"
	}
	return refused, "use float64, int, bool or a struct of them"
}

// typeName returns the type as the author writes it.
func typeName(t types.Type) string {
	return types.TypeString(t, func(p *types.Package) string { return p.Name() })
}

// article puts "a value of type" before a type's name.
func article(name string) string { return "a value of type " + name }

// describe names a kind of node for a message.
func describe(node ast.Node) string {
	name := strings.TrimPrefix(fmt.Sprintf("%T", node), "*ast.")
	if s, ok := nodeNames[name]; ok {
		return s
	}
	return "this"
}

var nodeNames = map[string]string{
	"FuncLit":        "a function without a name",
	"SliceExpr":      "a slice of an array",
	"StarExpr":       "a pointer",
	"TypeAssertExpr": "a type assertion",
	"IndexListExpr":  "a function with type parameters",
	"DeferStmt":      "defer",
	"GoStmt":         "go",
	"SelectStmt":     "select",
	"SendStmt":       "sending to a channel",
	"TypeSwitchStmt": "a switch over types",
	"KeyValueExpr":   "a key",
}
