package handbook

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"

	"github.com/invopop/jsonschema"

	"benchleaf/calc/unit"
	"benchleaf/render/circuit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// circuitsFolder holds a file for each circuit.
const circuitsFolder = "circuits/"

func isCircuit(name string) bool {
	return strings.HasPrefix(name, circuitsFolder) && !strings.Contains(name[len(circuitsFolder):], "/")
}

type circuitYAML struct {
	Title     Words                   `yaml:"title,needed"`
	Procedure source.Text             `yaml:"procedure,needed with faults"`
	Ground    source.Text             `yaml:"ground,needed"`
	States    []source.Text           `yaml:"states,needed"`
	Points    pointsYAML              `yaml:"points,needed"`
	Elements  source.Map[elementYAML] `yaml:"elements,needed" noun:"an element"`
	Shows     source.Map[source.Text] `yaml:"shows"`
	Faults    source.Map[[]faultYAML] `yaml:"faults" noun:"a fault"`
}

// pointsYAML are points by their names, which are those on the picture and need
// not be ids.
type pointsYAML []pointYAML

type pointYAML struct {
	name  source.Text
	Title Words `yaml:"title,needed"`
	Wire  Words `yaml:"wire"`
}

// Schema implements source.Value.
func (pointsYAML) Schema(s *source.Shapes) *jsonschema.Schema {
	return &jsonschema.Schema{Type: "object", AdditionalProperties: s.Of(&pointYAML{})}
}

// DecodeYAML takes keys with values.
func (p *pointsYAML) DecodeYAML(d *source.Decoder, n source.Node, key string) {
	d.Fields(n, key, func(name source.Text, value source.Node) {
		y := pointYAML{name: name}
		d.Into(value, &y, name.Value, "a point")
		*p = append(*p, y)
	})
}

type elementYAML struct {
	Place    remark.Place
	Title    Words         `yaml:"title,needed"`
	Between  []source.Text `yaml:"between,needed"`
	Volts    amountYAML    `yaml:"volts"`
	Ohms     amountYAML    `yaml:"ohms,needed"`
	Fuse     source.Text   `yaml:"fuse"`
	Coil     source.Text   `yaml:"coil"`
	PullsIn  source.Text   `yaml:"pulls-in,needed with coil"`
	DropsOut source.Text   `yaml:"drops-out,needed with coil"`
	OpenedBy []source.Text `yaml:"opened-by"`
	ClosedBy []source.Text `yaml:"closed-by"`
	ClosedIn []source.Text `yaml:"closed-in"`
}

// amountYAML is one figure, or one for each engine state.
type amountYAML struct {
	all     source.Text
	byState source.Map[source.Text]
	place   remark.Place
}

// Schema implements source.Value.
func (amountYAML) Schema(s *source.Shapes) *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{s.Scalar(), s.Of(&source.Map[source.Text]{})}}
}

// DecodeYAML takes a text or keys with values.
func (a *amountYAML) DecodeYAML(d *source.Decoder, n source.Node, key string) {
	a.place = d.Place(n)
	if source.IsMapping(n) {
		d.Into(n, &a.byState, key, "an amount")
	} else if text, ok := d.Scalar(n, key, "a figure with its unit, or one for each engine state"); ok {
		a.all = source.Text{Value: text, Place: a.place}
	}
}

type faultYAML struct {
	Place        remark.Place
	Title        Words                   `yaml:"title"`
	Element      source.Text             `yaml:"element"`
	Between      []source.Text           `yaml:"between"`
	Ohms         []source.Text           `yaml:"ohms"`
	Volts        []source.Text           `yaml:"volts"`
	In           []source.Text           `yaml:"in"`
	Intermittent source.Text             `yaml:"intermittent"`
	Shows        source.Map[source.Text] `yaml:"shows"`
}

// circuitReader reads the file of one circuit.
type circuitReader struct {
	*resolver
	y       circuitYAML
	circuit *Circuit
	before  int // how many remarks there were
	// What is looked up once the pages are known: the procedure, and for each fault
	// its cause and what steps show.
	faults []faultText
	told   map[string]bool // points and elements that are unknown
	// unknownFigure: a figure of the circuit has a remark elsewhere.
	unknownFigure bool
}

// faultText keeps what of a fault is looked up once the pages are known.
type faultText struct {
	fault *Fault
	cause source.Text
	shows source.Map[source.Text]
}

// circuits reads every file of the circuits folder. A circuit that is not whole is
// left out, and nothing that names it is a second mistake.
func (r *resolver) circuits() {
	r.complete[kindCircuit] = !r.tree.Unread(strings.TrimSuffix(circuitsFolder, "/"))
	var names []string
	for name, y := range r.tree.Data {
		switch {
		case !isCircuit(name):
		case y.Broken:
			r.complete[kindCircuit] = false
		default:
			names = append(names, name)
		}
	}
	for _, name := range sorted(names) {
		id := strings.TrimSuffix(path.Base(name), path.Ext(name))
		c := &circuitReader{resolver: r, circuit: &Circuit{ID: id, Place: remark.Place{File: name}}, told: map[string]bool{}, before: len(r.remarks)}
		source.Decode(r.tree.Data[name], &c.y, "a circuit", &r.remarks)
		if c.read(); len(r.remarks) > c.before || c.unknownFigure {
			r.complete[kindCircuit] = false
			continue
		}
		r.circuitFiles = append(r.circuitFiles, c)
		r.book.Circuits = append(r.book.Circuits, c.circuit)
	}
}

// Limits of a circuit: the build solves it for every model, fault and step, and
// the time for one solution grows with the third power of its size.
const (
	maxPoints   = 50
	maxElements = 100
	maxPlanted  = 200
)

func (c *circuitReader) read() {
	y, to := &c.y, c.circuit
	planted := 0
	for _, e := range y.Faults {
		for _, f := range e.Value {
			planted += max(1, len(f.Ohms)+len(f.Volts))
		}
	}
	for _, limit := range []struct {
		what       string
		have, most int
	}{{"points", len(y.Points), maxPoints}, {"elements", len(y.Elements), maxElements}, {"faults", planted, maxPlanted}} {
		if limit.have > limit.most {
			c.remarks.Add(remark.TextLimit, to.Place, "the circuit", fmt.Sprintf("%d %s", limit.have, limit.what), strconv.Itoa(limit.most))
			return
		}
	}
	to.Title = y.Title
	to.States = c.statesNamed(y.States)
	for _, p := range y.Points {
		to.Points = append(to.Points, &Point{p.name.Value, p.Title, p.Wire})
	}
	if y.Ground.Given() {
		to.Ground = c.point(y.Ground)
	}
	for _, e := range y.Elements {
		to.Elements = append(to.Elements, &Element{ID: e.ID.Value, Title: e.Value.Title, Place: e.ID.Place})
	}
	for i, e := range y.Elements {
		c.element(i, e.Value)
	}
	for _, e := range y.Faults {
		for _, f := range e.Value {
			fault := c.fault(e.ID, f)
			to.Faults = append(to.Faults, fault)
			c.faults = append(c.faults, faultText{fault, e.ID, f.Shows})
		}
	}
	if len(c.remarks) > c.before || c.unknownFigure {
		return
	}
	for _, m := range c.modelsOr() {
		for _, s := range to.States {
			n := to.network(m, s, nil, nil)
			state, err := n.Solve()
			if err != nil {
				c.remarks.Add(remark.CircuitUnsolved, to.Place, err.Error(), s.ID)
				return
			}
			if i := slices.Index(state.Blown, true); i >= 0 {
				c.blown(i, n, s)
				return
			}
		}
	}
}

// blown remarks on a fuse that blows in a circuit without a fault.
func (c *circuitReader) blown(i int, n circuit.Network, s *State) {
	e := c.circuit.Elements[i]
	n.Branches[i].Fuse = 0 // what it would carry
	carries := ""
	if whole, err := n.Solve(); err == nil {
		carries = strconv.FormatFloat(math.Abs(whole.Amps[i]), 'g', 3, 64)
	}
	c.remarks.Add(remark.FuseBlown, c.y.Elements[i].Value.Fuse.Place, e.ID, s.ID, carries, strconv.FormatFloat(e.Fuse, 'g', 3, 64))
}

// modelsOr are the models of the handbook, a nil one in a handbook without.
func (r *resolver) modelsOr() []*Model {
	if len(r.book.Models) == 0 {
		return []*Model{nil}
	}
	return r.book.Models
}

func (c *circuitReader) element(i int, y elementYAML) {
	e := c.circuit.Elements[i]
	e.From, e.To = c.between(y.Between, y.Place)
	e.Volts = c.amount(y.Volts, unit.Voltage)
	e.Ohms = c.amount(y.Ohms, unit.Resistance)
	e.Fuse = c.figure(y.Fuse, unit.Current)
	e.OpenedBy, e.ClosedBy, e.ClosedIn = c.settingsNamed(y.OpenedBy), c.settingsNamed(y.ClosedBy), c.statesNamed(y.ClosedIn)
	if e.Coil = i; y.Coil.Given() {
		e.Coil = c.elementNamed(y.Coil)
		e.Pull, e.Drop = c.figure(y.PullsIn, unit.Voltage), c.figure(y.DropsOut, unit.Voltage)
		if e.Drop > e.Pull && y.PullsIn.Given() {
			c.remarks = append(c.remarks, remark.LimitOrder.At(y.DropsOut.Place, "`drops-out`, "+y.DropsOut.Value+",", "`pulls-in`, "+y.PullsIn.Value).
				Instead("Exchange them, or correct the figure: a relay lets go below what pulls it in."))
		}
	}
}

func (c *circuitReader) fault(cause source.Text, y faultYAML) *Fault {
	f := &Fault{Cause: cause.Value, Title: y.Title, Element: -1, In: c.statesNamed(y.In), Place: y.Place}
	f.Intermittent = yes(&c.remarks, y.Intermittent, "intermittent")
	values, kind := y.Ohms, unit.Resistance
	if len(y.Volts) > 0 {
		values, kind, f.Volts = y.Volts, unit.Voltage, true
	}
	switch {
	case len(y.Ohms) > 0 && len(y.Volts) > 0, y.Element.Given() && len(y.Between) > 0, f.Volts && len(y.Between) > 0:
		c.remarks.Add(remark.FaultForm, f.Place)
		return f
	case y.Element.Given():
		f.Element = c.elementNamed(y.Element)
	case len(y.Between) > 0:
		f.From, f.To = c.between(y.Between, y.Place)
	}
	changes := y.Element.Given() || len(y.Between) > 0
	if changes != (len(values) > 0) || f.Intermittent && !changes {
		c.remarks.Add(remark.FaultForm, f.Place)
	}
	for _, v := range distinct(&c.remarks, values) {
		f.Magnitudes = append(f.Magnitudes, Magnitude{v.Value, c.figure(v, kind)})
	}
	return f
}

// elementNamed returns the number of an element; 0 with a remark.
func (c *circuitReader) elementNamed(name source.Text) int {
	return c.named("element of this circuit", c.circuit.elementIDs(), name)
}

func (c *circuitReader) point(name source.Text) int {
	return c.named("point of this circuit", c.circuit.pointNames(), name)
}

func (c *circuitReader) named(kind string, names []string, name source.Text) int {
	i := slices.Index(names, name.Value)
	if i < 0 && !c.told[name.Value] {
		c.told[name.Value] = true // a name is missing once, however often it stands
		unknownHere(&c.remarks, kind, names, name)
	}
	return max(0, i)
}

func (c *Circuit) elementIDs() (ids []string) {
	for _, e := range c.Elements {
		ids = append(ids, e.ID)
	}
	return ids
}

func (c *Circuit) pointNames() (names []string) {
	for _, p := range c.Points {
		names = append(names, p.Name)
	}
	return names
}

func (c *circuitReader) between(names []source.Text, at remark.Place) (from, to int) {
	if len(names) == 0 {
		return 0, 0 // told, or wanted by nobody
	}
	if len(names) != 2 || names[0].Value == names[1].Value {
		c.remarks.Add(remark.ValueText, names[0].Place, "the list", "pair of points", "[A, B]")
		return 0, 0
	}
	return c.point(names[0]), c.point(names[1])
}

func (r *resolver) statesNamed(names []source.Text) (found []*State) {
	for _, name := range distinct(&r.remarks, names) {
		if s := find(r, kindState, r.book.States, name); s != nil {
			found = append(found, s)
		}
	}
	return found
}

func (r *resolver) settingsNamed(names []source.Text) (found []*Setting) {
	for _, name := range distinct(&r.remarks, names) {
		if s := find(r, kindSetting, r.book.Settings, name); s != nil {
			found = append(found, s)
		}
	}
	return found
}

// amount reads a figure, one for each state, or a specification whose nominal
// value it is for every model.
func (c *circuitReader) amount(y amountYAML, kind unit.Kind) (a Amount) {
	if name, ok := strings.CutPrefix(y.all.Value, "spec:"); ok {
		return c.nominal(source.Text{Value: name, Place: y.all.Place}, kind)
	}
	if y.byState == nil {
		a.All = c.figure(y.all, kind)
		return a
	}
	a.ByState = map[*State]float64{}
	states := c.circuit.States
	if len(states) == 0 { // they are missing, and told so
		states = c.book.States
	}
	for _, e := range y.byState {
		if s := find(c.resolver, kindState, states, e.ID); s != nil {
			a.ByState[s] = c.figure(e.Value, kind)
		}
	}
	for _, s := range c.circuit.States {
		if _, ok := a.ByState[s]; !ok && len(c.remarks) == c.before {
			c.remarks.Add(remark.KeyMissing, y.place, s.ID, "what differs by engine state")
		}
	}
	return a
}

func (c *circuitReader) nominal(name source.Text, kind unit.Kind) Amount {
	c.circuitSpecs = append(c.circuitSpecs, name.Value)
	s := find(c.resolver, kindSpec, c.book.Specs, name)
	if s == nil || s.Faulty {
		c.unknownFigure = true
		return Amount{}
	}
	for _, m := range c.modelsOr() {
		if l := s.For(m); s.Unit.Kind != kind || l == nil || l.Nominal == nil {
			c.remarks = append(c.remarks, remark.ValueText.At(name.Place, name.Value, "specification with a nominal "+string(kind)+" for every model", "spec:heater-resistance").
				About(s.lacks("nominal", m)))
			c.unknownFigure = true
			break
		}
	}
	return Amount{Spec: s}
}

// figure reads a quantity with its unit; open is an infinite resistance.
func (c *circuitReader) figure(t source.Text, kind unit.Kind) float64 {
	own := map[unit.Kind]string{unit.Voltage: "V", unit.Resistance: "Ω", unit.Current: "A"}[kind]
	switch {
	case !t.Given():
		return 0
	case t.Value == "open" && kind == unit.Resistance:
		return math.Inf(1)
	}
	u, _ := unit.Lookup(own)
	si, _, err := unit.Parse(t.Value, u, "en")
	if _, plain := plainFigure(t.Value); err != nil || plain && si != 0 || si < 0 || si > maxFigure {
		example := "12.6 " + own
		if kind == unit.Resistance {
			example = "40 mΩ, or open"
		}
		c.remarks.Add(remark.ValueText, t.Place, t.Value, string(kind)+" with its unit", example)
		return 0
	}
	return si
}

// functionOf is what a meter is set to for a unit.
func functionOf(u unit.Unit) (circuit.Function, bool) {
	switch u.Kind {
	case unit.Voltage:
		return circuit.Volts, true
	case unit.Resistance:
		return circuit.Ohms, true
	case unit.Current:
		return circuit.Amps, true
	}
	return "", false
}
