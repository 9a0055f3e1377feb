package wasm_test

import (
	"fmt"
	"strings"
	"testing"

	"benchleaf/calc/wasm"
	"benchleaf/calc/wasm/wasmtest"
)

// cornerTypes are what the corners use.
const cornerTypes = `
type P struct{ a, b float64 }
type Q struct{ P; n int; in struct{ p P; ok bool } }
type R P
type Kelvin float64
type Lvl int
type Flag bool
type Deep struct { Q; R }
const k Kelvin = 3
var tab = [...]float64{1, 2, 3}
var itab = [4]int{1: 5, 3: -7}
func (p P) sum() float64 { return p.a + p.b }
func (p P) swap() P { return P{p.b, p.a} }
func (q Q) get() (float64, int) { return q.sum(), q.n }
func (_ Lvl) zero() int { return 0 }
func (l Lvl) next() Lvl { return l + 1 }
func (f Flag) not() Flag { return !f }
func two(x float64, n int) (float64, int) { return x * 2, n + 1 }
func mix(x float64, n int) float64 { return x - float64(n) }
func (p P) mix(x float64, n int) float64 { return p.a + x - float64(n) }
func un(float64, int) float64 { return 7 }
func named(x float64) (r float64, ok bool) { if x > 0 { r = x; ok = true; return }; if x < -5 { return -x, false }; r--; return }
func many(x float64) (a, b, c float64, p P, n int) { a, b, c = x, x+1, x+2; p.a, n = a*b, int(c); return }
func nest(x float64, n int) float64 { for i := range n { for j := i; j < n; j++ { if j == 3 { return x + float64(i) }; x++ } }; return -x }
func mk(x float64) Q { return Q{P: P{x, -x}, n: int(x)} }
func shadow(x float64) (x2 float64) { x2 = x; { x2 := x2 + 1; _ = x2 }; return x2 }
func loops(n int) (s int) { for i, j := 0, 10; i < j && i < n; i, j = i+1, j-1 { s += i * j }; return }
`

// corners are bodies of func(x, y float64, n, m int) float64 with what the random
// programs have seldom or never: values that depend on themselves, names within
// names, odd forms of statements.
var corners = []string{
	`p := P{x, y}; p.a, p.b = p.b, p.a; return p.a*3 - p.b`,
	`p, q := P{x, y}, P{y, 1}; p, q = q, p; return p.a + 10*q.a`,
	`p := P{x, y}; p = P{p.b, p.a}; return p.a*7 + p.b`,
	`p := P{x, y}; p.a, p = 1, P{5, 6}; return p.a*7 + p.b`,
	`p := P{x, y}; p, p.a = P{5, 6}, 1; return p.a*7 + p.b`,
	`q := mk(x); q.a += y; q.P.b *= 2; q.in.p = q.P; q.in.p.a++; return q.sum() + q.in.p.sum()*3 + float64(q.n)`,
	`r := R(P{x, y}); return P(r).sum() + r.a`,
	`var d Deep; d.Q.a = x; d.Q.P.b = y; d.R.a = 3; return d.sum() + d.Q.sum() + d.R.a`,
	`return mix(two(x, n)) + P{1, 2}.mix(two(y, m))`,
	`return mk(x).swap().a + mk(y).P.b`,
	`f, i := mk(x).get(); return f + float64(i)`,
	`return un(1/x, n) + float64(Lvl(n).zero()) + float64(Lvl(m).next().next())`,
	`r, ok := named(x); if ok { return r }; return r - 100`,
	`a, b, c, p, i := many(x); return a + 2*b + 3*c + p.a + float64(i)`,
	`return nest(x, min(max(n, 0), 6))`,
	`return shadow(x)`,
	`return float64(loops(n))`,
	`s := 0.0; for i := range n % 7 { n = 100; s += float64(i) }; return s + float64(n)`,
	`s := 0; L: for i := 0; i < 5; i++ { switch { case i == m%5: continue L; case i == n%5: break L }; s += i + 1 }; return float64(s)`,
	`s := 0; for i := 0; ; i++ { if i > 9 { break }; if i%2 == 0 { continue }; s += i }; return float64(s)`,
	`s := 0; i := 0; for i = range 5 { s += i }; return float64(s*10 + i)`,
	`i := 7; for i = range n % 3 { }; return float64(i)`,
	`const a, b = 1.5, iota; const ( c = iota; d ); return a + b + c + d`,
	`return float64(k)*x + float64(k+Kelvin(y))`,
	`x += mix(x, n); n -= n * 2; return x - float64(n)`,
	`return - -x + -(-y) - +x`,
	`if !(!(x > y)) { return 1 }; return 2`,
	`if x > y == (n > m) { return 1 }; return 2`,
	`if Flag(x > y).not() { return 1 }; return 2`,
	`b := x > y; c := !b; b = b && c || n == m; if b != c { return 1 }; return 2`,
	`switch { }; return x`,
	`switch n := n + 1; n { }; return x`,
	`switch x := x + 1; { default: return x; case x > 3: y = x }; return y`,
	`switch n % 4 { case 0, 1: x++; case 2: x--; default: x *= 2; case 3: x = 0 }; return x`,
	`switch b := x > y; b { case true: return 1; case false: return 2 }; return 3`,
	`switch Lvl(n % 3) { case 0: return 1; case Lvl(m % 3): return 2 }; return 3`,
	`switch x { case y, 0, float64(n): return 1 }; return 2`,
	`if n > 1.0 && n < 1e3 { return 1 }; return 2`,
	`return float64(len(tab))/2 + float64(len(tab)*n)`,
	`return float64(itab[((n%4)+4)%4]) + tab[((m%3)+3)%3]`,
	`var a, b float64 = x, 2; var c, d = y, n; return a*b + c*float64(d)`,
	`var a, b = two(x, n); var _, c = two(y, m); return a + float64(b+c)`,
	`_, _ = two(x, n); _ = x; two(y, m); P{}.swap(); return x`,
	`if false { return 1 }; for false { x++ }; return x`,
	`return x; x++; return y`,
	`for { if x > 100 || !(x == x) || x < -1e9 { return x }; x = x*2 + 1; if n--; n%50 == 0 { break } }; return -x`,
	`type P struct{ b, a float64 }; p := P{x, y}; return p.a`,
	`type T struct{ a float64; f Flag; n Lvl }; t := T{n: 3, a: x}; t.f = t.a > y; if t.f { t.n++ }; return float64(t.n)`,
	`{ x, y := y, x; { x := x - y; y = x }; return x + 2*y }`,
	`t := struct{ a, b float64 }{b: x}; u := t; u.a = 5; return t.a + u.a + u.b`,
	`var p struct{ in P }; p.in.a = x; p.in = p.in.swap(); return p.in.b`,
	`n, m = m, n; n, x = n+1, float64(n); return float64(n) + x`,
	`return max(x, y, 1) - min(x, -3, y) + float64(max(n, m)) - float64(min(n, 3))`,
	`s := 0.0; for i := 0.5; i < 3; i += 0.5 { s += i; if s > x { continue }; s *= 2 }; return s`,
	`n++; n--; m--; x++; y--; p := P{x, y}; p.a++; return float64(n-m) + x*y + p.a`,
	`q := Q{}; q.in.ok = x > y; q.in.p.b = 4; z := q; z.in.p.b++; if z.in.ok { return q.in.p.b }; return z.in.p.b`,
	`return float64(n%5*3/2 - m/3%4)`,
	`return float64(-n/2 + -(n % 3) + (-n)%3)`,
	`return float64(n*n*n*n) + float64(m*1e9*1e9)`,
	`for i := range 3 { for j := range 3 { if i == j { continue }; if i+j == n%4 { return float64(10*i + j) } } }; return -1`,
	`A: for { B: for { switch { case n > 3: break A; case n > 0: n += 2; continue A; default: break B } }; n = 4 }; return float64(n)`,
	`if a, b := two(x, n); a > 0 { return float64(b) } else if c := a * 2; c < -4 { return c } else { a, b = c, n; return a + float64(b) }`,
}

// TestCorners compares each corner with its native form, for many inputs.
func TestCorners(t *testing.T) {
	var text, table strings.Builder
	text.WriteString(cornerTypes)
	table.WriteString("\nfunc init() {\n")
	for i, body := range corners {
		fmt.Fprintf(&text, "func F%d(x, y float64, n, m int) float64 {\n%s\n}\n", i, body)
		fmt.Fprintf(&table, "\tfunctions[\"F%d\"] = func(in []float64) []float64 { return []float64{F%[1]d(in[0], in[1], int(in[2]), int(in[3]))} }\n", i)
	}
	table.WriteString("}\n")
	var inputs [][]float64
	floats := []float64{0, 1, -2.5, 3, inf, nan, 1e9, -6}
	ints := []float64{0, 1, 2, -3, 7, -0x1p63, 1 << 40, 4}
	for i, x := range floats {
		for j, n := range ints {
			inputs = append(inputs, []float64{x, floats[(i+3*j)%8], n, ints[(3+5*i+j)%8]})
		}
	}
	var questions strings.Builder
	for i := range corners {
		for _, in := range inputs {
			questions.WriteString(wasmtest.Question(fmt.Sprintf("F%d", i), in))
		}
	}
	native, err := wasmtest.Suite{}.Ask("../..", t.TempDir(), "package main\n"+text.String()+table.String(), questions.String())
	if err != nil {
		t.Fatal(err)
	}
	program, problems := wasm.Check(sourceOf("package p\n" + text.String()))
	if problems != nil {
		t.Fatal(show(problems...))
	}
	for i, body := range corners {
		instance := loadFunction(t, program, fmt.Sprintf("F%d", i))
		for j, in := range inputs {
			if got, want := answer(instance, in), native[i*len(inputs)+j]; got != want {
				t.Errorf("%s\nof %v is %s, natively %s", body, in, got, want)
			}
		}
	}
}
