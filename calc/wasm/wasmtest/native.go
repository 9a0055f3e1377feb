package wasmtest

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// Suite is a number of random programs: package p0 with the first seed, p1 with
// the next and so on, each with the functions F0, F1 ...
type Suite struct {
	Seed                        uint64
	Programs, Functions, Inputs int
	// Portable keeps out what Go leaves to the processor: conversions to int of
	// floats that are out of its range.
	Portable bool
}

// Source returns the source of a program.
func (s Suite) Source(program int) string {
	return write(s.Seed+uint64(program), "p", s.Functions, s.Portable)
}

// InputsOf returns the inputs of a program's functions.
func (s Suite) InputsOf(program int) [][]float64 {
	return Inputs(s.Seed+uint64(program), s.Inputs)
}

// Call is one call of a function of the suite.
type Call struct {
	Program, Function int
	In                []float64
}

// Calls returns every function of the suite with each of its program's inputs.
func (s Suite) Calls() []Call {
	var calls []Call
	for program := range s.Programs {
		inputs := s.InputsOf(program)
		for function := range s.Functions {
			for _, in := range inputs {
				calls = append(calls, Call{program, function, in})
			}
		}
	}
	return calls
}

// Question returns the line that asks the native program for a call.
func (c Call) Question() string {
	return Question(fmt.Sprintf("p%d.F%d", c.Program, c.Function), c.In)
}

// Question returns the line that asks the native program for the results of the
// named function.
func Question(name string, in []float64) string { return name + " " + Line(in) + "\n" }

// Trap is the answer of a call that traps.
const Trap = "trap"

// Line writes numbers as the hexadecimal digits of their bits; NaNs are a class.
// It is the native program's answer too.
func Line(numbers []float64) string {
	words := make([]string, len(numbers))
	for i, v := range numbers {
		if words[i] = fmt.Sprintf("%016x", math.Float64bits(v)); v != v {
			words[i] = "NaN"
		}
	}
	return strings.Join(words, " ")
}

// Build compiles the suite's programs with the Go toolchain into one program
// that answers each line of its input, a Question, with a line. It is a package
// of the module in the folder root, which holds the elementary functions; scratch
// takes its files, which stand in that module only for this build. More is
// another file of package main, which may add to its functions; env adds to the
// environment of the toolchain.
func (s Suite) Build(root, scratch, more string, env ...string) (program string, err error) {
	const name = "calc/wasm/wasmtest/native"
	if root, err = filepath.Abs(root); err != nil {
		return "", err
	}
	files := map[string]string{"main.go": nativeMain}
	if more != "" {
		files["more.go"] = more
	}
	for i := range s.Programs {
		files[fmt.Sprintf("p%d/p.go", i)] = s.Source(i)
		files[fmt.Sprintf("p%d.go", i)] = s.table(i)
	}
	overlay := struct{ Replace map[string]string }{map[string]string{}}
	for path, text := range files {
		real := filepath.Join(scratch, strings.ReplaceAll(path, "/", "-"))
		if err := os.WriteFile(real, []byte(text), 0o644); err != nil {
			return "", err
		}
		overlay.Replace[filepath.Join(root, name, path)] = real
	}
	list, err := json.Marshal(overlay)
	if err != nil {
		return "", err
	}
	listPath := filepath.Join(scratch, "overlay.json")
	if err := os.WriteFile(listPath, list, 0o644); err != nil {
		return "", err
	}
	program = filepath.Join(scratch, "native")
	build := exec.Command("go", "build", "-overlay", listPath, "-o", program, "./"+name)
	build.Dir = root
	build.Env = append(append(os.Environ(), "GOFLAGS=", "GOWORK=off", "GOPROXY=off", "GOAMD64=v1"), env...)
	if out, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, out)
	}
	return program, nil
}

// Answers builds the suite's programs for this machine and returns the answers
// to its calls. Scratch is a folder for the files.
func (s Suite) Answers(root, scratch string) ([]string, error) {
	var questions strings.Builder
	for _, c := range s.Calls() {
		questions.WriteString(c.Question())
	}
	return s.Ask(root, scratch, "", questions.String())
}

// Ask builds the suite's programs and the file more for this machine and returns
// the answers to the questions.
func (s Suite) Ask(root, scratch, more, questions string) ([]string, error) {
	program, err := s.Build(root, scratch, more)
	if err != nil {
		return nil, err
	}
	run := exec.Command(program)
	run.Stdin = strings.NewReader(questions)
	run.Stderr = os.Stderr
	out, err := run.Output()
	return Answers(string(out)), err
}

// Answers parts what the native program printed into its answers.
func Answers(out string) []string { return strings.Split(strings.TrimSuffix(out, "\n"), "\n") }

// table is the file of package main that makes a program's functions known.
func (s Suite) table(program int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "package main\n\nimport p \"benchleaf/calc/wasm/wasmtest/native/p%d\"\n\nfunc init() {\n", program)
	for f := range s.Functions {
		fmt.Fprintf(&b, "\tfunctions[\"p%d.F%d\"] = func(in []float64) []float64 {\n", program, f)
		fmt.Fprintf(&b, "\t\tr := p.F%d(p.Inputs{in[0], in[1], in[2], int(in[3]), int(in[4]), in[5] != 0, in[6] != 0})\n", f)
		b.WriteString("\t\treturn []float64{r.X, r.Y, float64(r.K), number(r.T)}\n\t}\n")
	}
	b.WriteString("}\n")
	return b.String()
}

const nativeMain = `package main

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
)

var functions = map[string]func(in []float64) []float64{}

func main() {
	lines := bufio.NewScanner(os.Stdin)
	w := bufio.NewWriter(os.Stdout)
	defer w.Flush()
	for lines.Scan() {
		words := strings.Fields(lines.Text())
		in := make([]float64, len(words)-1)
		for i, word := range words[1:] {
			if in[i] = math.NaN(); word != "NaN" {
				bits, err := strconv.ParseUint(word, 16, 64)
				if err != nil {
					panic(err)
				}
				in[i] = math.Float64frombits(bits)
			}
		}
		f := functions[words[0]]
		if f == nil {
			panic("no function " + words[0])
		}
		fmt.Fprintln(w, answer(f, in))
	}
}

func answer(f func([]float64) []float64, in []float64) (line string) {
	defer func() {
		if recover() != nil {
			line = "trap"
		}
	}()
	var words []string
	for _, v := range f(in) {
		if math.IsNaN(v) {
			words = append(words, "NaN")
		} else {
			words = append(words, fmt.Sprintf("%016x", math.Float64bits(v)))
		}
	}
	return strings.Join(words, " ")
}

func number(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
`
