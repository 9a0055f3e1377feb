package wasmtest

import "fmt"

// statements writes n statements.
func (g *generator) statements(n int) {
	for range n {
		if g.budget--; g.budget < 0 {
			return
		}
		g.statement()
	}
}

// block writes a block of its own scope behind the text of its head.
func (g *generator) block(head string, inner func()) {
	scope := len(g.scope)
	g.line(head)
	g.indent++
	inner()
	g.indent--
	g.scope = g.scope[:scope:scope]
	g.line("}")
}

func (g *generator) body() { g.statements(1 + g.r.IntN(4)) }

func (g *generator) statement() {
	kinds := []kind{float, whole, truth, pair, nest, level}
	switch g.r.IntN(19) {
	case 0, 1, 2:
		g.declare(kinds[g.r.IntN(len(kinds))])
	case 3, 4:
		k := kinds[g.r.IntN(len(kinds))]
		if v := g.variable(k, true); v != "" {
			g.line(v + " = " + g.expr(k, 3))
		}
	case 5, 6:
		g.line(g.variable(float, true) + g.pick(" += ", " -= ", " *= ", " /= ") + "float64(" + g.expr(float, 2) + ")")
	case 7:
		g.line(g.variable(whole, true) + g.pick(" += ", " -= ", " *= ") + g.operand(whole, 2))
	case 8:
		if g.chance(2) {
			g.line(g.variable(g.numeric(), true) + g.pick("++", "--"))
		} else {
			g.line(g.variable(whole, true) + g.pick(" /= -1", " %= 5", " /= 3"))
		}
	case 9:
		k := kinds[g.r.IntN(4)]
		g.line(g.variable(k, true) + ", _, " + g.variable(whole, true) + " = " + g.expr(k, 2) + ", " + g.operand(float, 1) + ", " + g.operand(whole, 2))
	case 10:
		g.call()
	case 11, 12:
		g.line("if " + g.expr(truth, 3) + " {")
		g.arm()
		if g.chance(2) {
			g.line("} else if x := " + g.expr(float, 2) + "; x > " + g.operand(float, 1) + " {")
			g.arm()
		}
		g.block("} else {", g.body)
	case 13:
		g.switchLevel()
	case 14:
		g.switchNumber()
	case 15, 16, 17:
		g.loop()
	case 18:
		v := g.variable(float, false)
		inner := g.name()
		g.block("{", func() { // the inner name hides the outer from here on
			g.line(inner + " := " + v)
			g.block("{", func() {
				g.line(inner + " := " + inner + " + " + g.operand(float, 2))
				g.scope = append(g.scope, variable{inner, float, false})
				g.body()
				g.line("_ = " + inner)
			})
			g.line(g.variable(float, true) + " -= " + inner)
		})
	}
}

func (g *generator) numeric() kind {
	if g.chance(2) {
		return float
	}
	return whole
}

// arm writes the statements of a branch, the brace left to who follows.
func (g *generator) arm() {
	scope := len(g.scope)
	g.indent++
	g.body()
	switch {
	case g.chance(5):
		g.returns()
	case g.loops > 0 && g.chance(4):
		g.line(g.pick("break", "continue"))
	}
	g.indent--
	g.scope = g.scope[:scope:scope]
}

// call calls a helper, in at most one loop, so that the turns stay few.
func (g *generator) call() {
	if g.calls == 0 || g.loops > 1 {
		return
	}
	call := fmt.Sprintf("help%d(%s, %s, %s, %s)", g.r.IntN(g.calls), g.expr(float, 2), g.operand(float, 1), g.operand(whole, 2), g.expr(truth, 2))
	switch g.r.IntN(3) {
	case 0:
		g.line(call)
	case 1:
		g.line(g.variable(float, true) + ", " + g.variable(whole, true) + " = " + call)
	case 2:
		x, n := g.name(), g.name()
		g.line(x + ", " + n + " := " + call)
		g.line("_, _ = " + x + ", " + n)
		g.scope = append(g.scope, variable{x, float, false}, variable{n, whole, false})
	}
}

func (g *generator) switchLevel() {
	g.line("switch l := " + g.expr(level, 3) + "; l {")
	g.line("case low, " + g.expr(level, 2) + ":")
	g.arm()
	if g.chance(2) {
		g.line("default:")
		g.arm()
	}
	g.line("case high:")
	g.arm()
	if g.chance(2) {
		g.indent++
		g.line("if " + g.expr(truth, 2) + " {")
		g.line("\tbreak")
		g.line("}")
		g.indent--
		g.arm()
		g.line("case middle:")
	}
	g.line("}")
}

func (g *generator) switchNumber() {
	if g.chance(2) {
		g.line("switch {")
		g.line("case " + g.expr(truth, 2) + ", " + g.expr(truth, 2) + ":")
		g.arm()
		g.line("case " + g.expr(truth, 3) + ":")
	} else {
		g.line("switch " + g.expr(float, 2) + " {")
		g.line("case 0, 1.5, " + g.expr(float, 2) + ":")
		g.arm()
		g.line("case " + g.expr(float, 2) + ":")
	}
	g.arm()
	g.line("default:")
	g.arm()
	g.line("}")
}

// loop writes one of the forms of a loop, of at most seven turns and nested at
// most three deep.
func (g *generator) loop() {
	if g.loops >= 3 || g.loops >= 1 && !g.entry {
		return
	}
	g.loops++
	defer func() { g.loops-- }()
	i := g.name()
	leave := func(label string) {
		if g.chance(2) {
			g.line("if " + g.expr(truth, 2) + " {")
			g.line("\t" + g.pick("break", "continue") + label)
			g.line("}")
		}
	}
	switch g.r.IntN(5) {
	case 0:
		g.block(fmt.Sprintf("for %s := 0; %s < %d; %s++ {", i, i, g.r.IntN(6), i), func() {
			g.scope = append(g.scope, variable{i, whole, true})
			g.body()
			leave("")
			g.body()
		})
	case 1:
		g.block("for "+i+" := range min("+g.expr(whole, 2)+", "+g.pick("3", "7")+") {", func() {
			g.scope = append(g.scope, variable{i, whole, false})
			g.body()
			leave("")
			g.body()
			g.line("_ = " + i)
		})
	case 2:
		g.line(i + " := 0")
		g.block("for {", func() {
			g.line("if " + i + "++; " + i + " > 4 {")
			g.line("\tbreak")
			g.line("}")
			g.body()
			leave("")
			g.line("var zero Pair")
			g.line("zero.U += " + g.expr(float, 2))
			g.line(g.variable(float, true) + " = zero.U")
		})
	case 3:
		label := "L" + i
		g.line(label + ":")
		g.block(fmt.Sprintf("for %s := %d; %s > 0; %s-- {", i, 1+g.r.IntN(4), i, i), func() {
			g.scope = append(g.scope, variable{i, whole, true})
			g.block("for range 3 {", func() {
				g.body()
				g.line("if " + g.expr(truth, 2) + " {")
				g.line("\t" + g.pick("break ", "continue ") + label)
				g.line("}")
				g.body()
			})
			g.body()
		})
	case 4:
		g.block("for "+i+" := 1.0; "+i+" < 20; "+i+" *= 2 {", func() {
			g.scope = append(g.scope, variable{i, float, true})
			g.body()
			leave("")
		})
	}
}
