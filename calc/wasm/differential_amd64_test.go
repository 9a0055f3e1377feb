package wasm_test

import (
	"flag"
	"os"
	"testing"

	"benchleaf/calc/wasm/wasmtest"
)

var (
	programs = flag.Int("programs", 30, "random programs that run natively and as modules")
	seed     = flag.Uint64("seed", 1, "seed of the first random program")
	answers  = flag.String("answers", "", "file that holds what the random programs give natively; without it they are built")
)

// differential is the suite that is compared with its native form.
func differential() wasmtest.Suite {
	return wasmtest.Suite{Seed: *seed, Programs: *programs, Functions: 8, Inputs: 12}
}

// TestDifferential compiles random programs natively and to modules and compares
// the results bit for bit; NaNs are a class. The file's name keeps it to amd64:
// elsewhere a native conversion of a large float64 to an int gives other bits.
func TestDifferential(t *testing.T) {
	if *answers != "" {
		text, err := os.ReadFile(*answers)
		if err != nil {
			t.Fatal(err)
		}
		compare(t, differential(), wasmtest.Answers(string(text)))
		return
	}
	native, err := differential().Answers("../..", t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	compare(t, differential(), native)
}
