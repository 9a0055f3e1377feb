package circuit

import "math"

// Function is what a meter is set to.
type Function string

// The functions.
const (
	Volts Function = "volts"
	Ohms  Function = "ohms"
	Amps  Function = "amps"
)

// Reading is what a meter shows, with its red lead on one node and its black one
// on another.
type Reading struct {
	Value  float64
	Over   bool // the display shows OL: beyond what the meter reads
	Unsafe bool // the measurement endangers meter or reader; there is no value
}

// The meter: usual figures of a hand-held one (common practice, no source).
const (
	voltmeterOhms = 10e6 // input resistance
	shuntOhms     = 0.01 // the ammeter's, leads included
	meterFuse     = 10   // A; more blows the fuse in the ammeter
	testVolts     = 1    // the ohmmeter's, leads open
	testOhms      = 1000 // and within it, so that it sends at most 1 mA
	ohmmeterMost  = 40e6 // Ω; more is OL
	liveVolts     = 0.01 // a point that is further from Ground is live: no ohms there
	nothing       = 1e-9 // V; less between two points is the arithmetic's, not the circuit's
)

// Read computes what the meter shows. A voltmeter or an ammeter is part of the
// network, and may move its relays and fuses.
func (n Network) Read(f Function, red, black int) (Reading, error) {
	switch f {
	case Ohms:
		return n.readOhms(red, black)
	case Amps:
		s, i, err := n.with(Branch{From: red, To: black, Ohms: shuntOhms})
		if err != nil {
			return Reading{}, err
		}
		if s.Amps[i] = clean(s.Amps[i]); math.Abs(s.Amps[i]) > meterFuse {
			return Reading{Unsafe: true}, nil
		}
		return Reading{Value: s.Amps[i]}, nil
	}
	s, _, err := n.with(Branch{From: red, To: black, Ohms: voltmeterOhms})
	if err != nil {
		return Reading{}, err
	}
	return Reading{Value: clean(s.Volts[red] - s.Volts[black])}, nil
}

// with solves the network with one more branch, and returns that one's index.
func (n Network) with(b Branch) (Solution, int, error) {
	i := len(n.Branches)
	b.Coil = i
	n.Branches = append(n.Branches[:i:i], b)
	s, err := n.Solve()
	return s, i, err
}

// readOhms sends the meter's current through the network without its sources,
// relays and fuses being as the sources left them.
func (n Network) readOhms(red, black int) (Reading, error) {
	s, err := n.Solve()
	if err != nil {
		return Reading{}, err
	}
	for _, p := range []int{red, black} {
		if math.Abs(s.Volts[p]-s.Volts[n.Ground]) > liveVolts {
			return Reading{Unsafe: true}, nil
		}
	}
	dead := Network{Nodes: n.Nodes, Ground: n.Ground}
	for i, b := range n.Branches {
		if s.Closed[i] {
			k := len(dead.Branches)
			dead.Branches = append(dead.Branches, Branch{From: b.From, To: b.To, Ohms: b.Ohms, Coil: k})
		}
	}
	with, i, err := dead.with(Branch{From: red, To: black, Volts: testVolts, Ohms: testOhms})
	if err != nil {
		return Reading{}, err
	}
	v, amps := with.Volts[red]-with.Volts[black], -with.Amps[i]
	if amps*ohmmeterMost <= v {
		return Reading{Over: true}, nil
	}
	return Reading{Value: max(0, v/amps)}, nil
}

// clean takes what is left of rounding for nothing.
func clean(v float64) float64 {
	if math.Abs(v) < nothing {
		return 0
	}
	return v
}
