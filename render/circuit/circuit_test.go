package circuit

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

var open = math.Inf(1)

// network makes one of branches without relays.
func network(nodes int, branches ...Branch) Network {
	for i := range branches {
		branches[i].Coil = i
	}
	return Network{Nodes: nodes, Branches: branches}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.9g, want %.9g", what, got, want)
	}
}

func solve(t *testing.T, n Network) Solution {
	t.Helper()
	s, err := n.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Source: T. R. Kuphaldt, Lessons in Electric Circuits, vol. I: 9 V on 3 kΩ, 10 kΩ and 5
// kΩ in a row (ch. 5); 24 V on (100 Ω beside 250 Ω) and (350 Ω beside 200 Ω) in a row
// (ch. 7); a source of 10 V with 0.2 Ω within, on 1 Ω (ch. 11).
func TestPublishedExamples(t *testing.T) {
	s := solve(t, network(4, Branch{From: 3, To: 0, Volts: 9}, Branch{From: 3, To: 2, Ohms: 3000}, Branch{From: 2, To: 1, Ohms: 10000}, Branch{From: 1, To: 0, Ohms: 5000}))
	near(t, "the current in a row", s.Amps[1], 500e-6, 0.05e-6)
	near(t, "the drop of 3 kΩ", s.Volts[3]-s.Volts[2], 1.5, 0.0005)
	near(t, "the drop of 5 kΩ", s.Volts[1], 2.5, 0.0005)

	s = solve(t, network(3, Branch{From: 2, To: 0, Volts: 24}, Branch{From: 2, To: 1, Ohms: 100}, Branch{From: 2, To: 1, Ohms: 250}, Branch{From: 1, To: 0, Ohms: 350}, Branch{From: 1, To: 0, Ohms: 200}))
	near(t, "the whole current", -s.Amps[0], 120.78e-3, 0.006e-3)
	near(t, "the current of 250 Ω", s.Amps[2], 34.51e-3, 0.006e-3)

	s = solve(t, network(2, Branch{From: 1, To: 0, Volts: 10, Ohms: 0.2}, Branch{From: 1, To: 0, Ohms: 1}))
	near(t, "the current of a source", s.Amps[1], 8.333, 0.0006)
}

// Two sources on one load, by Kirchhoff's laws: with U over 2 Ω, the currents of 28 V
// behind 4 Ω and of 7 V behind 1 Ω add up to that of 2 Ω:
// (28 - U)/4 + (7 - U)/1 = U/2, so 14 = 1.75 U, U = 8 V. The currents are 5 A, -1 A
// (the 7 V are charged) and 4 A.
func TestTwoSources(t *testing.T) {
	s := solve(t, network(2, Branch{From: 1, To: 0, Volts: 28, Ohms: 4}, Branch{From: 1, To: 0, Volts: 7, Ohms: 1}, Branch{From: 1, To: 0, Ohms: 2}))
	for i, want := range []float64{-5, 1, 4} {
		near(t, "a current", s.Amps[i], want, 1e-12)
	}
}

// Wheatstone's bridge: 12 V over 100 Ω and 200 Ω on one side, 300 Ω and 600 Ω on the
// other, is in balance: both middles are at 8 V, whatever lies between them. With 300
// Ω in the place of 600 Ω and 500 Ω between: at the middles x and y
// (12-x)/100 = x/200 + (x-y)/500 and (12-y)/300 = y/300 - (x-y)/500, so
// 120 = 17x - 2y and 60 = 13y - 3x (times 1000 and 1500): 215x = 1680, y = (17x - 120)/2.
func TestBridge(t *testing.T) {
	bridge := func(r4, between float64) Network {
		return network(4, Branch{From: 3, To: 0, Volts: 12}, Branch{From: 3, To: 1, Ohms: 100}, Branch{From: 1, To: 0, Ohms: 200},
			Branch{From: 3, To: 2, Ohms: 300}, Branch{From: 2, To: 0, Ohms: r4}, Branch{From: 1, To: 2, Ohms: between})
	}
	for _, between := range []float64{0, 1, 1e6, open} {
		s := solve(t, bridge(600, between))
		near(t, "the first middle", s.Volts[1], 8, 1e-12)
		near(t, "the second middle", s.Volts[2], 8, 1e-12)
		near(t, "the current between", s.Amps[5], 0, 1e-12)
	}
	s := solve(t, bridge(300, 500))
	x := 1680.0 / 215
	near(t, "the first middle", s.Volts[1], x, 1e-12)
	near(t, "the second middle", s.Volts[2], (17*x-120)/2, 1e-12)
}

// randomNetwork is a network of sources and resistances, some open, some parts of it
// floating.
func randomNetwork(random *rand.Rand, nodes int) Network {
	var branches []Branch
	for range nodes + random.IntN(2*nodes) {
		b := Branch{From: random.IntN(nodes), To: random.IntN(nodes), Ohms: math.Pow(10, random.Float64()*6-3)}
		switch random.IntN(5) {
		case 0:
			b.Volts = 24*random.Float64() - 12
		case 1:
			b.Ohms = open
		}
		branches = append(branches, b)
	}
	n := network(nodes, branches...)
	n.Ground = random.IntN(nodes)
	return n
}

// What sources give is what resistances take (Tellegen's theorem), the currents at
// each node add up to nothing, and the sources' solutions one by one add up to that
// of all (superposition).
func TestRandomNetworks(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for range 400 {
		n := randomNetwork(random, 2+random.IntN(9))
		s := solve(t, n)
		given, taken := 0.0, 0.0
		at, most := make([]float64, n.Nodes), make([]float64, n.Nodes)
		sum := make([]float64, len(n.Branches))
		for i, b := range n.Branches {
			at[b.From] += s.Amps[i]
			at[b.To] -= s.Amps[i]
			for _, k := range []int{b.From, b.To} {
				most[k] = max(most[k], math.Abs(s.Amps[i]))
			}
			if s.Closed[i] {
				given -= b.Volts * s.Amps[i]
				taken += b.Ohms * s.Amps[i] * s.Amps[i]
			}
			if b.Volts == 0 || !s.Closed[i] {
				continue
			}
			alone := Network{Nodes: n.Nodes, Ground: n.Ground, Branches: append([]Branch(nil), n.Branches...)}
			for k := range alone.Branches {
				if k != i {
					alone.Branches[k].Volts = 0
				}
			}
			for k, a := range solve(t, alone).Amps {
				sum[k] += a
			}
		}
		near(t, "the power", taken, given, 1e-9*(1+given))
		for k := range at {
			near(t, "the sum at a node", at[k], 0, 1e-9*(1e-3+most[k]))
		}
		for i := range sum {
			near(t, "the sum of the sources", sum[i], s.Amps[i], 1e-9*(1e-3+math.Abs(s.Amps[i])))
		}
	}
}

// starMesh takes a node out of a net of conductances: whatever it ties together is
// tied by the products over the sum (Kron reduction).
func starMesh(g [][]float64, k int) {
	sum := 0.0
	for j := range g {
		sum += g[k][j]
	}
	for i := range g {
		for j := range g {
			if i != j && i != k && j != k && sum > 0 {
				g[i][j] += g[k][i] * g[k][j] / sum
			}
		}
	}
	for j := range g {
		g[k][j], g[j][k] = 0, 0
	}
}

// The resistance that the meter reads is that of a second method, which takes node
// after node out of the net.
func TestOhmsAreThoseOfStarMesh(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	seen := map[bool]int{}
	for range 400 {
		n := randomNetwork(random, 2+random.IntN(9))
		for i := range n.Branches {
			n.Branches[i].Volts = 0
		}
		red := random.IntN(n.Nodes)
		black := (red + 1 + random.IntN(n.Nodes-1)) % n.Nodes
		g := make([][]float64, n.Nodes)
		for i := range g {
			g[i] = make([]float64, n.Nodes)
		}
		for _, b := range n.Branches {
			if b.From != b.To {
				g[b.From][b.To] += 1 / b.Ohms
				g[b.To][b.From] += 1 / b.Ohms
			}
		}
		for k := range g {
			if k != red && k != black {
				starMesh(g, k)
			}
		}
		r, err := n.Read(Ohms, red, black)
		if err != nil {
			t.Fatal(err)
		}
		want := 1 / g[red][black]
		seen[r.Over]++
		if r.Over {
			if want < 40e6 {
				t.Errorf("the meter shows OL for %g Ω", want)
			}
			continue
		}
		near(t, "the resistance", r.Value, want, 1e-7*(1e-3+want))
	}
	if seen[true] == 0 || seen[false] == 0 {
		t.Errorf("%v", seen)
	}
}

// Networks without a single solution are told, and nothing panics.
func TestSingular(t *testing.T) {
	for name, n := range map[string]Network{
		"sources against each other": network(2, Branch{From: 1, To: 0, Volts: 12}, Branch{From: 1, To: 0, Volts: 6}),
		"a source on itself":         network(2, Branch{From: 1, To: 1, Volts: 12}),
		"a ring of nothing":          network(2, Branch{From: 1, To: 0}, Branch{From: 1, To: 0}),
	} {
		if _, err := n.Solve(); !errors.Is(err, ErrSingular) {
			t.Errorf("%s: %v", name, err)
		}
		for _, f := range []Function{Volts, Ohms, Amps} {
			if _, err := n.Read(f, 0, 1); !errors.Is(err, ErrSingular) {
				t.Errorf("%s, %s: %v", name, f, err)
			}
		}
	}
	random := rand.New(rand.NewPCG(9, 10))
	for range 2000 {
		n := randomNetwork(random, 1+random.IntN(5))
		for i := range n.Branches {
			b := &n.Branches[i]
			b.Coil = random.IntN(len(n.Branches))
			b.Pull, b.Drop = 6*random.Float64(), 3*random.Float64()
			if random.IntN(3) == 0 {
				b.Ohms = 0
			}
			if random.IntN(3) == 0 {
				b.Fuse = 1
			}
		}
		for _, f := range []Function{Volts, Ohms, Amps} {
			r, err := n.Read(f, random.IntN(n.Nodes), random.IntN(n.Nodes))
			if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) {
				t.Errorf("%+v: %v, %v", n, r, err)
			}
		}
	}
}

// relay is 12 V behind 1 Ω that feed a coil of 80 Ω through a resistance, and a
// contact of 50 mΩ with a load of 9.9 Ω behind it.
func relay(volts, inCoil, pull, drop float64) Network {
	n := network(4, Branch{From: 1, To: 0, Volts: volts, Ohms: 1}, Branch{From: 1, To: 2, Ohms: inCoil}, Branch{From: 2, To: 0, Ohms: 80},
		Branch{From: 1, To: 3, Ohms: 0.05}, Branch{From: 3, To: 0, Ohms: 9.9})
	n.Branches[3].Coil, n.Branches[3].Pull, n.Branches[3].Drop = 2, pull, drop
	return n
}

func TestRelay(t *testing.T) {
	// The coil has 12 V · 80 / 81 = 11.85 V before the contact closes, 10.77 V after:
	// the contact's branch of 9.95 Ω beside 80 Ω is 8.849 Ω, and 12 V · 8.849 / 9.849 = 10.78 V.
	s := solve(t, relay(12, 0, 8, 2))
	if !s.Closed[3] {
		t.Error("the relay stays open")
	}
	beside := 1 / (1/9.95 + 1/80.0)
	near(t, "the coil's voltage", s.Volts[2], 12*beside/(1+beside), 1e-12)
	// Between what the coil has before and after, it stays closed once it has closed.
	if s := solve(t, relay(12, 0, 11.5, 10)); !s.Closed[3] {
		t.Error("the relay does not hold")
	}
	if s := solve(t, relay(12, 80, 8, 2)); s.Closed[3] { // half the voltage
		t.Error("the relay closes on half its voltage")
	}
	broken := relay(12, 0, 8, 2)
	broken.Branches[2].Ohms = open
	if s := solve(t, broken); s.Closed[3] { // though its ends are 12 V apart
		t.Error("a relay closes whose coil is broken")
	}
	if _, err := relay(12, 0, 11.5, 11).Solve(); !errors.Is(err, ErrUnsettled) {
		t.Errorf("a relay that cuts itself off: %v", err)
	}
}

func TestFuse(t *testing.T) {
	fed := func(load, rating float64) Network {
		n := network(3, Branch{From: 2, To: 0, Volts: 12}, Branch{From: 2, To: 1, Ohms: 0.02, Fuse: rating}, Branch{From: 1, To: 0, Ohms: load})
		return n
	}
	if s := solve(t, fed(9.98, 1)); s.Blown[1] { // 1.2 A
		t.Error("a fuse of 1 A blows at 1.2 A")
	}
	s := solve(t, fed(7.98, 1)) // 1.5 A
	if !s.Blown[1] || s.Amps[2] != 0 {
		t.Errorf("a fuse of 1 A holds 1.5 A: %+v", s)
	}
	// Of two fuses in a row the smaller one blows, and the other stays whole.
	n := network(4, Branch{From: 3, To: 0, Volts: 12}, Branch{From: 3, To: 2, Ohms: 0.01, Fuse: 20}, Branch{From: 2, To: 1, Ohms: 0.01, Fuse: 5}, Branch{From: 1, To: 0, Ohms: 0.1})
	if s := solve(t, n); s.Blown[1] || !s.Blown[2] {
		t.Errorf("blown: %v", s.Blown)
	}
}

func TestMeter(t *testing.T) {
	// 12 V over two times 10 MΩ: the meter's own 10 MΩ beside one of them halve it, so
	// that it shows 12 V · 5 / 15.
	n := network(3, Branch{From: 2, To: 0, Volts: 12}, Branch{From: 2, To: 1, Ohms: 10e6}, Branch{From: 1, To: 0, Ohms: 10e6})
	read := func(f Function, red, black int) Reading {
		t.Helper()
		r, err := n.Read(f, red, black)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	near(t, "the voltage", read(Volts, 1, 0).Value, 4, 1e-9)
	near(t, "the voltage the other way round", read(Volts, 0, 1).Value, -4, 1e-9)
	if r := read(Ohms, 1, 0); !r.Unsafe {
		t.Errorf("ohms on a live circuit: %+v", r)
	}
	if r := read(Amps, 2, 0); !r.Unsafe {
		t.Errorf("amps across a source: %+v", r)
	}
	n.Branches[0].Volts = 0 // now both resistances lie side by side, by way of the dead source
	near(t, "the resistance", read(Ohms, 2, 1).Value, 5e6, 1)
	// A broken wire: no voltage on the point behind it, and the meter's own resistance
	// takes half of it where 10 MΩ lie behind the break. Both broken: OL.
	n.Branches[0].Volts, n.Branches[1].Ohms = 12, open
	if r := read(Volts, 1, 0); r.Value != 0 {
		t.Errorf("volts of a dead point: %+v", r)
	}
	near(t, "the voltage over the break", read(Volts, 2, 1).Value, 6, 1e-9)
	n.Branches[0].Volts, n.Branches[2].Ohms = 0, open
	if r := read(Ohms, 2, 1); !r.Over {
		t.Errorf("ohms of an open circuit: %+v", r)
	}
	// 12 V behind 1 Ω and 11 Ω: the shunt's 10 mΩ take their share of 1 A.
	n = network(3, Branch{From: 2, To: 0, Volts: 12, Ohms: 1}, Branch{From: 1, To: 0, Ohms: 11})
	near(t, "the current", read(Amps, 2, 1).Value, 12/12.01, 1e-12)
}
