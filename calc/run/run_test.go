package run_test

import (
	"math"
	"sync"
	"testing"

	"benchleaf/calc/run"
)

// Modules by hand from the binary format.
const (
	header = "\x00asm\x01\x00\x00\x00"
	// run(x f64) f64: x + x
	twice = header + "\x01\x06\x01\x60\x01\x7c\x01\x7c" + "\x03\x02\x01\x00" + "\x07\x07\x01\x03run\x00\x00" + "\x0a\x09\x01\x07\x00\x20\x00\x20\x00\xa0\x0b"
	// run(x f64) (f64, f64, f64): traps for 0, otherwise x, -x, x
	three = header + "\x01\x08\x01\x60\x01\x7c\x03\x7c\x7c\x7c" + "\x03\x02\x01\x00" + "\x07\x07\x01\x03run\x00\x00" +
		"\x0a\x1b\x01\x19\x00\x20\x00\x44\x00\x00\x00\x00\x00\x00\x00\x00\x61\x04\x40\x00\x0b\x20\x00\x20\x00\x9a\x20\x00\x0b"
	// run(n i32) i32
	integer = header + "\x01\x06\x01\x60\x01\x7f\x01\x7f" + "\x03\x02\x01\x00" + "\x07\x07\x01\x03run\x00\x00" + "\x0a\x06\x01\x04\x00\x20\x00\x0b"
	// imports a function m.f of the type () -> ()
	imports = header + "\x01\x04\x01\x60\x00\x00" + "\x02\x07\x01\x01m\x01f\x00\x00" + "\x07\x07\x01\x03run\x00\x00"
)

func load(t *testing.T, module string) *run.Instance {
	t.Helper()
	m, err := run.Load([]byte(module))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { m.Close() })
	return m
}

func TestCall(t *testing.T) {
	m := load(t, twice)
	for _, x := range []float64{0, 1.5, -3, math.Inf(1), math.MaxFloat64, 5e-324} {
		if out, err := m.Call([]float64{x}); err != nil || len(out) != 1 || out[0] != x+x {
			t.Errorf("%v gives %v, %v", x, out, err)
		}
	}
	if out, err := m.Call([]float64{math.NaN()}); err != nil || !math.IsNaN(out[0]) {
		t.Errorf("NaN gives %v, %v", out, err)
	}
}

// A trap is an error, and the instance works on; the results are the caller's.
func TestTrap(t *testing.T) {
	m := load(t, three)
	first, err := m.Call([]float64{2})
	if err != nil || first[0] != 2 || first[1] != -2 || first[2] != 2 {
		t.Fatalf("%v, %v", first, err)
	}
	if out, err := m.Call([]float64{0}); err == nil {
		t.Errorf("no trap: %v", out)
	}
	second, err := m.Call([]float64{7})
	if err != nil || second[0] != 7 || first[0] != 2 {
		t.Errorf("%v, %v, before %v", second, err, first)
	}
}

func TestErrors(t *testing.T) {
	for module, want := range map[string]string{
		integer:         "calculator module: a parameter or result of run is no f64",
		imports:         "calculator module: it has imports",
		header:          "calculator module: it exports no function run",
		"":              "calculator module: invalid magic number",
		twice[:20]:      "calculator module: function and code section have inconsistent lengths: 1 != 0",
		header + "\x0a": "calculator module: get size of section code: EOF",
	} {
		if _, err := run.Load([]byte(module)); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", module, err, want)
		}
	}
	m := load(t, twice)
	for _, in := range [][]float64{nil, {1, 2}} {
		if _, err := m.Call(in); err == nil {
			t.Errorf("%d inputs are taken", len(in))
		}
	}
	if err := m.Close(); err != nil {
		t.Error(err)
	}
	if err := m.Close(); err != nil {
		t.Error(err)
	}
	if _, err := m.Call([]float64{1}); err == nil || err.Error() != "calculator module: closed" {
		t.Errorf("a closed instance says %v", err)
	}
}

// Instances are independent, and one may be called concurrently.
func TestConcurrent(t *testing.T) {
	shared := load(t, twice)
	var group sync.WaitGroup
	for i := range 16 {
		group.Go(func() {
			own, err := run.Load([]byte(twice))
			if err != nil {
				t.Error(err)
				return
			}
			defer own.Close()
			for j := range 100 {
				x := float64(1000*i + j)
				for _, m := range []*run.Instance{shared, own} {
					if out, err := m.Call([]float64{x}); err != nil || out[0] != 2*x {
						t.Errorf("%v gives %v, %v", x, out, err)
					}
				}
			}
		})
	}
	group.Wait()
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		m, err := run.Load([]byte(twice))
		if err != nil {
			b.Fatal(err)
		}
		m.Close()
	}
}
