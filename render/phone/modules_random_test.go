package phone

import (
	"encoding/base64"
	"fmt"
	"runtime"
	"testing"

	"benchleaf/calc/elementary"
	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
	"benchleaf/calc/wasm/wasmtest"
)

// runScript instantiates the modules of programs and runs each with its
// program's inputs. Numbers come and go as the hexadecimal digits of their bits,
// NaNs as a class.
const runScript = `(async (programs) => {
	const cell = new DataView(new ArrayBuffer(8));
	const number = (word) => {
		if (word === "NaN") return NaN;
		cell.setBigUint64(0, BigInt("0x" + word));
		return cell.getFloat64(0);
	};
	const word = (v) => {
		if (Number.isNaN(v)) return "NaN";
		cell.setFloat64(0, v);
		return cell.getBigUint64(0).toString(16).padStart(16, "0");
	};
	const answers = [];
	for (const {Modules, Inputs} of programs) {
		const inputs = Inputs.map((line) => line.split(" ").map(number));
		for (const text of Modules) {
			const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
			const {instance} = await WebAssembly.instantiate(bytes);
			for (const input of inputs) {
				try {
					answers.push(instance.exports.run(...input).map(word).join(" "));
				} catch (e) {
					answers.push(e instanceof WebAssembly.RuntimeError ? "trap" : String(e));
				}
			}
		}
	}
	return answers;
})`

// TestRandomModules runs random programs of calculators natively, in the
// interpreter of the build and in the browser, and compares every bit.
func TestRandomModules(t *testing.T) {
	t.Parallel()
	b := open(t, "")
	suite := wasmtest.Suite{Seed: 501, Programs: 40, Functions: 8, Inputs: 24, Portable: runtime.GOARCH != "amd64"}
	native, err := suite.Answers("../..", t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	type program struct{ Modules, Inputs []string }
	list := make([]program, suite.Programs)
	var interpreted []string
	for i := range list {
		checked, problems := wasm.Check(wasm.Source{
			Path:       "example/random",
			Files:      map[string][]byte{"random.go": []byte(suite.Source(i))},
			Imports:    map[string]map[string][]byte{wasmtest.Elementary: elementary.Files()},
			Intrinsics: wasmtest.Elementary,
		})
		if problems != nil {
			t.Fatalf("p%d: %+v", i, problems)
		}
		inputs := suite.InputsOf(i)
		for _, in := range inputs {
			list[i].Inputs = append(list[i].Inputs, wasmtest.Line(in))
		}
		for f := range suite.Functions {
			module, problems := checked.Compile(fmt.Sprintf("F%d", f))
			if problems != nil {
				t.Fatalf("p%d.F%d: %+v", i, f, problems)
			}
			list[i].Modules = append(list[i].Modules, base64.StdEncoding.EncodeToString(module.Bytes))
			instance, err := run.Load(module.Bytes)
			if err != nil {
				t.Fatalf("p%d.F%d: %v", i, f, err)
			}
			for _, in := range inputs {
				answer := wasmtest.Trap
				if out, err := instance.Call(in); err == nil {
					answer = wasmtest.Line(out)
				}
				interpreted = append(interpreted, answer)
			}
			if err := instance.Close(); err != nil {
				t.Fatal(err)
			}
		}
	}
	browser := eval[[]string](b, runScript+"("+quoted(list)+")")
	calls := suite.Calls()
	if len(native) != len(calls) || len(interpreted) != len(calls) || len(browser) != len(calls) {
		t.Fatalf("%d calls, answered %d times natively, %d by the interpreter, %d by the browser", len(calls), len(native), len(interpreted), len(browser))
	}
	for i, c := range calls {
		if native[i] != interpreted[i] || native[i] != browser[i] {
			t.Errorf("seed %d, p%d.F%d, %v:\nnative      %s\ninterpreter %s\nbrowser     %s", suite.Seed, c.Program, c.Function, c.In, native[i], interpreted[i], browser[i])
		}
	}
	t.Logf("%d functions, %d calls", suite.Programs*suite.Functions, len(calls))
}
