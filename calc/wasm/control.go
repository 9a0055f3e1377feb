package wasm

import (
	"go/ast"
	"go/token"
	"go/types"
)

func (b *body) ifElse(s *ast.IfStmt) {
	if s.Init != nil {
		b.statement(s.Init, "")
	}
	b.expression(s.Cond)
	b.ifThen(func() { b.block(s.Body.List) }, func() {
		if s.Else != nil {
			b.statement(s.Else, "")
		}
	})
}

// ifThen emits an if over the condition on the stack. The else is left out if
// otherwise emits nothing.
func (b *body) ifThen(then, otherwise func()) {
	label := b.open(opIf)
	then()
	at := len(b.code)
	b.op(opElse)
	otherwise()
	if len(b.code) == at+1 {
		b.code = b.code[:at]
	}
	b.end(label, endOfIf)
}

func (b *body) end(label int64, what int) { b.emit(instr{op: opEnd, n: label, result: what}) }

// switchOver translates a switch as a chain of ifs.
func (b *body) switchOver(s *ast.SwitchStmt, label string) {
	if s.Init != nil {
		b.statement(s.Init, "")
	}
	var tag int
	var tagType SlotType
	if s.Tag != nil {
		slots := b.expression(s.Tag)
		if slots == nil {
			return
		}
		if !isBasic(b.info.TypeOf(s.Tag)) {
			b.refuse(s.Tag, "a switch over a struct is not in the subset", "compare field by field")
			return
		}
		tagType = slots[0]
		tag = b.local(tagType)
		b.set(tag)
	}
	block := b.open(opBlock)
	b.targets = append(b.targets, target{label: label, breakTo: block})
	var clauses []*ast.CaseClause
	var otherwise []ast.Stmt
	for _, clause := range s.Body.List {
		clause := clause.(*ast.CaseClause)
		if clause.List == nil {
			otherwise = clause.Body
			continue
		}
		clauses = append(clauses, clause)
	}
	matches := func(e ast.Expr) {
		if s.Tag == nil {
			b.expression(e)
			return
		}
		b.get(tag)
		if len(b.expression(e)) == 1 {
			b.op(equality(tagType))
		}
	}
	var ends []int64
	for _, clause := range clauses {
		matches(clause.List[0])
		for _, e := range clause.List[1:] {
			b.or(func() { matches(e) })
		}
		ends = append(ends, b.open(opIf))
		b.block(clause.Body)
		b.op(opElse)
	}
	b.block(otherwise)
	for i := len(ends) - 1; i >= 0; i-- {
		if b.code[len(b.code)-1].op == opElse {
			b.code = b.code[:len(b.code)-1]
		}
		b.end(ends[i], endOfIf)
	}
	b.targets = b.targets[:len(b.targets)-1]
	b.end(block, 0)
}

func (b *body) forLoop(s *ast.ForStmt, label string) {
	if s.Init != nil {
		b.statement(s.Init, "")
	}
	b.loop(label, func(leave int64) {
		if s.Cond != nil {
			b.expression(s.Cond)
			b.op(opBEqz)
			b.brIf(leave)
		}
	}, s.Body.List, func() {
		if s.Post != nil {
			b.statement(s.Post, "")
		}
	})
}

// loop emits a loop: test leaves it, next stands where continue leads.
func (b *body) loop(label string, test func(leave int64), list []ast.Stmt, next func()) {
	wasInLoop, callsBefore := b.inLoop, b.calls
	b.inLoop, b.calls = true, 0
	leave := b.open(opBlock)
	top := b.open(opLoop)
	burn := len(b.code)
	b.emit(instr{op: opBoolConst})
	b.callTo(b.burn())
	test(leave)
	again := b.open(opBlock)
	b.targets = append(b.targets, target{label, leave, again, true})
	b.block(list)
	b.targets = b.targets[:len(b.targets)-1]
	b.end(again, 0)
	next()
	b.br(top)
	b.end(top, endOfLoop)
	b.end(leave, 0)
	b.code[burn].n = int64(1 + b.calls + (len(b.code)-burn)/100)
	b.inLoop, b.calls = wasInLoop, callsBefore
}

// rangeLoop translates a range over an int. What the body does to the variable
// does not change the count, so the count has a local of its own.
func (b *body) rangeLoop(s *ast.RangeStmt, label string) {
	basic, ok := b.info.TypeOf(s.X).Underlying().(*types.Basic)
	if !ok || basic.Kind() != types.Int && basic.Kind() != types.UntypedInt {
		b.refuse(s.X, "range runs over an int only", "write for i := range len(a) and index the array a")
		return
	}
	if b.expression(s.X) == nil {
		return
	}
	limit, count := b.local(Int), b.local(Int)
	b.set(limit)
	b.int(0)
	b.set(count)
	var place []int
	if s.Key != nil {
		if name, ok := s.Key.(*ast.Ident); !ok || name.Name != "_" {
			if place = b.target(s.Key, []SlotType{Int}); len(place) != 1 {
				return
			}
		}
	}
	b.loop(label, func(leave int64) {
		b.get(count)
		b.get(limit)
		b.op(opIGeS)
		b.brIf(leave)
		if place != nil {
			b.get(count)
			b.set(place[0])
		}
	}, s.Body.List, func() {
		b.get(count)
		b.int(1)
		b.op(opIAdd)
		b.set(count)
	})
}

func (b *body) branch(s *ast.BranchStmt) {
	if s.Tok == token.BREAK || s.Tok == token.CONTINUE {
		for i := len(b.targets) - 1; i >= 0; i-- {
			t := b.targets[i]
			if s.Label != nil && t.label != s.Label.Name || s.Tok == token.CONTINUE && !t.canContinue {
				continue
			}
			if s.Tok == token.BREAK {
				b.br(t.breakTo)
			} else {
				b.br(t.continueTo)
			}
			return
		}
	}
	hint := "write a loop with break and continue"
	if s.Tok == token.FALLTHROUGH {
		hint = "list the values in one case: case 1, 2:"
	}
	b.refuse(s, s.Tok.String()+" is not in the subset", hint)
}

func (b *body) returns(s *ast.ReturnStmt) {
	if len(s.Results) == 0 {
		for v := range b.signature.Results().Variables() {
			b.pushResult(b.variables[v])
		}
	}
	for _, e := range s.Results {
		b.result(e)
	}
	b.op(opReturn)
}

// result pushes a value that is returned.
func (b *body) result(e ast.Expr) {
	if place, ok := b.place(e); ok && b.border {
		b.pushResult(place)
		return
	}
	if literal, ok := ast.Unparen(e).(*ast.CompositeLit); ok && b.border {
		b.composite(literal, b.result, func(slots []SlotType) { b.zero(make([]SlotType, len(slots))) })
		return
	}
	slots := b.expression(e)
	if !b.border {
		return
	}
	for i, t := range slots {
		if t == Float {
			continue
		}
		// Slots from here on are taken off the stack, converted and put back.
		locals := b.localsFor(slots[i:])
		b.store(locals)
		b.pushResult(locals)
		return
	}
}

// pushResult pushes locals, at the border as f64.
func (b *body) pushResult(locals []int) {
	for _, local := range locals {
		b.get(local)
		if !b.border {
			continue
		}
		switch b.locals[local] {
		case Int:
			b.op(opIntToFloat)
		case Bool:
			b.op(opBoolToFloat)
		}
	}
}
