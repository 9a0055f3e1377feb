package calc

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"reflect"
	"runtime"
	"strconv"
	"strings"

	"benchleaf/calc/unit"
)

// describe reads a calculator's function: its inputs and results by reflection,
// its comment and text from the embedded file. A mistake there is one in this
// package, so it panics, with the place; the tests describe every calculator.
func describe(b builtin) *Calculator {
	t := reflect.TypeOf(b.function)
	c := &Calculator{
		Name:     b.name,
		Func:     functionName(b.function),
		Inputs:   quantities(t.In(0), true),
		Results:  quantities(t.Out(0), false),
		function: b.function,
	}
	text, err := sourceFiles.ReadFile(b.file)
	if err != nil {
		panic("calc: " + err.Error())
	}
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, b.file, text, parser.ParseComments)
	if err != nil {
		panic("calc: " + err.Error())
	}
	for _, d := range file.Decls {
		if f, ok := d.(*ast.FuncDecl); ok && f.Name.Name == c.Func {
			readComment(c, f.Doc.Text())
			c.Code = string(text[files.Position(f.Pos()).Offset:files.Position(f.End()).Offset])
			return c
		}
	}
	panic("calc: " + b.file + " does not hold " + c.Func)
}

func functionName(function any) string {
	full := runtime.FuncForPC(reflect.ValueOf(function).Pointer()).Name()
	return full[strings.LastIndexByte(full, '.')+1:]
}

// readComment parts a doc comment into prose and the lines that begin with
// "Formula:", "Source:" or "Example:".
func readComment(c *Calculator, comment string) {
	var prose, examples []string
	marks := map[string]*[]string{"Formula": &c.Formula, "Source": &c.Sources, "Example": &examples}
	for line := range strings.Lines(comment) {
		line = strings.TrimRight(line, "\n")
		mark, text, _ := strings.Cut(line, ": ")
		if list := marks[mark]; list != nil {
			*list = append(*list, text)
		} else {
			prose = append(prose, line)
		}
	}
	c.Doc = strings.TrimSpace(strings.Join(prose, "\n"))
	for _, text := range examples {
		given, found, ok := strings.Cut(text, " gives ")
		if !ok {
			panic("calc: " + c.Name + ": an example without \" gives \"")
		}
		c.Examples = append(c.Examples, Example{assignments(c, given), assignments(c, found)})
	}
}

// assignments reads "current = 2.4 A, area = 16 AWG".
func assignments(c *Calculator, text string) []Assignment {
	var list []Assignment
	for part := range strings.SplitSeq(text, ", ") {
		name, value, ok := strings.Cut(part, " = ")
		if !ok {
			panic("calc: " + c.Name + ": an example has " + part)
		}
		list = append(list, Assignment{name, value})
	}
	return list
}

// quantities reads the fields of a struct of inputs or results.
func quantities(t reflect.Type, input bool) []Quantity {
	list := make([]Quantity, t.NumField())
	for i := range list {
		f := tagged{t.Field(i), t.Name()}
		q := Quantity{Name: f.text("name"), Symbol: f.Tag.Get("symbol")}
		switch f.Type.Kind() {
		case reflect.Float64:
			symbol := f.text("unit")
			u, ok := unit.Lookup(symbol)
			if !ok {
				f.fail("unknown unit " + symbol)
			}
			q.Unit = u
			if input {
				q.Min, q.Max = f.number("min"), f.number("max")
				q.Optional = f.Tag.Get("optional") == "true"
				q.Metered = f.Tag.Get("metered") == "true"
				q.Follows = f.Tag.Get("follows")
				q.Start = math.NaN()
				if _, given := f.Tag.Lookup("start"); given || !q.Optional {
					q.Start = f.number("start")
				}
			} else {
				q.Digits = int(f.number("digits"))
				q.Fixed = f.Tag.Get("fixed") == "true"
			}
		case reflect.Int:
			q.Kind = Choice
			q.Options = strings.Split(f.text("options"), ",")
			q.Max = float64(len(q.Options) - 1)
			if input {
				q.Start = f.option(q.Options)
			}
		default:
			f.fail("a calculator has numbers and choices only")
		}
		list[i] = q
	}
	return list
}

// tagged is a struct field whose tag is being read.
type tagged struct {
	reflect.StructField
	in string
}

func (f tagged) fail(what string) {
	panic(fmt.Sprintf("calc: %s.%s: %s", f.in, f.Name, what))
}

func (f tagged) text(key string) string {
	value, ok := f.Tag.Lookup(key)
	if !ok {
		f.fail("its tag lacks " + key)
	}
	return value
}

func (f tagged) number(key string) float64 {
	v, err := strconv.ParseFloat(f.text(key), 64)
	if err != nil {
		f.fail(err.Error())
	}
	return v
}

func (f tagged) option(options []string) float64 {
	start := f.text("start")
	for i, o := range options {
		if o == start {
			return float64(i)
		}
	}
	f.fail("no option " + start)
	return 0
}

// Native runs the Go function itself: inputs in SI in the order of Inputs,
// choices as their index, results likewise. It is what the compiled module is
// held against; a choice that is no whole number or out of range is read as
// calc/wasm says. It returns nil unless there is one number for each input.
func (c *Calculator) Native(in []float64) []float64 {
	if len(in) != len(c.Inputs) {
		return nil
	}
	f := reflect.ValueOf(c.function)
	argument := reflect.New(f.Type().In(0)).Elem()
	for i, v := range in {
		if field := argument.Field(i); field.CanFloat() {
			field.SetFloat(v)
		} else {
			field.SetInt(whole(v))
		}
	}
	result := f.Call([]reflect.Value{argument})[0]
	out := make([]float64, result.NumField())
	for i := range out {
		if field := result.Field(i); field.CanFloat() {
			out[i] = field.Float()
		} else {
			out[i] = float64(field.Int())
		}
	}
	return out
}

// whole cuts the fraction off; NaN is 0 and what is out of range the nearest
// integer.
func whole(v float64) int64 {
	switch {
	case math.IsNaN(v):
		return 0
	case v >= math.MaxInt64:
		return math.MaxInt64
	case v <= math.MinInt64:
		return math.MinInt64
	}
	return int64(v)
}
