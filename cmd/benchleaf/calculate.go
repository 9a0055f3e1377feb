package main

import (
	"fmt"
	"slices"

	"benchleaf/render"
	"benchleaf/render/remark"
)

// runCalculate lists the calculators, describes one, or runs it with values of
// its inputs.
func runCalculate(c *call) int {
	asJSON := c.flags.Bool("json", false, "print JSON, with all digits")
	in := c.flags.String("in", "", "`folder` of a handbook whose own calculators count too")
	lang := c.flags.String("lang", "", "`language` of numbers and labels, such as es; English if left out")
	rest, status, ok := c.parse(len(c.arguments))
	if !ok {
		return status
	}
	known, remarks, err := render.Calculators(*in, *lang)
	if err != nil {
		return c.trouble(err)
	}
	failed := remarks.Count(remark.Error) > 0
	if failed {
		c.report(remarks)
		fmt.Fprintln(c.stderr, counts(remarks))
	}
	return c.calculate(printer{in: *in, lang: *lang, json: *asJSON}, known, failed, rest)
}

// calculate does what the arguments ask for with the calculators that are known; of a handbook that failed some may be missing.
func (c *call) calculate(p printer, known []*render.Calculator, failed bool, rest []string) int {
	if len(rest) == 0 {
		p.list(known)
		if status := c.print(&p); status != statusDone || !failed {
			return status
		}
		return statusRemarks
	}
	calculator, mistakes := find(known, rest[0], failed)
	if calculator != nil && len(rest) == 1 {
		p.describe(calculator)
		return c.print(&p)
	}
	var e *entries
	if calculator != nil {
		e, mistakes = readEntries(calculator, rest[1:], p.lang)
	}
	if len(mistakes) > 0 {
		c.report(mistakes)
		fmt.Fprintf(c.stderr, "%s; nothing was calculated\n", counts(mistakes))
		return statusRemarks
	}
	out, digits, err := calculator.Run(e.given)
	if err != nil {
		return c.trouble(err)
	}
	p.results(calculator, e.inputs, out, digits)
	return c.print(&p)
}

// find returns the calculator of that name, or the remark that there is none.
func find(known []*render.Calculator, name string, failed bool) (*render.Calculator, remark.List) {
	names := make([]string, len(known))
	for i, c := range known {
		names[i] = c.Name
	}
	if i := slices.Index(names, name); i >= 0 {
		return known[i], nil
	}
	why := remark.ReferenceUnknown.At(remark.Place{File: name}, "calculator", name)
	switch near := remark.Nearest(name, names); {
	case near != "":
		why = why.Instead("Did you mean `%s`?", near)
	case failed:
		why = why.Instead("If it is the handbook's own, mend the handbook's errors first.")
	default:
		why = why.Instead("`benchleaf calculate` lists the calculators, with `-in FOLDER` those of a handbook too.")
	}
	return nil, remark.List{why}
}

func (c *call) print(p *printer) int {
	if _, err := c.stdout.Write(p.Bytes()); err != nil {
		return c.trouble(err)
	}
	return statusDone
}
