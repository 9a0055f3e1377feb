package handbook

import (
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// figures compares the calculators and the plots that both pages have, in their order: only titles differ between
// languages. One that is missing here or there is told as a block.
func (d differences) figures(mine, theirs *Page) {
	own, of := formsOf(mine), formsOf(theirs)
	for kind, list := range own {
		if len(list) != len(of[kind]) {
			continue
		}
		for i, x := range list {
			s := of[kind][i]
			if x.code != s.code {
				d.tell(x.place, kind+": the formulas or the constants", s.place)
				continue
			}
			for j, fact := range s.facts {
				if j < len(x.facts) && x.facts[j] != fact {
					d.text(x.place, kind+": "+fact[0], x.facts[j][1], fact[1], s.place)
				}
			}
		}
	}
}

// form is a calculator or a plot of a page with what it says in figures.
type form struct {
	place remark.Place
	facts [][2]string // nil where a mistake of its own is told
	code  string      // by which it computes
}

// formsOf are those of a page, by what they are called in remarks.
func formsOf(p *Page) map[string][]form {
	forms := map[string][]form{}
	for n := p.Source.Doc.FirstChild(); n != nil; n = n.NextSibling() {
		b, ok := n.(*source.Block)
		if !ok {
			continue
		}
		switch x := p.Blocks[b].(type) {
		case *Calculator:
			name := "calculator `" + x.Calc.Name + "`"
			f := form{b.Place, nil, x.Calc.Code}
			if !x.guessed {
				f.facts = x.facts()
			}
			forms[name] = append(forms[name], f)
		case *Plot:
			name := "plot of `" + x.Calculator.Calc.Name + "`"
			forms[name] = append(forms[name], form{b.Place, x.facts(), ""})
		}
	}
	return forms
}

// facts are what a calculator says in figures, with names for remarks.
func (c *Calculator) facts() (facts [][2]string) {
	add := func(name, value string) { facts = append(facts, [2]string{name, value}) }
	for _, q := range c.Calc.Inputs {
		add("`"+q.Name+"`", c.Presets[q.Name].fact())
		add("the range of `"+q.Name+"`", plainNumber(q.Min)+" to "+plainNumber(q.Max)+" "+q.Unit.Symbol)
		meter := ""
		if a, ok := c.Meters[q.Name]; ok {
			meter = plainNumber(a.Share) + " and " + plainNumber(a.Added)
		}
		add("the meter of `"+q.Name+"`", meter)
	}
	for _, q := range c.Calc.Results {
		add("the limit of `"+q.Name+"`", specID(c.Limits[q.Name]))
		add("the digits of `"+q.Name+"`", plainNumber(float64(q.Digits))+" in "+q.Unit.Symbol)
	}
	return facts
}

// fact is a preset in every language.
func (p Preset) fact() string {
	switch {
	case p.From != nil:
		return p.From.Calculator.ID + ": " + p.From.Calculator.Calc.Results[p.From.Result].Name
	case p.Spec != nil && p.Within:
		return "the tolerance of " + p.Spec.ID
	case p.Spec != nil:
		return specID(p.Spec)
	case p.Text == "":
		return ""
	}
	return strings.TrimSpace(plainNumber(p.Shown.FromSI(p.SI)) + " " + p.Shown.Symbol)
}

func (p *Plot) facts() [][2]string {
	limits := ""
	for _, s := range p.Limits {
		if s != p.Calculator.Limits[p.Calculator.Calc.Results[p.Show].Name] { // else it is the calculator's
			limits += " " + specID(s)
		}
	}
	c := p.Calculator.Calc
	return [][2]string{
		{"`over`", c.Inputs[p.Over].Name}, {"`show`", c.Results[p.Show].Name}, {"`limits`", strings.TrimSpace(limits)},
		{"`range`", plainNumber(p.Min) + " to " + plainNumber(p.Max)},
	}
}

// facts are what a reading says in figures beside its specification; nil where a mistake of its own is told.
func (r *Reading) facts() [][2]string {
	if r == nil {
		r = &Reading{}
	}
	if len(r.at) > 0 && r.Probes == nil {
		return nil
	}
	tolerance, marks := "", []string{}
	if r.Timing != nil {
		tolerance = plainNumber(r.Timing.Tolerance)
		for _, m := range r.Timing.Marks {
			if m.Text == "" {
				marks = append(marks, m.ID)
			} else {
				marks = append(marks, m.ID+" "+plainNumber(m.At))
			}
		}
	}
	return [][2]string{{"`at`", listOf(r.at)}, {"`with`", listOf(r.with)}, {"`tolerance`", tolerance}, {"`marks`", strings.Join(marks, ", ")}}
}

func listOf(list []source.Text) string {
	var values []string
	for _, text := range list {
		values = append(values, text.Value)
	}
	return strings.Join(values, ", ")
}

func specID(s *Spec) string {
	if s == nil {
		return ""
	}
	return "spec:" + s.ID
}
