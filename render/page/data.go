package page

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

// pageData is what the script cannot read from the page. Its JSON form is
// declared in the theme's script data.ts.
type pageData struct {
	System      string                     `json:"system,omitempty"`  // of units, where it is not metric
	Decimal     string                     `json:"decimal,omitempty"` // the decimal sign, where it is no point
	Specs       map[string]*specData       `json:"specs,omitempty"`
	Calculators map[string]*calculatorData `json:"calculators,omitempty"`
	Sizes       []any                      `json:"sizes,omitempty"`  // names and areas of the wire gauge, in turn
	Pages       map[string]jobsPage        `json:"pages,omitempty"`  // of the jobs page: the procedures by key
	Now         map[string]Now             `json:"now,omitempty"`    // and limits by specification
	States      map[string]string          `json:"states,omitempty"` // and the engine states' titles by id
	// Settings holds title, what puts it back, and the engine states that allow it, if not all do, by id.
	Settings map[string][]string `json:"settings,omitempty"`
	Serials  []serialData        `json:"serials,omitempty"`
	// Search is what the script of the search page must know beside its index.
	Search *searchData `json:"search,omitempty"`
}

// unitData is [symbol, factor, offset] and, where the reader's system of units
// asks for it, the first letter of that system.
type unitData []any

func newUnitData(u unit.Unit) unitData { return unitData{unitSymbol(u), u.Factor, u.Offset} }

// chosen reports whether a system of units asks for it, and the other one does not.
func (d unitData) chosen() bool { return len(d) > 3 }

// systemUnit is a unit of a field whose own unit is another, marked where one of
// the two systems asks for it and the other does not.
func systemUnit(u, own unit.Unit) unitData {
	d := newUnitData(u)
	switch metric, inch := own.In(unit.Metric), own.In(unit.Inch); {
	case metric == inch:
	case u == metric:
		d = append(d, "m")
	case u == inch:
		d = append(d, "i")
	}
	return d
}

// specData holds limits by model, "" for the general one; each is [min, max,
// nominal, tolerance] in the unit of the specification, null where there is
// none.
type specData struct {
	Units  []unitData             `json:"units"` // the first is the specification's
	Meter  meterData              `json:"meter"`
	Limits map[string]*limitData  `json:"limits"`
	Ranges map[string][]rangeData `json:"ranges,omitempty"`
}

// limitData is a limit; null where it depends on the serial number, and Ranges have it.
type limitData [4]*float64

func newLimitData(l *handbook.Limit) *limitData {
	return &limitData{value(l.Min), value(l.Max), value(l.Nominal), value(l.Tolerance)}
}

// rangeData is a limit and the serial numbers for which it holds, unless one before it does: [limit, numbers].
type rangeData [2]any

// meterData is a meter's share of the reading, what is added, and, where the author
// says it, the least and the most that can be read.
type meterData []float64

// spec adds a specification, with a limit for every model of the page.
func (d *pageData) spec(w *writer, s *handbook.Spec) *specData {
	if known := d.Specs[s.ID]; known != nil {
		return known
	}
	sd := &specData{
		Meter:  w.meter(s),
		Limits: map[string]*limitData{},
	}
	for _, u := range d.alternatives(s.Unit) {
		sd.Units = append(sd.Units, newUnitData(u))
	}
	for _, g := range w.groups(s) {
		limit := newLimitData(g.Limit)
		for _, m := range g.Models {
			if sd.Limits[m.ID] = limit; !g.Ranged() {
				continue
			}
			if sd.Limits[m.ID] = nil; sd.Ranges == nil {
				sd.Ranges = map[string][]rangeData{}
			}
			sd.Ranges[m.ID] = append(sd.Ranges[m.ID], rangeData{limit, g.Numbers()})
			w.ranged = true
		}
		if g.Models == nil {
			sd.Limits[""] = limit
		}
	}
	if d.Specs == nil {
		d.Specs = map[string]*specData{}
	}
	d.Specs[s.ID] = sd
	return sd
}

// setting adds a setting that the page names.
func (d *pageData) setting(w *writer, s *handbook.Setting) {
	if d.Settings == nil {
		d.Settings = map[string][]string{}
	}
	w.setting(s)
	said := []string{w.figures(w.in(s.Title)), w.figures(w.in(s.Restore))}
	if len(s.States) > 0 {
		var states []string
		for _, state := range s.States {
			states = append(states, state.ID)
		}
		said = append(said, strings.Join(states, " "))
	}
	d.Settings[s.ID] = said
}

// alternatives lists the units that a field takes, its own first.
func (d *pageData) alternatives(own unit.Unit) []unit.Unit {
	list := []unit.Unit{own}
	for _, u := range own.Alternatives() {
		if u != own {
			list = append(list, u)
		}
	}
	d.sizes(list)
	return list
}

// sizes adds the wire gauge where one of the units is in it.
func (d *pageData) sizes(units []unit.Unit) {
	if d.Sizes != nil || !slices.ContainsFunc(units, unit.Unit.IsGauge) {
		return
	}
	for _, s := range unit.Sizes() {
		d.Sizes = append(d.Sizes, s.Name, s.Area)
	}
}

func value(n *handbook.Number) *float64 {
	if n == nil {
		return nil
	}
	return &n.Value
}

// json returns the element's content, nil if there is nothing to say. It holds
// no "<", so that it cannot end the element.
func (d *pageData) json(lang string, system unit.System) ([]byte, error) {
	if d.Specs == nil && d.Calculators == nil && d.Pages == nil && d.Settings == nil && d.Serials == nil && d.Search == nil {
		return nil, nil
	}
	if system != unit.Metric {
		d.System = string(system)
	}
	if sign := unit.DecimalSign(lang); sign != '.' {
		d.Decimal = string(rune(sign))
	}
	text, err := json.Marshal(d)
	return bytes.TrimSpace(text), err
}
