package unit

import "testing"

func TestDimensionOperations(t *testing.T) {
	volt := Voltage.Dimension()
	for _, c := range []struct{ got, want Dimension }{
		{volt.Times(Current.Dimension()), Power.Dimension()},
		{volt.Over(Resistance.Dimension()), Current.Dimension()},
		{volt.Over(volt), Dimension{}},
		{Length.Dimension().Power(3), Volume.Dimension()},
		{Time.Dimension().Power(-1), Frequency.Dimension()},
		{volt.Power(0), Dimension{}},
	} {
		if c.got != c.want {
			t.Errorf("got %v, want %v", c.got, c.want)
		}
	}
	if !(Dimension{}).IsZero() || volt.IsZero() {
		t.Error("only a plain number has the zero dimension")
	}
	for _, c := range []struct {
		of   Dimension
		n    int
		want Dimension
		ok   bool
	}{
		{Area.Dimension(), 2, Length.Dimension(), true},
		{Volume.Dimension(), 3, Length.Dimension(), true},
		{Power.Dimension().Times(Resistance.Dimension()), 2, volt, true}, // U = √(P·R)
		{Dimension{Time: -2}, 2, Dimension{Time: -1}, true},
		{Dimension{}, 2, Dimension{}, true},
		{volt, 1, volt, true},
		{Volume.Dimension(), 2, Dimension{}, false},
		{Dimension{Time: -3}, 2, Dimension{}, false},
	} {
		if root, ok := c.of.Root(c.n); ok != c.ok || ok && root != c.want {
			t.Errorf("root %d of %v: %v, %v, want %v, %v", c.n, c.of, root, ok, c.want, c.ok)
		}
	}
}

func TestDimensionString(t *testing.T) {
	for want, d := range map[string]Dimension{
		"1":               {},
		"m²·kg·s⁻³·A⁻¹":   Voltage.Dimension(),
		"K⁻¹":             TemperatureCoefficient.Dimension(),
		"m⁻²·kg⁻¹·s⁴·A²":  Capacitance.Dimension(),
		"m¹²·kg·s⁻¹⁰":     {Length: 12, Mass: 1, Time: -10},
		"m·kg·s⁻³·K⁻¹":    {Length: 1, Mass: 1, Time: -3, Temperature: -1},
		"m⁻¹²⁷·s¹²⁷·A·K³": {Length: -127, Time: 127, Current: 1, Temperature: 3},
	} {
		if d.String() != want {
			t.Errorf("%#v is %s, want %s", d, d, want)
		}
	}
}

// The name of a kind that has none but its base units holds its dimension.
func TestKindOfBaseUnits(t *testing.T) {
	for _, d := range []Dimension{{}, {Length: 1}, {Mass: 1, Time: -2}, {Length: -9, Mass: 9, Time: 5, Current: -4, Temperature: 2}} {
		if got := Kind(d.String()).Dimension(); got != d {
			t.Errorf("Kind(%q) has dimension %v", d, got)
		}
	}
	for _, kind := range []Kind{"rad", "rad·s⁻¹", "rad²·m⁻¹"} {
		if n := kind.nature(); n.angle == 0 || n.bare() != kind {
			t.Errorf("%s has nature %+v, named %s", kind, n, n.bare())
		}
	}
}

// Kinds that share a nature are told apart by nobody but the table.
func TestKindOfNature(t *testing.T) {
	for kind := range dimensions {
		want := kind
		switch kind {
		case Energy, Torque:
			want = "m²·kg·s⁻²"
		case Frequency, RotationalFrequency:
			want = "s⁻¹"
		case Temperature:
			want = TemperatureDifference
		}
		if got := kind.nature().kind(); got != want {
			t.Errorf("%s: a product of its nature is of %s, want %s", kind, got, want)
		}
	}
	if got := (Dimension{Mass: 1, Time: -2}); (nature{got, 0}).kind() != "kg·s⁻²" {
		t.Errorf("N/m is of %s", (nature{got, 0}).kind())
	}
}

// A dimension's symbol can be written as a unit, and that unit is coherent.
func TestSymbolOf(t *testing.T) {
	seen := map[Dimension]bool{}
	for _, symbol := range coherent {
		u := mustLookup(t, symbol)
		if d := u.Kind.Dimension(); seen[d] || SymbolOf(d) != symbol {
			t.Errorf("%v is named %s and %s", d, SymbolOf(d), symbol)
		} else {
			seen[d] = true
		}
	}
	dimensionsOfTest := []Dimension{{Length: 4}, {Length: 2, Mass: 1}, {Time: -9}, {Current: 2, Temperature: -4}, {Mass: 1, Length: -1, Time: 1}}
	for _, d := range dimensions {
		dimensionsOfTest = append(dimensionsOfTest, d)
	}
	for _, d := range dimensionsOfTest {
		u := mustLookup(t, SymbolOf(d))
		if u.Factor != 1 || u.Offset != 0 || u.Kind.Dimension() != d {
			t.Errorf("%v is named %q, which is %+v", d, SymbolOf(d), u)
		}
	}
	for want, d := range map[string]Dimension{
		"W": Voltage.Dimension().Times(Current.Dimension()), "V": Voltage.Dimension(), "Ω": Resistance.Dimension(), "K/W": ThermalResistance.Dimension(),
		"m/s": Velocity.Dimension(), "": {}, "1/s": Frequency.Dimension(), "J": Torque.Dimension(), "K": Temperature.Dimension(), "A²": {Current: 2},
	} {
		if got := SymbolOf(d); got != want {
			t.Errorf("%v is named %q, want %q", d, got, want)
		}
	}
}

func TestRotation(t *testing.T) {
	for symbol, want := range map[string][2]int{
		"rpm": {1, 0}, "rps": {1, 0}, "rad": {0, 1}, "deg": {0, 1}, "rev": {0, 1}, "rad/s": {0, 1}, "deg/s²": {0, 1}, "J/rev": {0, -1}, "deg/K": {0, 1},
		"N·m": {0, -1}, "lbf·ft": {0, -1}, "W": {}, "J": {}, "Hz": {}, "1/s": {}, "": {}, "%": {}, "V": {}, "V/rpm": {},
	} {
		if revolutions, angles := mustLookup(t, symbol).Kind.Rotation(); revolutions != want[0] || angles != want[1] {
			t.Errorf("%s: %d revolutions, %d angles, want %v", symbol, revolutions, angles, want)
		}
	}
}
