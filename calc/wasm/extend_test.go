package wasm_test

import (
	"bytes"
	"testing"

	"benchleaf/calc/elementary"
	"benchleaf/calc/wasm"
)

// A package on top of one that was checked before compiles to what both give
// when they are checked together, and its problems have their places.
func TestExtend(t *testing.T) {
	const path = "benchleaf/calc/elementary"
	library, problems := wasm.Check(wasm.Source{Path: path, Files: elementary.Files(), Intrinsics: path})
	if problems != nil {
		t.Fatalf("%+v", problems)
	}
	extend := func(text string) (*wasm.Program, []wasm.Problem) {
		return library.Extend("p", map[string][]byte{"p.go": []byte(text)})
	}
	const text = "package p\nimport \"benchleaf/calc/elementary\"\nfunc half(x float64) float64 { return x / 2 }\n" +
		"func F(x float64) float64 { return half(elementary.Pow(x, 1.5)) + elementary.Sqrt(elementary.Sin(half(x))) }\n"
	together, problems := wasm.Check(wasm.Source{Path: "p", Files: map[string][]byte{"p.go": []byte(text)}, Imports: map[string]map[string][]byte{path: elementary.Files()}, Intrinsics: path})
	if problems != nil {
		t.Fatalf("%+v", problems)
	}
	want, problems := together.Compile("F")
	if problems != nil {
		t.Fatalf("%+v", problems)
	}
	extended, problems := extend(text)
	if problems != nil {
		t.Fatalf("%+v", problems)
	}
	got, problems := extended.Compile("F")
	if problems != nil || !bytes.Equal(got.Bytes, want.Bytes) {
		t.Errorf("%+v\n got %x\nwant %x", problems, got.Bytes, want.Bytes)
	}
	const wrong = "package p\nfunc F(x float64) float64 { return x + total }\nvar total float64\n"
	program, problems := extend(wrong)
	if problems != nil {
		t.Fatalf("%+v", problems)
	}
	if _, problems = program.Compile("F"); len(problems) != 1 || problems[0].File != "p.go" || wrong[problems[0].Offset:problems[0].End] != "total" {
		t.Errorf("%+v", problems)
	}
	if _, problems := extend("package p\nimport \"math\"\nvar X = math.Pi\n"); len(problems) == 0 {
		t.Error("an import was taken that no one offers")
	}
}
