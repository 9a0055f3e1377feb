package calc

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"benchleaf/calc/unit"
)

// published is one row of testdata/published: a value that a standard or a
// handbook gives, with its source and how it was had (read, computed from the
// source's formula, or from memory).
type published struct {
	file, quantity, inputs, expected, unit, tolerance string
	source, basis, notes                              string
}

// text returns what stands after an input's "=", and whether the row has it.
func (r published) text(name string) (string, bool) {
	for _, in := range strings.Split(r.inputs, ";") {
		if key, value, ok := strings.Cut(strings.TrimSpace(in), "="); ok && key == name {
			return value, true
		}
	}
	return "", false
}

// number returns an input's number, as it stands there, without its unit.
func (r published) number(name string) float64 {
	text, ok := r.text(name)
	if !ok {
		panic(r.String() + ": no input " + name)
	}
	number, _, _ := strings.Cut(text, " ")
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		panic(r.String() + ": " + err.Error())
	}
	return v
}

// si returns an input in SI.
func (r published) si(name string) float64 {
	text, _ := r.text(name)
	number, symbol, _ := strings.Cut(text, " ")
	symbol, _, _ = strings.Cut(symbol, " (")
	u, ok := unit.Lookup(symbol)
	v, err := strconv.ParseFloat(number, 64)
	if !ok || err != nil {
		panic(fmt.Sprintf("%v: %s = %q is no quantity", r, name, text))
	}
	return u.ToSI(v)
}

func (r published) String() string { return r.file + ": " + r.quantity + " " + r.inputs }

func readPublished(t *testing.T) []published {
	t.Helper()
	files, err := filepath.Glob("../testdata/published/*.csv")
	if err != nil || len(files) == 0 {
		t.Fatalf("no published tables: %v", err)
	}
	var rows []published
	for _, name := range files {
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		records, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(records[0], ","); got != "quantity,inputs,expected,unit,tolerance,source,basis,notes" {
			t.Fatalf("%s: columns %s", name, got)
		}
		for _, c := range records[1:] {
			rows = append(rows, published{strings.TrimSuffix(filepath.Base(name), ".csv"), c[0], c[1], c[2], c[3], c[4], c[5], c[6], c[7]})
		}
	}
	return rows
}

// notCovered lists the rows that none of the calculators nor the units cover,
// by file and a part of quantity and inputs, with why. Each must match a row,
// and none that is covered.
var notCovered = []struct{ file, part, why string }{
	{"bimetal", "spiral_rotation_geometric", "a model of geometry alone, 4/3 of what the layers' equilibrium gives"},
	{"bimetal", "flexivity_type", "the data of an alloy: an input of bimetal"},
	{"bimetal", "specific_thermal_curvature", "the data of an alloy: an input of bimetal"},
	{"circuit_drop_test", "allowed_drop", "a limit, which a model's specification gives: circuit-drop judges none"},
	{"conductor_constants", "copper_mass_resistivity", "needs the density, which no calculator holds"},
	{"conductor_constants", "density", "density: no calculator holds it"},
	{"conductor_constants", "purity=pure element", "the pure element, 2.8 % above the standard for conductors that is used"},
	{"governor_droop", "voltage_regulation_percent", "the voltage of a generator: governor-droop knows its speed"},
	{"governor_droop", "max_frequency_droop", "the limit of a performance class: an input of limits, not a result"},
	{"heater_element", "resistivity", "nichrome: voltage-drop knows copper and aluminium"},
	{"wire_ac4313_table11_9", "conductor_max_resistance", "a maximum: see TestPublishedMaxima"},
	{"wire_iec60228_20C", "conductor_max_resistance", "a maximum: see TestPublishedMaxima"},
	{"wire_iso6722_20C", "conductor_max_resistance", "a maximum, from memory: see TestPublishedMaxima"},
}

func TestPublished(t *testing.T) {
	used := make([]bool, len(notCovered))
	checked := map[string]bool{}
	covered := 0
	for _, r := range readPublished(t) {
		if r.source == "" || !slices.Contains([]string{"read", "computed", "memory"}, r.basis) {
			t.Errorf("%v: source %q, basis %q", r, r.source, r.basis)
		}
		listed := false
		for i, n := range notCovered {
			if n.file == r.file && strings.Contains(r.quantity+" "+r.inputs, n.part) {
				listed, used[i] = true, true
			}
		}
		check, ok := checks[r.quantity]
		switch {
		case listed:
			continue
		case !ok:
			t.Errorf("%v: neither covered nor listed", r)
			continue
		}
		covered++
		checked[r.quantity] = true
		expected, err := strconv.ParseFloat(r.expected, 64)
		if err != nil {
			t.Fatalf("%v: %v", r, err)
		}
		tolerance, err := strconv.ParseFloat(r.tolerance, 64)
		if err != nil {
			t.Fatalf("%v: %v", r, err)
		}
		if got := check(r); !(math.Abs(got-expected) <= tolerance) {
			t.Errorf("%v: %v, published %v ± %v %s (%s, %s)", r, got, expected, tolerance, r.unit, r.source, r.basis)
		}
	}
	for i, n := range notCovered {
		if !used[i] {
			t.Errorf("listed as not covered, but no such row: %s %s", n.file, n.part)
		}
	}
	for quantity := range checks {
		if !checked[quantity] {
			t.Errorf("no row has the quantity %s", quantity)
		}
	}
	t.Logf("%d rows covered", covered)
}

// The maxima that standards set for a nominal area allow for thinner metal,
// lay and tinning; the value from the geometry lies below each of them and
// within a quarter.
func TestPublishedMaxima(t *testing.T) {
	n := 0
	for _, r := range readPublished(t) {
		if r.quantity != "conductor_max_resistance" {
			continue
		}
		n++
		expected, err := strconv.ParseFloat(r.expected, 64)
		if err != nil {
			t.Fatal(err)
		}
		u, ok := unit.Lookup(r.unit)
		if !ok {
			t.Fatalf("%v: unit %s", r, r.unit)
		}
		in := cable(r)
		if area, _ := r.text("nominal_area"); strings.HasSuffix(area, " cmil") {
			in.Area = r.number("nominal_area") * circularMil
		} else {
			in.Area = r.si("nominal_area")
		}
		ratio := u.ToSI(expected) / VoltageDrop(in).Resistance
		if ratio < 1 || ratio > 1.25 {
			t.Errorf("%v: the maximum is %.3f times the value from the geometry", r, ratio)
		}
	}
	if n == 0 {
		t.Error("no maxima found")
	}
}
