package handbook

import (
	"hash/fnv"
	"math"
	"slices"
	"sync"

	"benchleaf/render/circuit"
	"benchleaf/render/remark"
)

// Circuit is a circuit of the machine as data: test points, what lies between
// them, and faults that a trainer may plant.
type Circuit struct {
	ID       string
	Title    Words
	Key      string   // of the procedure that measures it; "" for none
	States   []*State // the engine states that its figures are for
	Points   []*Point
	Ground   int // the point that voltages are told from
	Elements []*Element
	Faults   []*Fault
	Place    remark.Place

	blown sync.Map // what fuses found
}

// Point is a point of a circuit that a meter's lead can touch.
type Point struct {
	Name  string // short, as on the picture: A, 86
	Title Words
	Wire  Words // its colour
}

// Element is what lies between two points.
type Element struct {
	ID       string
	Title    Words
	From, To int
	// Volts is the voltage of a source, From being above To; Ohms the resistance.
	Volts, Ohms Amount
	Fuse        float64 // rated current of a fuse, in A; else 0
	// Coil is the element whose voltage closes this one, a relay's contact, at Pull
	// volts, and lets it open below Drop; itself where nothing does.
	Coil       int
	Pull, Drop float64
	// A setting of OpenedBy opens it while it stands. One that has ClosedBy or
	// ClosedIn is open unless such a setting stands, or in such an engine state.
	OpenedBy, ClosedBy []*Setting
	ClosedIn           []*State
	Place              remark.Place
}

// Source tells whether the element is a source.
func (e *Element) Source() bool {
	return e.Volts.All != 0 || e.Volts.ByState != nil || e.Volts.Spec != nil
}

// Amount is a voltage or a resistance, in V or Ω.
type Amount struct {
	All     float64
	ByState map[*State]float64 // in place of All, or nil
	Spec    *Spec              // its nominal value in place of All, or nil
}

// In is the amount of a model in an engine state.
func (a Amount) In(m *Model, s *State) float64 {
	switch {
	case a.Spec != nil:
		if l := a.Spec.For(m); l != nil && l.Nominal != nil {
			return a.Spec.Unit.ToSI(l.Nominal.Value)
		}
	case a.ByState != nil:
		return a.ByState[s]
	}
	return a.All
}

// Fault is a departure of a circuit from what it should be, in one or more
// magnitudes, for a cause of its procedure.
type Fault struct {
	Cause string
	Title Words // what is wrong where; nil: the title of the element
	// Element is the one that changes, -1 for a leak between the points From and To,
	// or where nothing electrical changes: then there are no Magnitudes.
	Element, From, To int
	Volts             bool     // it changes the voltage, not the resistance
	In                []*State // in which it does; nil: in all
	Intermittent      bool     // it comes and goes: a meter jumps between the faulty circuit and the sound one
	Magnitudes        []Magnitude
	// Shows holds what steps show that are no reading, by the step's id.
	Shows map[string]Shown
	Place remark.Place
}

// Electrical tells whether the fault changes the circuit.
func (f *Fault) Electrical() bool { return len(f.Magnitudes) > 0 }

// Magnitude is how great a fault is.
type Magnitude struct {
	Text  string // as its author wrote it
	Value float64
}

// Shown is what a step shows to who looks: an answer's number among the step's
// answers, or where that is -1 an outcome of its reading.
type Shown struct {
	Answer  int
	Outcome string
}

// Planted is a fault of one magnitude, under a code by which a class can have
// the same one.
type Planted struct {
	*Fault
	Magnitude
	Code string
}

// codeLetters are 32 that are hard to mistake for one another.
const codeLetters = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"

// Planted lists the faults in all their magnitudes. A code follows from what it
// stands for, so that it lasts as long as the fault does.
func (c *Circuit) Planted() []Planted {
	var list []Planted
	taken := map[string]bool{}
	count := map[string]int{}
	for _, f := range c.Faults {
		magnitudes := f.Magnitudes
		if !f.Electrical() {
			magnitudes = []Magnitude{{}}
		}
		count[f.Cause]++
		for _, m := range magnitudes {
			h := fnv.New32a()
			_, _ = h.Write([]byte{byte(count[f.Cause])})
			_, _ = h.Write([]byte(c.ID + " " + f.Cause + " " + m.Text))
			code := ""
			for n := h.Sum32(); code == "" || taken[code]; n++ {
				code = ""
				for shift := range 4 {
					code += string(codeLetters[n>>(5*shift)&31])
				}
			}
			taken[code] = true
			list = append(list, Planted{f, m, code})
		}
	}
	return list
}

// Network is the circuit of a model in an engine state, with settings that stand
// and a fault, or none. A fuse that blows in any of the circuit's states is blown:
// the machine has been run.
func (c *Circuit) Network(m *Model, s *State, standing []*Setting, p *Planted) circuit.Network {
	return c.run(c.network(m, s, standing, p), m, p)
}

// Away is the circuit while an intermittent fault is not there. A fuse that it has
// blown stays blown.
func (c *Circuit) Away(m *Model, s *State, standing []*Setting, p *Planted) circuit.Network {
	return c.run(c.network(m, s, standing, nil), m, p)
}

// run blows the fuses of a network that a fault blows in any state.
func (c *Circuit) run(n circuit.Network, m *Model, p *Planted) circuit.Network {
	for i, blown := range c.fuses(m, p) {
		if blown {
			n.Branches[i].Ohms = math.Inf(1)
		}
	}
	return n
}

// fuses tells which elements a fault blows in any state. A proof asks for each reading of
// each way: what is found is kept.
func (c *Circuit) fuses(m *Model, p *Planted) []bool {
	type run struct {
		model *Model
		Planted
	}
	key := run{model: m}
	if p != nil {
		key.Planted = *p
	}
	if known, ok := c.blown.Load(key); ok {
		return known.([]bool)
	}
	blown := make([]bool, len(c.Elements))
	for _, s := range c.States {
		if state, err := c.network(m, s, nil, p).Solve(); err == nil {
			for i := range blown {
				blown[i] = blown[i] || state.Blown[i]
			}
		}
	}
	c.blown.Store(key, blown)
	return blown
}

func (c *Circuit) network(m *Model, s *State, standing []*Setting, p *Planted) circuit.Network {
	n := circuit.Network{Nodes: len(c.Points), Ground: c.Ground}
	for i, e := range c.Elements {
		b := circuit.Branch{From: e.From, To: e.To, Volts: e.Volts.In(m, s), Ohms: e.Ohms.In(m, s), Fuse: e.Fuse, Coil: e.Coil, Pull: e.Pull, Drop: e.Drop}
		if p != nil && p.Element == i && (p.In == nil || slices.Contains(p.In, s)) {
			if p.Fault.Volts {
				b.Volts = p.Value
			} else {
				b.Ohms = p.Value
			}
		}
		if !e.closed(s, standing) {
			b.Ohms = math.Inf(1)
		}
		n.Branches = append(n.Branches, b)
	}
	if p != nil && p.Element < 0 && p.Electrical() {
		n.Branches = append(n.Branches, circuit.Branch{From: p.From, To: p.To, Ohms: p.Value, Coil: len(n.Branches)})
	}
	return n
}

// closed tells whether engine state and settings let an element carry current.
func (e *Element) closed(s *State, standing []*Setting) bool {
	stands := func(list []*Setting) bool {
		return slices.ContainsFunc(list, func(x *Setting) bool { return slices.Contains(standing, x) })
	}
	if stands(e.OpenedBy) {
		return false
	}
	return e.ClosedBy == nil && e.ClosedIn == nil || stands(e.ClosedBy) || slices.Contains(e.ClosedIn, s)
}

// Probes is where a reading is taken in its page's circuit.
type Probes struct {
	Function   circuit.Function
	Red, Black int
	// With are the settings that stand while it is taken, where the author says so;
	// nil: those that stand once the step has done what it does.
	With  []*Setting
	Place remark.Place
}
