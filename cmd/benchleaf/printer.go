package main

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render"
	"benchleaf/render/remark"
)

// printer makes what the command prints, as text or as JSON.
type printer struct {
	bytes.Buffer
	in, lang string // as on the command line
	json     bool
}

// list prints a line for each calculator.
func (p *printer) list(known []*render.Calculator) {
	if p.json {
		p.encode(listObject(known))
		return
	}
	var rows [][]string
	for _, c := range known {
		title := c.Title
		if c.Own() {
			title += " (the handbook's own, " + c.Page + ")"
		}
		rows = append(rows, []string{c.Name, title})
	}
	p.table("", rows)
}

// describe prints what a calculator is for, what it takes and what it gives.
func (p *printer) describe(c *render.Calculator) {
	values := c.Values(nil)
	if p.json {
		p.encode(description(c, values))
		return
	}
	p.line("%s: %s", c.Name, c.Title)
	if c.Own() {
		p.line("The handbook's own, in %s.", c.Page)
	}
	if c.About != "" {
		p.line("%s", c.About)
	}
	var rows [][]string
	for i, q := range c.Inputs {
		row := []string{q.Name, heading(q), "one of", p.start(c, q, values[i])}
		if q.Kind == calc.Number {
			row[2] = span(q, p.lang)
			if q.Optional {
				row[2] += " or empty"
			}
		}
		rows = append(append(rows, row), options(c, q)...)
	}
	p.section("Inputs", rows)
	rows = nil
	for _, q := range c.Results {
		row := []string{q.Name, heading(q), q.Unit.Symbol}
		if q.Kind == calc.Choice {
			row[2] = "one of"
		}
		rows = append(append(rows, row), options(c, q)...)
	}
	p.section("Results", rows)
	p.section("Formulas", column(c.Formula))
	p.section("Sources", column(c.Sources))
	var lines []string
	for _, e := range c.Examples {
		given := "the start values"
		if len(e.Inputs) > 0 {
			given = assignments(e.Inputs)
		}
		lines = append(lines, "with "+given+" it gives "+assignments(e.Results))
	}
	p.section("Worked examples", column(lines))
	p.section("Try", column([]string{p.command(c)}))
}

// results prints the values that a calculator was run with, and what it gave.
func (p *printer) results(c *render.Calculator, inputs []render.Input, out []float64, digits []int) {
	if p.json {
		p.encode(resultObject(c, inputs, out))
		return
	}
	p.line("%s: %s", c.Name, c.Title)
	var rows [][]string
	for i, q := range c.Inputs {
		rows = append(rows, []string{q.Name, heading(q), p.value(c, q, inputs[i]), inputs[i].From})
	}
	p.section("Inputs", rows)
	rows = nil
	for i, q := range c.Results {
		rows = append(rows, []string{q.Name, heading(q), p.result(c, q, out[i], digits[i])})
	}
	p.section("Results", rows)
}

// start says what an input is until it is given a value.
func (p *printer) start(c *render.Calculator, q calc.Quantity, in render.Input) string {
	switch text := p.value(c, q, in); {
	case math.IsNaN(in.SI) && !q.Optional:
		return "no start value"
	case q.Follows != "" || !strings.HasPrefix(in.From, "start"):
		return in.From
	case q.Kind == calc.Choice:
		return "start " + q.Options[int(in.SI)]
	default:
		return "start " + text
	}
}

func (p *printer) value(c *render.Calculator, q calc.Quantity, in render.Input) string {
	switch {
	case q.Kind == calc.Choice:
		return c.OptionText(q, q.Options[int(in.SI)])
	case math.IsNaN(in.SI):
		return "empty"
	}
	return quantityText(in.Unit, in.SI, p.lang)
}

func (p *printer) result(c *render.Calculator, q calc.Quantity, si float64, digits int) string {
	text := unit.FormatIn(q.FromSI(si), digits, p.lang)
	switch option, ok := optionAt(q, si); {
	case ok:
		return c.OptionText(q, option)
	case q.Unit.IsGauge():
		text = cmp.Or(unit.SizeName(q.FromSI(si)), unit.Format(math.NaN(), 1))
	}
	return strings.TrimSpace(text + " " + q.Unit.Symbol)
}

// optionAt is the option that a choice's index means.
func optionAt(q calc.Quantity, v float64) (string, bool) {
	if q.Kind != calc.Choice || !(v >= 0 && v < float64(len(q.Options))) {
		return "", false
	}
	return q.Options[int(v)], true
}

// heading is a quantity's label with its symbol.
func heading(q calc.Quantity) string {
	if q.Symbol == "" || q.Symbol == q.Name {
		return q.Label
	}
	return q.Label + " (" + q.Symbol + ")"
}

func options(c *render.Calculator, q calc.Quantity) [][]string {
	var rows [][]string
	for _, o := range q.Options {
		text := o
		if words := c.OptionText(q, o); words != o {
			text += ": " + words
		}
		rows = append(rows, []string{"", "  " + text})
	}
	return rows
}

func assignments(list []calc.Assignment) string {
	var parts []string
	for _, a := range list {
		parts = append(parts, a.Name+" = "+a.Value)
	}
	return strings.Join(parts, ", ")
}

// command is a command line that runs the calculator: with the inputs of a
// worked example, else with a value of its first input.
func (p *printer) command(c *render.Calculator) string {
	words := []string{"benchleaf", "calculate"}
	if c.Own() {
		words = append(words, "-in", argument(p.in))
	}
	words = append(words, c.Name)
	for _, e := range c.Examples {
		if len(e.Inputs) == 0 {
			continue
		}
		for _, a := range e.Inputs {
			words = append(words, assignment(a.Name, a.Value))
		}
		return strings.Join(words, " ")
	}
	r := reader{calculator: c}
	return strings.Join(append(words, r.sample()), " ")
}

func column(lines []string) [][]string {
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{l})
	}
	return rows
}

func (p *printer) section(title string, rows [][]string) {
	if len(rows) > 0 {
		p.line("")
		p.line("%s", title)
		p.table("  ", rows)
	}
}

// table prints rows with their columns below one another.
func (p *printer) table(indent string, rows [][]string) {
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			if i < len(row)-1 {
				widths[i] = max(widths[i], utf8.RuneCountInString(cell))
			}
		}
	}
	for _, row := range rows {
		line := indent
		for i, cell := range row {
			line += cell + strings.Repeat(" ", max(0, widths[i]-utf8.RuneCountInString(cell))+2)
		}
		p.line("%s", strings.TrimRight(line, " "))
	}
}

// line prints one line; what a handbook's words would do to a terminal is
// taken out of it.
func (p *printer) line(format string, args ...any) {
	fmt.Fprintln(p, remark.Printable(fmt.Sprintf(format, args...)))
}
