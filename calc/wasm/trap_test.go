package wasm_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"benchleaf/calc/wasm"
)

// Each place where a module could differ from Go, or run for ever, has a test
// here that is named for it.

// given is a body of F(x, y float64, n, m int) float64, its inputs, and the
// result worked by hand.
type given struct {
	body string
	in   [4]float64
	want float64
}

var inf, nan, negativeZero = math.Inf(1), math.NaN(), math.Copysign(0, -1)

// around4 puts declarations and a body into a source.
func around4(declarations, body string) string {
	return "package p\nimport \"benchleaf/calc/elementary\"\nvar _ = elementary.Abs\n" + declarations + "\nfunc F(x, y float64, n, m int) float64 {\n" + body + "\n}\n"
}

// hold compiles each body behind the declarations and compares its result.
func hold(t *testing.T, declarations string, cases ...given) {
	t.Helper()
	for _, c := range cases {
		if got := value(t, around4(declarations, c.body), c.in[:]...); !same(got, c.want) {
			t.Errorf("%s\n%s with %v gives %v, want %v", declarations, c.body, c.in, got, c.want)
		}
	}
}

// A limit is an input n with which a body traps, and one with which it does not.
type limit struct {
	body       string
	trap, fine float64
}

// holdTraps compiles each body and calls it with both; a trap is an error, and
// the instance works on after it.
func holdTraps(t *testing.T, declarations string, cases ...limit) {
	t.Helper()
	for _, c := range cases {
		instance := load(t, around4(declarations, c.body))
		if _, err := instance.Call([]float64{1, 2, c.trap, 0}); err == nil {
			t.Errorf("%s does not trap for %v", c.body, c.trap)
		}
		if _, err := instance.Call([]float64{1, 2, c.fine, 0}); err != nil {
			t.Errorf("%s traps for %v: %v", c.body, c.fine, err)
		}
	}
}

// A wrong is a statement, or a declaration and a statement parted by " / ", that
// must be refused where it stands between ‹ and ›.
type wrong struct{ text, message string }

// holdRefused holds each to one problem with that message and place.
func holdRefused(t *testing.T, cases ...wrong) {
	t.Helper()
	for _, c := range cases {
		declarations, statement, found := strings.Cut(c.text, " // ")
		if !found {
			declarations, statement = "", c.text
		}
		marked := around(declarations, statement)
		before, rest, _ := strings.Cut(marked, "‹")
		inside, after, _ := strings.Cut(rest, "›")
		got := problemsOf(sourceOf(before + inside + after))
		if len(got) != 1 || got[0].Message != c.message || got[0].Offset != len(before) || got[0].End != len(before)+len(inside) {
			t.Errorf("%s\n have %s want %q at %d", c.text, show(got...), c.message, len(before))
		}
	}
}

// WebAssembly never fuses a product into a sum; with float64(...) Go does not
// either. (1 + 2^-27)(1 - 2^-27) = 1 - 2^-54, which rounds to 1; a fused sum
// would leave -2^-54.
func TestTrapFusedProduct(t *testing.T) {
	in := [4]float64{1 + 0x1p-27, 1 - 0x1p-27}
	hold(t, "",
		given{"return float64(x*y) - 1", in, 0},
		given{"return x*y - 1", in, 0},
		given{"x *= y; return x - 1", in, 0},
		given{"z := x * y; return z - 1", in, 0},
	)
	x, y := in[0], in[1]
	if native := float64(x*y) - 1; native != 0 {
		t.Errorf("float64(x*y) - 1 is %v natively", native)
	}
}

// A conversion of NaN or of what is out of range traps as an instruction; on
// amd64 it gives the least int.
func TestTrapFloatToInt(t *testing.T) {
	for in, want := range map[float64]float64{
		nan: -0x1p63, inf: -0x1p63, -inf: -0x1p63, 0x1p63: -0x1p63, -0x1p63: -0x1p63, -0x1.0000000000001p63: -0x1p63,
		math.MaxFloat64: -0x1p63, 0x1.fffffffffffffp62: 0x1.fffffffffffffp62, 2.9: 2, -2.9: -2, -0.5: 0, 5e-324: 0,
	} {
		hold(t, "type K int", given{"return float64(int(x))", [4]float64{in}, want}, given{"return float64(K(x))", [4]float64{in}, want})
	}
	// At the border an int comes in saturated, whatever an int is called.
	for in, want := range map[float64]float64{nan: 0, inf: 0x1p63, -inf: -0x1p63, 2.9: 2, -2.9: -2} {
		hold(t, "", given{"return float64(n)", [4]float64{0, 0, in}, want})
	}
}

// The least int divided by -1 traps as an instruction; in Go it is itself.
func TestTrapLeastDividedByMinusOne(t *testing.T) {
	least := [4]float64{0, 0, -0x1p63, -1}
	hold(t, "const minus, less = -1, 2 - 3.0\ntype K int",
		given{"return float64(n / m)", least, -0x1p63},
		given{"n /= m; return float64(n)", least, -0x1p63},
		given{"return float64(n / -1)", least, -0x1p63},
		given{"n /= -1; return float64(n)", least, -0x1p63},
		given{"return float64(n / minus)", least, -0x1p63},
		given{"return float64(n / (less))", least, -0x1p63},
		given{"return float64(K(n) / K(m))", least, -0x1p63},
		given{"return float64(n / m)", [4]float64{0, 0, 7, -1}, -7},
		given{"return float64(n / -1)", [4]float64{0, 0, 7}, -7},
		given{"return float64(n / m)", [4]float64{0, 0, -7, 2}, -3},
		given{"return float64(n / -2)", [4]float64{0, 0, -0x1p63}, 0x1p62},
	)
}

// The remainder by -1 is 0 in both, and has the sign of the dividend.
func TestTrapRemainder(t *testing.T) {
	hold(t, "",
		given{"return float64(n % m)", [4]float64{0, 0, -0x1p63, -1}, 0},
		given{"return float64(n % -1)", [4]float64{0, 0, -0x1p63}, 0},
		given{"n %= m; return float64(n)", [4]float64{0, 0, -0x1p63, -1}, 0},
		given{"return float64(n % m)", [4]float64{0, 0, -7, 2}, -1},
		given{"return float64(n % m)", [4]float64{0, 0, 7, -2}, 1},
	)
}

// An int division by zero traps in both; one of floats does not.
func TestTrapDivisionByZero(t *testing.T) {
	holdTraps(t, "",
		limit{"return float64(1 / n)", 0, 1},
		limit{"return float64(1 % n)", 0, 1},
		limit{"m /= n; return 1", 0, 1},
		limit{"m %= n; return 1", 0, 1},
		limit{"_ = 1 / n; return 1", 0, 1}, // unused, but not left out
	)
	hold(t, "",
		given{"return x / y", [4]float64{1, 0}, inf},
		given{"return x / y", [4]float64{1, negativeZero}, -inf},
		given{"return x / y", [4]float64{0, 0}, nan},
		given{"return x / 0", [4]float64{-1}, -inf},
	)
	holdRefused(t, wrong{"s.N = n / ‹0›", "invalid operation: division by zero"}, wrong{"s.N = n % ‹0›", "invalid operation: division by zero"})
}

// An index out of range traps, whatever of it an i32 would keep.
func TestTrapIndex(t *testing.T) {
	const table = "var table = [...]float64{5, 1, 1e-300, -2}; var large [1000]float64"
	holdTraps(t, table,
		limit{"return table[n]", 4, 3}, limit{"return table[n]", -1, 0}, limit{"return table[n]", 1 << 32, 0},
		limit{"return table[n]", -0x1p63, 2}, limit{"_ = table[n]; return 1", 4, 0}, limit{"return large[n]", 1000, 999},
	)
	hold(t, table, given{"return table[n]", [4]float64{0, 0, 2}, 1e-300}, given{"return float64(len(table))", [4]float64{}, 4})
}

// -x is no 0 - x: that would lose the sign of zero.
func TestTrapSignOfZero(t *testing.T) {
	hold(t, "",
		given{"return -x", [4]float64{0}, negativeZero},
		given{"return -x", [4]float64{negativeZero}, 0},
		given{"return -(-x)", [4]float64{negativeZero}, negativeZero},
		given{"return 0 - x", [4]float64{0}, 0},
		given{"return 1 / -x", [4]float64{0}, -inf},
		given{"return -0.0", [4]float64{}, 0}, // a constant is never -0
		given{"return x * -0.0", [4]float64{-1}, negativeZero},
		given{"const z = -1e-400; return z", [4]float64{}, 0},
		given{"return float64(-n)", [4]float64{}, 0},
		given{"return float64(-n)", [4]float64{0, 0, -0x1p63}, -0x1p63},
		given{"return float64(int(x))", [4]float64{negativeZero}, 0},
		given{"return elementary.Copysign(1, x)", [4]float64{negativeZero}, -1},
	)
}

// The builtins give NaN if any operand is, and hold -0 to be less than 0.
func TestTrapMinMax(t *testing.T) {
	for _, form := range []string{"return %s(x, y)", "z := %s(x, y); return z", "return %s(%[1]s(x), y)", "return %s(x, y, x)"} {
		for _, c := range []struct{ x, y, least, greatest float64 }{
			{1, 2, 1, 2}, {2, 1, 1, 2}, {-inf, nan, nan, nan}, {nan, -inf, nan, nan}, {inf, nan, nan, nan}, {nan, inf, nan, nan}, {nan, nan, nan, nan}, {1, nan, nan, nan},
			{0, negativeZero, negativeZero, 0}, {negativeZero, 0, negativeZero, 0}, {-inf, inf, -inf, inf}, {inf, 3, 3, inf}, {5e-324, negativeZero, negativeZero, 5e-324},
		} {
			hold(t, "", given{fmt.Sprintf(form, "min"), [4]float64{c.x, c.y}, c.least}, given{fmt.Sprintf(form, "max"), [4]float64{c.x, c.y}, c.greatest})
		}
	}
	hold(t, "",
		given{"return max(x, y, 3)", [4]float64{1, 2}, 3},
		given{"return elementary.Max(x, y)", [4]float64{inf, nan}, nan},
		given{"return elementary.Min(x, y)", [4]float64{0, negativeZero}, negativeZero},
		given{"return float64(min(n, m) - max(n, m, 3))", [4]float64{0, 0, 2, -5}, -8},
		given{"return float64(min(n, m))", [4]float64{0, 0, -0x1p63, 1}, -0x1p63},
		given{"return float64(max(n, 2.0, 7))", [4]float64{0, 0, -5}, 7},
		given{"return x + min(1, 2.5)", [4]float64{}, 1},
	)
}

// A comparison with NaN is false, but for !=; none is turned into its opposite.
func TestTrapNaN(t *testing.T) {
	for _, c := range []struct {
		condition string
		holds     bool
	}{
		{"x == y", false}, {"x != y", true}, {"x < y", false}, {"x <= y", false}, {"x > y", false}, {"x >= y", false},
		{"!(x == y)", true}, {"!(x != y)", false}, {"!(x < y)", true}, {"!(x <= y)", true}, {"!(x > y)", true}, {"!(x >= y)", true}, {"!!(x < y)", false},
		{"x < y || x >= y", false}, {"elementary.IsNaN(x + y)", true},
	} {
		want := map[bool]float64{true: 1, false: 2}[c.holds]
		for _, in := range [][4]float64{{nan, 1}, {1, nan}, {nan, nan}} {
			hold(t, "",
				given{"if " + c.condition + " { return 1 }; return 2", in, want},
				given{"for " + c.condition + " { return 1 }; return 2", in, want},
				given{"ok := " + c.condition + "; if ok { return 1 }; return 2", in, want},
				given{"switch { case " + c.condition + ": return 1 }; return 2", in, want},
			)
		}
	}
	hold(t, "", given{"switch x { case x: return 1 }; return 2", [4]float64{nan}, 2}, given{"return x - x", [4]float64{inf}, nan})
}

// Constants are folded exactly, as Go does, and rounded once.
func TestTrapConstants(t *testing.T) {
	hold(t, "const big = 1 << 200; const third = 1.0 / 3",
		given{"return 0.1 + 0.2 - 0.3", [4]float64{}, 0},
		given{"a, b, c := 0.1, 0.2, 0.3; return a + b - c", [4]float64{}, 0x1p-54}, // not folded: 5.55e-17
		given{"return third", [4]float64{}, 1.0 / 3},
		given{"return 3 * third * x", [4]float64{1}, 1},
		given{"return x * big", [4]float64{1}, 0x1p200},
		given{"return float64(n + big>>199)", [4]float64{}, 2},
		given{"const wide = 1 << 62; return float64(n + wide + wide)", [4]float64{}, -0x1p63},
		given{"return 1048576", [4]float64{}, 1048576},
		given{"return 1048575", [4]float64{}, 1048575},
		given{"return 4294967295", [4]float64{}, 4294967295},
		given{"return -2147483649", [4]float64{}, -2147483649},
		given{"return float64(n + 64)", [4]float64{}, 64}, // 63 and -64 end a byte of LEB128
		given{"return float64(n - 65)", [4]float64{}, -65},
		given{"return float64(n + -64)", [4]float64{}, -64},
		given{"return float64(n + 9007199254740993 - 9007199254740992)", [4]float64{}, 1},
		given{"return -64", [4]float64{}, -64},
		given{"return 0x1p-149", [4]float64{}, 0x1p-149},
		given{"return 0x1p-1074 * x", [4]float64{1}, 5e-324},
		given{"return 16777217", [4]float64{}, 16777217}, // no float32
		given{"return 1e400 / 1e399 * x", [4]float64{1}, 10},
		given{"return 5 / 2.0 * x", [4]float64{1}, 2.5},
		given{"return float64(n) + -5 % 3", [4]float64{}, -2},
		given{"return elementary.Inf(n)", [4]float64{}, inf},
		given{"return elementary.Inf(n)", [4]float64{0, 0, -4}, -inf},
		given{"return elementary.NaN()", [4]float64{}, nan},
	)
	holdRefused(t,
		wrong{"s.A = x * (‹1 / 2›)", "1/2 is a division of whole numbers and gives 0"},
		wrong{"s.A = x * (‹7 / 2› * 2.0)", "7/2 is a division of whole numbers and gives 3"},
		wrong{"s.A = x + ‹-5 / 2›", "-5/2 is a division of whole numbers and gives -2"},
		wrong{"s.A = x + min(1.0 / 3, ‹2 / 3›)", "2/3 is a division of whole numbers and gives 0"},
		wrong{"s.A = ‹1e400›", "cannot use 1e400 (untyped float constant 1e+400) as float64 value in assignment (overflows)"},
		wrong{"s.N = n + ‹1›<<63", "1 << 63 (untyped int constant 9223372036854775808) overflows int"},
		wrong{"const ‹c› = d; const d = c // s.A = c", "initialization cycle for c"},
	)
}

// A line of constants without values repeats the expression before with another
// iota, so that the same quotient may lose a remainder in one line only.
func TestTrapIota(t *testing.T) {
	hold(t, "const ( a = iota * 10; b; c; _; d = 1.0 / (1 + iota); e )",
		given{"return a + b + c", [4]float64{}, 30},
		given{"return 5*d + 6*e", [4]float64{}, 2}, // 1/5 and 1/6
	)
	hold(t, "const ( a = float64(iota) / 2; b; c )\nconst ( d = iota / 2.0; e )",
		given{"return a + b + c + 10*e", [4]float64{}, 6.5},
	)
	hold(t, "const ( a = iota / 2; b ); const iota = 4", given{"return x + b", [4]float64{}, 2}) // another iota
	holdRefused(t,
		wrong{"const ( a = ‹iota / 2›; b; c ) // s.A = float64(b)", "a division of whole numbers with iota may lose its remainder"},
		wrong{"const ( a = 1 + ‹(iota + 1) / 2›; b; c; d ) // s.A = c", "a division of whole numbers with iota may lose its remainder"},
	)
}

// Locals start at zero; one that is declared in a loop does so at each turn.
func TestTrapVariableInLoop(t *testing.T) {
	hold(t, "type P struct { a float64; n int; ok bool }",
		given{"s := 0.0; for range 3 { var v float64; v += x; s += v }; return s", [4]float64{2}, 6},
		given{"s := 0.0; for range 3 { var v P; v.n++; if v.ok { s += 100 }; v.ok = true; v.a += float64(v.n); s += v.a }; return s", [4]float64{}, 3},
		given{"s := 0.0; for i := 0; i < 3; i++ { var v, w float64; w++; v += w; s += v }; return s", [4]float64{}, 3},
		given{"s := 0.0; for n < 3 { n++; if x > 0 { switch { default: var v int; v++; s += float64(v) } } }; return s", [4]float64{1}, 3},
		given{"s := 0; L: for range 2 { for { var v int; v++; s += v; continue L } }; return float64(s)", [4]float64{}, 2},
		given{"s := 0; for range 2 { { var v int; v += 5; s += v }; var v int; s += v; v = 7 }; return float64(s)", [4]float64{}, 10},
	)
	hold(t, "func turn(x float64) (sum float64, p struct{ a float64 }) { var v float64; v += x; sum += v; p.a += sum; return }",
		given{"s := 0.0; for range 3 { a, p := turn(x); s += a + p.a }; return s", [4]float64{2}, 12},
	)
}

// The second operand of && and || is evaluated only if it decides: it may trap.
func TestTrapAndOr(t *testing.T) {
	const declarations = "type Truth bool\nfunc burn() bool { for { } }\nvar table = [2]bool{true, false}"
	for _, c := range []struct {
		condition string
		n, want   float64
	}{
		{"n != 0 && 6/n > 2", 0, 2}, {"n != 0 && 6/n > 2", 2, 1}, {"n == 0 || 6/n > 2", 0, 1}, {"n == 0 || 6/n > 2", 6, 2},
		{"n < 2 && table[n]", 2, 2}, {"n >= 2 || table[n]", 2, 1}, {"n == 1 && burn()", 0, 2}, {"n == 0 || burn()", 0, 1},
		{"n != 0 && (m == 0 || 6/m > 0) && 6/n > 2", 0, 2}, {"!(n == 0 || 6/n > 2)", 0, 2}, {"!(n != 0 && 6/n > 2)", 0, 1},
		{"false && burn()", 0, 2}, {"true || burn()", 0, 1}, {"bool(Truth(n != 0) && Truth(6/n > 2))", 0, 2},
		{"(n == 0 || burn()) == (n == 0 || burn())", 0, 1},
	} {
		hold(t, declarations,
			given{"if " + c.condition + " { return 1 }; return 2", [4]float64{0, 0, c.n}, c.want},
			given{"ok := " + c.condition + "; if ok { return 1 }; return 2", [4]float64{0, 0, c.n}, c.want},
			given{"switch { case " + c.condition + ": return 1 }; return 2", [4]float64{0, 0, c.n}, c.want},
			given{"for " + c.condition + " { return 1 }; return 2", [4]float64{0, 0, c.n}, c.want},
		)
	}
	hold(t, declarations, // a case is looked at only if none before it holds
		given{"switch n { case 0, 1 / m: return 1 }; return 2", [4]float64{}, 1},
		given{"switch { case n == 0: return 1; case 1/n > 0: return 3 }; return 2", [4]float64{}, 1},
		given{"switch { default: return 4; case n == 0: return 1; case burn(): return 3 }", [4]float64{}, 1},
	)
}

// Each turn of a loop costs one unit, and one more for each call.
func TestTrapFuelOfTurns(t *testing.T) {
	holdTraps(t, "func inner(x float64) float64 { return x }\nfunc outer(x float64) float64 { return inner(x) }",
		// The last test of a loop costs as much as a turn.
		limit{"for i := 0; i < n; i++ { }; return 1", wasm.Fuel, wasm.Fuel - 1},
		// Each turn makes two calls, one of them within the other.
		limit{"for range n { outer(1) }; return 1", wasm.Fuel / 3, wasm.Fuel/3 - 1},
		limit{"for range n { for range 9 { } }; return 1", wasm.Fuel/11 + 1, wasm.Fuel / 11},
		// The test's call counts too.
		limit{"for i := 0.0; outer(i) < float64(n); i++ { }; return 1", wasm.Fuel / 3, wasm.Fuel/3 - 1},
	)
}

// A turn of a long loop costs more, so that the fuel bounds what is executed:
// 300 sums of some three instructions, and a call of a function with as many.
func TestTrapFuelOfLength(t *testing.T) {
	sums := strings.Repeat("x += y\n", 300)
	long := "func long(x, y float64) float64 {\n" + sums + "return x }"
	holdTraps(t, long,
		limit{"for range n {\n" + sums + "}; return x", wasm.Fuel / 9, wasm.Fuel / 50},
		limit{"for range n { x = long(x, y) }; return x", wasm.Fuel / 9, wasm.Fuel / 50},
	)
}

// No loop runs for ever, whatever its form.
func TestTrapFuel(t *testing.T) {
	const declarations = `func loop(n int) (s float64) { for i := 0; i != n; i++ { s++ }; return s }
func loops(n int) float64 { for range n { loop(n) }; return 1 }
type P struct { n int }
func (p P) loop() float64 { for p.n > 0 { }; return 1 }
func (p P) test() bool { return p.n > 0 }`
	holdTraps(t, declarations,
		limit{"for n > 0 { }; return 1", 1, 0},
		limit{"for { if n == 0 { return 1 } }", 1, 0},
		limit{"for ; ; n++ { if n == 1 { return 1 } }", 2, 0},
		limit{"for range n { }; return 1", 0x1p62, 9},
		limit{"for i := range n { x += float64(i) }; return 1", 0x1p62, 9},
		limit{"var i int; for i = range n { x++ }; return float64(i)", 0x1p62, 9},
		limit{"for x := 1.0; x > 0; x *= 1 { if n == 0 { break } }; return 1", 1, 0},
		limit{"for n != 0 { continue }; return 1", 1, 0},
		limit{"L: for { for { if n == 0 { break L }; continue L } }; return 1", 1, 0},
		limit{"L: for n > 0 { for range 2 { for { continue L } } }; return 1", 1, 0},
		limit{"L: for range n { for range n { for { continue L } } }; return 1", 0x1p62, 3},
		limit{"L: for { switch { case n > 0: continue L; default: break L } }; return 1", 1, 0},
		limit{"for { for { break }; if n == 0 { break } }; return 1", 1, 0},
		limit{"return loop(n)", -1, 5},
		limit{"return loops(n)", 2000, 5},
		limit{"return P{n}.loop()", 1, 0},
		limit{"for (P{n}).test() { }; return 1", 1, 0},
		limit{"for range n { loop(1000) }; return 1", 2000, 5},
	)
	// Fuel is for one call of run: another starts anew.
	instance := load(t, around4(declarations, "return loop(n)"))
	for range 3 {
		if out, err := instance.Call([]float64{0, 0, 0.9 * wasm.Fuel, 0}); err != nil || out[0] != 0.9*wasm.Fuel {
			t.Errorf("%v, %v", out, err)
		}
	}
}

// An int has 64 bits, on whatever machine the compiler runs.
func TestTrapIntSize(t *testing.T) {
	hold(t, "type K int",
		given{"return float64(n * n)", [4]float64{0, 0, 1 << 31}, 0x1p62},
		given{"return float64(n + n)", [4]float64{0, 0, 1 << 62}, -0x1p63},
		given{"return float64(n - 1 - 9223372036854775807)", [4]float64{0, 0, -1}, 0x1p63}, // wraps to the greatest
		given{"const c = 1 << 40; return float64(K(c) + K(n))", [4]float64{0, 0, 1}, 1<<40 + 1},
		given{"return float64(n % 4294967296)", [4]float64{0, 0, 1<<33 + 5}, 5},
		given{"if n > 4294967296 { return 1 }; return 2", [4]float64{0, 0, 1<<32 + 1}, 1},
		given{"for n > 1 { n /= 2; x++ }; return x", [4]float64{0, 0, 1 << 40}, 40},
	)
}

// An engine has branched wrongly on 0 < a&b; there are no operators on bits.
func TestTrapBitOperators(t *testing.T) {
	for _, op := range []string{"&", "|", "^", "&^", "<<", ">>"} {
		message := "the operator " + op + " (on bits) is not in the subset"
		holdRefused(t, wrong{"s.N = ‹n " + op + " 3›", message}, wrong{"‹s.N " + op + "= n›", message}, wrong{"ok = 0 < ‹n" + op + "s.N›", message})
	}
	holdRefused(t, wrong{"s.N = ‹^n›", "the operator ^ is not in the subset"})
	hold(t, "const mask = 12 &^ 8 | 1<<4 ^ 1", given{"return float64(n) + mask", [4]float64{}, 21}) // constants are folded: 4 | 16^1 = 4 | 17
}

// Every expression's type is in the subset, one within a conversion and one of a
// constant included.
func TestTrapHiddenTypes(t *testing.T) {
	no := func(name string) string { return "a value of type " + name + " is not in the subset" }
	holdRefused(t,
		wrong{"s.N = int(‹int32›(x))", no("int32")},
		wrong{"s.N = int(‹uint›(n))", no("uint")},
		wrong{"s.A = float64(‹float32›(x))", no("float32")},
		wrong{"s.A = float64(‹float32›(0.1))", no("float32")},
		wrong{"s.N = int(‹uint8›(200))", no("uint8")},
		wrong{"const c uint8 = 200 // s.N = int(‹c›)", no("uint8")},
		wrong{"const c float32 = 0.1 // s.A = float64(‹c›)", no("float32")},
		wrong{"const c = float32(0.1) // s.A = float64(‹c›) * 1", no("float32")},
		wrong{"s.A = real(‹complex(3, 4)›)", no("untyped complex")},
		wrong{"s.A = ‹real›(complex(x, y))", "the builtin real is not in the subset"},
		wrong{"s.N = n + ‹'a'›", "a constant that is no number is not in the subset"},
		wrong{"s.N = int(‹'a'›)", "a constant that is no number is not in the subset"},
		wrong{"ok = ‹\"a\"›[n] < 3", "only a constant array of a package can be indexed"},
		wrong{"s.N = ‹len(\"abc\")›", "len is for arrays"},
		wrong{"s.N = cap(‹[1]int{}›)", no("[1]int") + " here"},
		wrong{"var ‹e› any = x; _ = e", no("any")},
		wrong{"var e ‹error›; _ = e", no("error")},
		wrong{"e := ‹any›(x); _ = e", no("any")},
		wrong{"ok = x == ‹any›(x)", no("any")},
		wrong{"s.A = ‹any(x).(float64)›", "a type assertion is not in the subset"},
		wrong{"type ‹B›[T any] struct{ a T } // s.A = B[float64]{x}.a", "a type with type parameters is not in the subset"},
		wrong{"type ‹B›[T any] = struct{ a T } // s.A = B[float64]{x}.a", "a type with type parameters is not in the subset"},
		wrong{"func G[T any](x T) T { return x } // s.A = ‹G[float64]›(x)", "only a function that has a name can be called"},
		wrong{"func G(f ‹func() float64›) float64 { return f() } // s.A = G(nil)", no("func() float64")},
		wrong{"z := ‹struct{ a float64; f func() }{a: x}›; s.A = z.a", no("func()")},
		wrong{"s.A = ‹func() float64 { return x }›()", "only a function that has a name can be called"},
		wrong{"type G func() float64 // s.A = ‹G(nil)›()", "only a function that has a name can be called"},
		wrong{"func (s S) G() float64 { return 1 } // s.A = ‹S.G›(s)", "a method as a function is not in the subset"},
		wrong{"func (s S) G() float64 { return 1 }; type I interface{ G() float64 } // s.A = ‹I(s).G›()", "G has no body that can be compiled"},
		wrong{"func (s *S) G() float64 { return 1 } // s.A = ‹s.G›()", "a method of a pointer is not in the subset"},
		wrong{"type T struct{ *S } // var t ‹T›; _ = t", no("*p.S")},
		wrong{"var e ‹struct{}›; _ = e", "a struct without fields is not in the subset"},
		wrong{"p := ‹new›(float64); _ = p", "the builtin new is not in the subset"},
		wrong{"s.A = ‹[2]float64{x, y}›[n]", "only a constant array of a package can be indexed"},
		wrong{"var a ‹[2]float64›; b := a; _ = b", no("[2]float64") + " here"},
		wrong{"var c ‹chan int›; _ = c", no("chan int")},
		wrong{"for i := range ‹func(yield func(int) bool) {}› { s.N += i }", "range runs over an int only"},
		wrong{"for i := range ‹int64(3)› { s.N += int(i) }", "range runs over an int only"},
		wrong{"for i := range ‹'a'› { s.N += int(i) }", "range runs over an int only"},
		wrong{"import ‹\"unsafe\"› // s.A = float64(unsafe.Sizeof(x))", `package "unsafe" may not be imported by a calculator`},
		wrong{"import ‹\"C\"› // s.A = 1", `package "C" may not be imported by a calculator`},
		wrong{"func G(x float64) float64 // s.A = ‹G›(x)", "G has no body that can be compiled"},
	)
}

// A name means what Go says that it means in its scope.
func TestTrapShadowedNames(t *testing.T) {
	for _, c := range []struct {
		declarations string
		given
	}{
		{"", given{"min, max := x, y; return min - max", [4]float64{5, 2}, 3}},
		{"func min(x, y float64) float64 { return x + y }", given{"return min(x, y)", [4]float64{5, 2}, 7}},
		{"func len(x float64) float64 { return 2 * x }", given{"return len(x)", [4]float64{5}, 10}},
		{"", given{"true := false; if true { return 1 }; return 2", [4]float64{}, 2}},
		{"const true = 1 > 2", given{"if true { return 1 }; return 2", [4]float64{}, 2}},
		{"", given{"type float64 int; z := float64(n) / 2; if z == 1 { return 1 }; return 2", [4]float64{0, 0, 3}, 1}},
		{"type int float64", given{"return float64(int(x) / 2)", [4]float64{3}, 1.5}},
		{"", given{"nil, iota, len, new := x, 1.0, 2.0, 3.0; return nil + iota + len + new", [4]float64{4}, 10}},
		{"", given{"elementary := x; return elementary", [4]float64{4}, 4}},
		{"func Sqrt(x float64) float64 { return x }", given{"return Sqrt(x)", [4]float64{4}, 4}},
		{"type T struct{ a float64 }; func (t T) Sqrt(x float64) float64 { return x }", given{"return T{}.Sqrt(x)", [4]float64{4}, 4}},
		{"", given{"{ x := x + 1; { x := x + 1; x++; _ = x }; y = x }; return x + y", [4]float64{7}, 15}},
		{"", given{"if x := x; x > 1 { x := 9.0; _ = x }; return x", [4]float64{7}, 7}},
		{"", given{"for n := range n { n += 5; x += float64(n) }; return x", [4]float64{0, 0, 3}, 18}},
		{"", given{"for i := range n { n = 10; x += float64(i) }; return x", [4]float64{0, 0, 3}, 3}},
		{"", given{"x, y = y, x; return x - y", [4]float64{1, 3}, 2}},
		{"", given{"n, n = 1, 2; return float64(n)", [4]float64{}, 2}},
		{"type P struct{ a, b float64 }", given{"p := P{1, 2}; p, p.a = P{3, 4}, p.b; return p.a*10 + p.b", [4]float64{}, 24}},
		{"type P struct{ a, _, b float64 }", given{"p := P{b: x, a: y}; return p.a*10 + p.b", [4]float64{1, 2}, 21}},
		{"func two() (_ float64, a int) { a = 3; return }", given{"_, _ = two(); z, a := two(); _, b := two(); return z + float64(a*10+b)", [4]float64{}, 33}},
		{"func first(_, _ float64, a float64) float64 { return a }", given{"var _ = 1 / x; return first(1, 2, x)", [4]float64{}, 0}},
		{"type A = B; type B = float64", given{"var a A = x; return B(a)", [4]float64{4}, 4}},
	} {
		hold(t, c.declarations, c.given)
	}
	for imports, call := range map[string]string{".": "Sqrt(x)", "e": "e.Sqrt(x)", "elementary": "elementary.Sqrt(x)"} {
		if got := value(t, "package p\nimport "+imports+" \""+elementaryPath+"\"\nfunc F(x float64) float64 { return "+call+" }", 4); got != 2 {
			t.Errorf("%s is %v", call, got)
		}
	}
}

// break and continue lead where their label says.
func TestTrapLabels(t *testing.T) {
	hold(t, "",
		given{"for range 3 { switch n { case 0: x++; continue; case 1: break }; x += 10 }; return x", [4]float64{}, 3},
		given{"for range 3 { switch n { case 0: x++; continue; case 1: break }; x += 10 }; return x", [4]float64{0, 0, 1}, 30},
		given{"L: for i := range 3 { M: for { if i == 1 { continue L }; break M }; x++ }; return x", [4]float64{}, 2},
		given{"L: switch { default: for { break L } }; return x + 1", [4]float64{}, 1},
		given{"L: for { switch { default: M: switch { default: break M }; x++; break L } }; return x", [4]float64{}, 1},
		given{"L: for i := 0; i < 4; i++ { for j := range 4 { if j == 2 { continue L }; x += float64(10*i + j) } }; return x", [4]float64{}, 124},
		given{"x: for range 3 { x++; continue x }; return x", [4]float64{}, 3}, // labels have names of their own
	)
	holdRefused(t,
		wrong{"‹goto end›; end: s.A++", "goto is not in the subset"},
		wrong{"switch n { case 1: ‹fallthrough›; default: s.A++ }", "fallthrough is not in the subset"},
		wrong{"‹L›: s.A++", "label L declared and not used"},
	)
}

// Nothing calls itself, by whatever way.
func TestTrapRecursion(t *testing.T) {
	no := func(name string) string {
		return name + " calls itself, directly or through another function"
	}
	holdRefused(t,
		wrong{"s.A = ‹F›(x, y, n, ok)", no("F")},
		wrong{"func (s S) G(x float64) float64 { return s.H(x) }; func (s S) H(x float64) float64 { return ‹s.G›(x) } // s.A = s.G(x)", no("G")},
		wrong{"type T struct{ S }; func (s S) G() float64 { return ‹T{s}.G›() } // s.A = s.G()", no("G")},
		wrong{"func G() float64 { return ‹F›(1, 2, 3, true) } // s.A = G()", no("F")},
		wrong{"func G(x float64) float64 { if x > 1 { return ‹G›(x - 1) }; return x } // s.A = G(x)", no("G")},
		wrong{"var ‹table› = [1]float64{F(1, 2, 3, true)} // s.A = table[n]", "initialization cycle for table"},
	)
}

// Nothing depends on the order of initialization, since nothing is initialized.
func TestTrapInitialization(t *testing.T) {
	hold(t, "var table = [...]float64{b, a}; const a = b + 1; const b = 2\nvar again = [...]int{1: 7, 3}",
		given{"return table[0]*10 + table[1]", [4]float64{}, 23},
		given{"return float64(again[0] + 10*again[1] + 100*again[2])", [4]float64{}, 370},
	)
	holdRefused(t,
		wrong{"func ‹init›() { } // s.A = 1", "an init function is not in the subset"},
		wrong{"var table = [2]float64{1, 2}; var p = &‹table› // s.A = table[n]", "table may change here; a calculator's arrays are constant"},
		wrong{"var a = 1.0 // s.A = ‹a›", "a is a variable of the package, which is not in the subset"},
	)
}

// Source that is small, but would cost the build for ever or make a module that
// no browser takes.
func TestTrapHostileSource(t *testing.T) {
	var nested strings.Builder
	nested.WriteString("type A0 struct{ a float64 }\n")
	for i := 1; i <= 40; i++ {
		fmt.Fprintf(&nested, "type A%d struct{ a, b A%d }\n", i, i-1)
	}
	var variables strings.Builder
	for i := range 21_000 {
		fmt.Fprintf(&variables, "a%d := x; x += a%d\n", i, i)
	}
	for name, c := range map[string]struct{ declarations, body, want string }{
		"structs in structs": {nested.String(), "return x", "the type holds more than 10000 fields"},
		"variables":          {"", variables.String() + "return x", "F is too long"},
		"instructions":       {"", strings.Repeat("x += y\n", 60_000) + "return x", "F is too long"},
		"nesting":            {"", "return " + strings.Repeat("-(", 2000) + "x" + strings.Repeat(")", 2000), "the function is too long or nested too deep"},
		"sum":                {"", "return x" + strings.Repeat("+x", 90_000), "the function is too long or nested too deep"},
		"parentheses":        {"", "return " + strings.Repeat("(", 200_000), "exceeded max nesting depth"},
		"elements":           {"var table [1 << 40]float64", "return table[n]", "table has more than 1000 elements"},
		"index":              {"var table = [...]float64{1 << 40: 1}", "return table[n]", "table has more than 1000 elements"},
	} {
		got := problemsOf(sourceOf(around4(c.declarations, c.body)))
		if len(got) == 0 || got[0].Message != c.want {
			t.Errorf("%s: %s", name, show(got...))
		}
	}
	// Each pass that shortens the code would find two of these to leave out; what
	// is left does no harm.
	var copies strings.Builder
	copies.WriteString("a0, b0 := x, y\n")
	for i := range 5000 {
		fmt.Fprintf(&copies, "a%d := a%d\nb%d := b%d\n", i+1, i, i+1, i)
	}
	hold(t, "", given{copies.String() + "_ = a5000\n_ = b5000\nreturn x - y", [4]float64{5, 2}, 3})
}
