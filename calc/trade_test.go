package calc

import (
	"math"
	"os"
	"testing"

	"github.com/goccy/go-yaml"

	"benchleaf/calc/unit"
)

// Rules of thumb of the trade: common practice, no source. They are held with
// the figures of the demo handbook's models, and with typical ones: 12.6 V on
// 10 Ω, 5.6 K/W, 200 s (coldChoke).

var demoModels = []string{"quince-150", "medlar-245", "damson-175"}

// demoSpecs reads the demo's specifications of the choke: a nominal value in
// SI, by specification and model.
func demoSpecs(t *testing.T) func(name, model string) float64 {
	t.Helper()
	text, err := os.ReadFile("../content/specs/choke.yaml")
	if err != nil {
		t.Fatal(err)
	}
	type nominal struct{ Nominal *float64 }
	var specs map[string]struct {
		Unit    string
		Nominal *float64
		Models  map[string]nominal
	}
	if err := yaml.Unmarshal(text, &specs); err != nil {
		t.Fatal(err)
	}
	return func(name, model string) float64 {
		t.Helper()
		spec := specs[name]
		value := spec.Nominal
		if own, ok := spec.Models[model]; ok {
			value = own.Nominal
		}
		u, known := unit.Lookup(spec.Unit)
		if value == nil || !known {
			t.Fatalf("%s has no nominal value for %s", name, model)
		}
		return u.ToSI(*value)
	}
}

// demoChoke is a model's choke, cold at 20 °C, with its heater fed.
func demoChoke(spec func(name, model string) float64, model string) TimeToOpenInputs {
	return TimeToOpenInputs{
		Voltage: spec("heater-volts", model), Resistance: spec("heater-resistance", model),
		Ambient: 293.15, Start: 293.15, OpenAt: spec("open-at", model), ShutAt: spec("shut-at", model),
		ThermalResistance: spec("thermal-resistance", model), TimeConstant: spec("warming-constant", model),
	}
}

// A heated choke is fully open about two minutes after a cold start at 20 °C.
func TestTradeOpening(t *testing.T) {
	spec := demoSpecs(t)
	for _, model := range demoModels {
		out := TimeToOpen(demoChoke(spec, model))
		if out.Outcome != Opens || math.Abs(out.Time-120) > 30 {
			t.Errorf("%s opens in %v s (%v), want about 120 s", model, out.Time, out.Outcome)
		}
		if stated := spec("opening-time", model); math.Abs(out.Time-stated) > 0.5 {
			t.Errorf("%s opens in %v s, the demo says %v s", model, out.Time, stated)
		}
	}
}

// It takes up to ten minutes to close again: with the typical figures and 5 %
// of the rise as its closing temperature from full heat, with the demo's after
// a run of two minutes. From full heat the demo's take longer, as they say.
func TestTradeClosing(t *testing.T) {
	full := TimeToOpen(coldChoke).FinalTemperature
	out := TimeToClose(TimeToCloseInputs{
		Hot: full, Run: math.NaN(), Ambient: 293.15, CloseAt: 293.15 + 0.05*(full-293.15), TimeConstant: 200,
	})
	if out.Outcome != Closes || math.Abs(out.Time-600) > 10 {
		t.Errorf("closes in %v s (%v), want about 600 s", out.Time, out.Outcome)
	}
	spec := demoSpecs(t)
	for _, model := range demoModels {
		choke := demoChoke(spec, model)
		in := TimeToCloseInputs{
			Hot: TimeToOpen(choke).FinalTemperature, Run: 120, Start: choke.Start, RunTimeConstant: choke.TimeConstant,
			Ambient: 293.15, CloseAt: choke.ShutAt, TimeConstant: spec("cooling-constant", model),
		}
		if out := TimeToClose(in); out.Outcome != Closes || math.Abs(out.Time-600) > 60 {
			t.Errorf("%s closes in %v s (%v) after a run of two minutes, want about 600 s", model, out.Time, out.Outcome)
		}
		in.Run = math.NaN()
		if out, stated := TimeToClose(in), spec("closing-time", model); math.Abs(out.Time-stated) > 0.5 {
			t.Errorf("%s closes in %v s from full heat, the demo says %v s", model, out.Time, stated)
		}
	}
}

// The pull-off alone opens the plate roughly 40 %: the spiral, cold, opens
// nothing yet. The plate is shut at 15° and open at 90° across bores that are
// typical for the displacement; its lower edge then stands off by the radius
// times the difference of the cosines.
func TestTradePullOff(t *testing.T) {
	spec := demoSpecs(t)
	const degree = math.Pi / 180
	bores := map[string]float64{"quince-150": 0.018, "medlar-245": 0.022, "damson-175": 0.020} // m
	for _, model := range demoModels {
		if out := TimeToOpen(demoChoke(spec, model)); out.Opening != 0 {
			t.Errorf("%s: the spiral opens %v at the start", model, out.Opening)
		}
		radius := bores[model] / 2
		angle := math.Acos(math.Cos(15*degree) - spec("pull-off-gap", model)/radius)
		if share := (angle/degree - 15) / 75; math.Abs(share-0.4) > 0.05 {
			t.Errorf("%s: the pull-off opens %.0f %%, want roughly 40 %%", model, 100*share)
		}
	}
}

// A flywheel magneto gives one pulse a revolution: 30 pulses a second are 1800
// rpm, which is what idle-speed and engine-speed start with.
func TestTradeMagneto(t *testing.T) {
	for _, name := range []string{"idle-speed", "engine-speed"} {
		c, ok := Find(name)
		if !ok {
			t.Fatalf("no calculator %s", name)
		}
		in := c.Starts()
		for i, q := range c.Inputs {
			switch q.Name {
			case "measured":
				in[i] = math.NaN()
			case "frequency":
				in[i] = 30
			}
		}
		near(t, name, c.Native(in)[0], 30, 1e-12) // revolutions in a second
	}
}
