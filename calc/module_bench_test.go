package calc

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
	"slices"
	"testing"
	"time"

	"benchleaf/calc/run"
	"benchleaf/calc/wasm"
)

// against alternates what is measured with a baseline, so that a busy machine
// slows both, and reports how many times the baseline's time it takes.
func against(b *testing.B, measured, baseline func()) {
	var first, second time.Duration
	for b.Loop() {
		start := time.Now()
		measured()
		between := time.Now()
		baseline()
		first += between.Sub(start)
		second += time.Since(between)
	}
	b.ReportMetric(float64(first)/float64(second), "x-baseline")
	b.ReportMetric(float64(first.Nanoseconds())/float64(b.N), "ns/measured")
}

// What a program that uses no calculator pays is nothing; what a cold compilation
// of all of them costs is measured here, against the parsing and type-checking of
// the same files, without which there is no compiler.
func BenchmarkCompileAll(b *testing.B) {
	source := Subset()
	against(b, func() {
		program, problems := wasm.Check(wasm.Source(source))
		if len(problems) > 0 {
			b.Fatal(problems)
		}
		for _, c := range builtins {
			if _, problems := program.Compile(functionName(c.function)); len(problems) > 0 {
				b.Fatal(problems)
			}
		}
	}, func() {
		check := plainCheck{source: source, files: token.NewFileSet()}
		if _, err := check.Import(source.Path); err != nil {
			b.Fatal(err)
		}
	})
}

// plainCheck parses and type-checks packages and does no more.
type plainCheck struct {
	source Source
	files  *token.FileSet
}

// Import implements types.Importer. The bodies of instructions are not there, so
// that what calls them is in error; that costs no less.
func (p plainCheck) Import(path string) (*types.Package, error) {
	texts := p.source.Imports[path]
	if path == p.source.Path {
		texts = p.source.Files
	}
	var files []*ast.File
	for _, name := range slices.Sorted(maps.Keys(texts)) {
		file, err := parser.ParseFile(p.files, name, texts[name], parser.SkipObjectResolution|parser.ParseComments)
		if err != nil {
			return nil, err
		}
		files = append(files, file)
	}
	config := types.Config{Importer: p, Error: func(error) {}}
	info := types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}}
	pkg, _ := config.Check(path, p.files, files, &info)
	return pkg, nil
}

// The time of a module in the build's interpreter against the native function's,
// which is called by reflection.
func BenchmarkModules(b *testing.B) {
	program, problems := wasm.Check(wasm.Source(Subset()))
	if len(problems) > 0 {
		b.Fatal(problems)
	}
	for _, c := range All() {
		b.Run(c.Name, func(b *testing.B) {
			module, problems := program.Compile(c.Func)
			if len(problems) > 0 {
				b.Fatal(problems)
			}
			instance, err := run.Load(module.Bytes)
			if err != nil {
				b.Fatal(err)
			}
			defer instance.Close()
			in := c.Starts()
			const calls = 100 // a reading of the clock takes as long as one
			against(b, func() {
				for range calls {
					if _, err := instance.Call(in); err != nil {
						b.Fatal(err)
					}
				}
			}, func() {
				for range calls {
					c.Native(in)
				}
			})
		})
	}
}
