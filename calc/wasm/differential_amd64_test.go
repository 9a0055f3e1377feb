package wasm_test

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"benchleaf/calc/elementary"
	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
	"benchleaf/calc/wasm/wasmtest"
)

var (
	programs = flag.Int("programs", 30, "random programs that run natively and as modules")
	seed     = flag.Uint64("seed", 1, "seed of the first random program")
)

const (
	functionsEach = 8
	inputsEach    = 12
)

// TestDifferential compiles random programs natively and to modules and compares
// the results bit for bit; NaNs are a class. The file's name keeps it to amd64:
// elsewhere a native conversion of a large float64 to an int gives other bits.
func TestDifferential(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("go.mod", "module benchleaf\n\ngo 1.26\n")
	for name, text := range elementary.Files() {
		write("calc/elementary/"+name, string(text))
	}
	instructions, err := os.ReadFile("../elementary/instructions.go")
	if err != nil {
		t.Fatal(err)
	}
	write("calc/elementary/instructions.go", string(instructions))
	var sources []string
	for i := range *programs {
		sources = append(sources, wasmtest.Program(*seed+uint64(i), "p", functionsEach))
		write(fmt.Sprintf("p%d/p.go", i), sources[i])
	}
	write("main.go", nativeMain(*programs))

	binary := filepath.Join(dir, "native")
	build := exec.Command("go", "build", "-o", binary, ".")
	build.Dir = dir
	build.Env = append(os.Environ(), "GOFLAGS=", "GOWORK=off", "GOAMD64=v1", "GOPROXY=off")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	out, err := exec.Command(binary).Output()
	if err != nil {
		t.Fatal(err)
	}
	native := bufio.NewScanner(bytes.NewReader(out))
	trapped, total := 0, 0
	for i, source := range sources {
		program, problems := wasm.Check(sourceOf(source))
		if problems != nil {
			t.Fatalf("seed %d: %+v", *seed+uint64(i), problems)
		}
		for f := range functionsEach {
			name := fmt.Sprintf("F%d", f)
			module, problems := program.Compile(name)
			if problems != nil {
				t.Fatalf("seed %d, %s: %+v", *seed+uint64(i), name, problems)
			}
			instance, err := run.Load(module.Bytes)
			if err != nil {
				t.Fatalf("seed %d, %s: %v", *seed+uint64(i), name, err)
			}
			for n, in := range wasmtest.Inputs(uint64(i), inputsEach) {
				if !native.Scan() {
					t.Fatal("the native program printed too little")
				}
				total++
				got := "trap"
				results, err := instance.Call(in)
				if err == nil {
					got = line(results)
				} else {
					trapped++
				}
				if got != native.Text() {
					t.Errorf("seed %d, %s, input %d %v:\nmodule %s (%v)\nnative %s", *seed+uint64(i), name, n, in, got, err, native.Text())
				}
			}
			if err := instance.Close(); err != nil {
				t.Error(err)
			}
		}
	}
	if native.Scan() {
		t.Errorf("the native program printed more: %q", native.Text())
	}
	if trapped*5 > total {
		t.Errorf("%d of %d calls trapped: the programs say too little", trapped, total)
	}
	t.Logf("%d calls, %d trapped in both", total, trapped)
}

// line writes results as bits.
func line(results []float64) string {
	var words []string
	for _, v := range results {
		if math.IsNaN(v) {
			words = append(words, "NaN")
		} else {
			words = append(words, fmt.Sprintf("%016x", math.Float64bits(v)))
		}
	}
	return strings.Join(words, " ")
}

// nativeMain returns the program that prints what every function of p0, p1 ...
// gives for its inputs, in the form of line.
func nativeMain(programs int) string {
	var b strings.Builder
	b.WriteString("package main\n\nimport (\n\t\"bufio\"\n\t\"fmt\"\n\t\"math\"\n\t\"os\"\n")
	for i := range programs {
		fmt.Fprintf(&b, "\tp%d \"benchleaf/p%d\"\n", i, i)
	}
	b.WriteString(`)

var w = bufio.NewWriter(os.Stdout)

func call(f func()) {
	defer func() {
		if recover() != nil {
			fmt.Fprintln(w, "trap")
		}
	}()
	f()
}

func word(v float64) string {
	if math.IsNaN(v) {
		return "NaN"
	}
	return fmt.Sprintf("%016x", math.Float64bits(v))
}

func line(x, y float64, k int, ok bool) {
	t := 0.0
	if ok {
		t = 1
	}
	fmt.Fprintln(w, word(x), word(y), word(float64(k)), word(t))
}

func main() {
	defer w.Flush()
`)
	for i := range programs {
		fmt.Fprintf(&b, "\tfor _, f := range []func(p%d.Inputs) p%d.Results{", i, i)
		for f := range functionsEach {
			fmt.Fprintf(&b, "p%d.F%d, ", i, f)
		}
		fmt.Fprintf(&b, "} {\n\t\tfor _, in := range []p%d.Inputs{\n", i)
		for _, in := range wasmtest.Inputs(uint64(i), inputsEach) {
			b.WriteString("\t\t\t{")
			for _, v := range in[:3] {
				fmt.Fprintf(&b, "math.Float64frombits(%#x), ", math.Float64bits(v))
			}
			fmt.Fprintf(&b, "%d, %d, %v, %v},\n", int(in[3]), int(in[4]), in[5] != 0, in[6] != 0)
		}
		fmt.Fprintf(&b, "\t\t} {\n\t\t\tcall(func() { r := f(in); line(r.X, r.Y, r.K, r.T) })\n\t\t}\n\t}\n")
	}
	b.WriteString("}\n")
	return b.String()
}
