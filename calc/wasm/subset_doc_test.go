package wasm_test

import (
	"os"
	"strings"
	"testing"

	"benchleaf/calc/wasm"
)

// The written subset: its accepted example compiles and runs, each refused line
// is refused with the message beside it.
func TestSubsetPage(t *testing.T) {
	page, err := os.ReadFile("../../docs/calculator-subset.md")
	if err != nil {
		t.Fatal(err)
	}
	accepted, refused, _ := strings.Cut(string(page), "## Refused")
	_, example, _ := strings.Cut(accepted, "```go\n")
	example, _, _ = strings.Cut(example, "```")
	out, err := load(t, example).Call([]float64{12, 36, 3, 0})
	if err != nil || len(out) != 3 || out[0] != 4 || out[1] != 4.5 || out[2] != 1 {
		t.Errorf("the example gives %v (%v), want 4 W, 4.5 by hand, warm", out, err)
	}

	lines := 0
	for _, line := range strings.Split(refused, "\n") {
		code, message, found := strings.Cut(strings.TrimPrefix(line, "- `"), "`: ")
		if !found || !strings.HasPrefix(line, "- `") {
			continue
		}
		lines++
		text := "package p\nvar total float64\ntype S struct{ a float64 }\nfunc F(x float64, n int, s S) float64 {\n" + code + "\n"
		if name, _, ok := strings.Cut(code, " := "); ok {
			text += "_ = " + name + "\n"
		} else if strings.HasPrefix(code, "var y") {
			text += "_ = y\n"
		}
		program, problems := wasm.Check(sourceOf(text + "return x\n}"))
		if problems == nil {
			_, problems = program.Compile("F")
		}
		if len(problems) != 1 || problems[0].Message != message {
			t.Errorf("%s\n have %s want %s", code, show(problems...), message)
		}
	}
	if lines < 16 {
		t.Errorf("the page has only %d refused lines", lines)
	}
}
