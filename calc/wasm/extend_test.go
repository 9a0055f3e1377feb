package wasm_test

import (
	"bytes"
	"testing"

	"benchleaf/calc/elementary"
	"benchleaf/calc/run"
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

// Constants and arrays of the package below mean what they do there.
func TestExtendTables(t *testing.T) {
	const below = "package below\nconst Third = 1.0 / 3\nconst Zero = 1 / 3\nvar Table = [...]float64{5, Third * 3, 2: 7}\nvar Changed [2]float64\nfunc set() { Changed[0] = 1 }\nfunc At(n int) float64 { return Table[n] }\n"
	library, problems := wasm.Check(wasm.Source{Path: "below", Files: map[string][]byte{"below.go": []byte(below)}})
	if problems != nil {
		t.Fatalf("%+v", problems)
	}
	compile := func(expression string) (*wasm.Module, []wasm.Problem) {
		t.Helper()
		program, problems := library.Extend("p", map[string][]byte{"p.go": []byte("package p\nimport \"below\"\nvar Table = [...]float64{1, 2, 3}\nconst _ = below.Third\nfunc F(n int) float64 { return " + expression + " }\n")})
		if problems != nil {
			t.Fatalf("%+v", problems)
		}
		return program.Compile("F")
	}
	for expression, want := range map[string]float64{
		"below.Table[n]": 7, "Table[n]": 3, "below.At(n)*100 + below.Table[n-1]*10 + Table[n]": 713, "float64(n) * below.Third": 2.0 / 3, "below.At(len(below.Table) - 1)": 7,
	} {
		module, problems := compile(expression)
		if problems != nil {
			t.Fatalf("%s: %+v", expression, problems)
		}
		instance, err := run.Load(module.Bytes)
		if err != nil {
			t.Fatal(err)
		}
		if out, err := instance.Call([]float64{2}); err != nil || out[0] != want {
			t.Errorf("%s gives %v (%v), want %v", expression, out, err, want)
		}
		instance.Close()
	}
	for expression, message := range map[string]string{
		"below.Changed[n]": "Changed may change here; a calculator's arrays are constant",
		"below.Zero":       "1/3 is a division of whole numbers and gives 0",
	} {
		if _, problems := compile(expression); len(problems) != 1 || problems[0].Message != message || problems[0].File != "below.go" {
			t.Errorf("%s: %+v", expression, problems)
		}
	}
}
