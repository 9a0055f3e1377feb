package handbook

import (
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// The ends of a procedure that are no cause: handed over to whoever helps on, the
// complaint could not be reproduced, and, after a cause, repaired and proved.
const (
	HandOver      = "hand-over"
	NotReproduced = "not-reproduced"
	Repaired      = "repaired"
)

// Ends lists them, in the order of the sheet.
var Ends = []string{HandOver, NotReproduced, Repaired}

// Ending is what an author says of an end of a page.
type Ending struct {
	Text     source.Markdown // in place of the theme's words; Doc is nil where not given
	Restores []SettingAt     // what is put back there
	Log      []string        // what to note; for NotReproduced
	Again    string          // under which conditions to try again; for NotReproduced
	Place    remark.Place
}

type endsYAML struct {
	Place         remark.Place
	HandOver      handOverYAML      `yaml:"hand-over" noun:"this end"`
	NotReproduced notReproducedYAML `yaml:"not-reproduced" noun:"this end"`
}

type handOverYAML struct {
	Place    remark.Place
	Text     source.Markdown `yaml:"text"`
	Restores []source.Text   `yaml:"restores"`
}

type notReproducedYAML struct {
	Place    remark.Place
	Text     source.Markdown `yaml:"text"`
	Restores []source.Text   `yaml:"restores"`
	Log      []source.Text   `yaml:"log"`
	Again    source.Text     `yaml:"again"`
}

// endings resolves what the front matter says of the page's ends.
func (r *pageResolver) endings() {
	over, not := r.front.Ends.HandOver, r.front.Ends.NotReproduced
	pr := r.page.Procedure
	pr.Ends = map[string]*Ending{}
	if over.Place.File != "" {
		pr.Ends[HandOver] = &Ending{Text: over.Text, Restores: r.settingsNamed(over.Restores), Place: over.Place}
	}
	if not.Place.File != "" {
		e := &Ending{Text: not.Text, Restores: r.settingsNamed(not.Restores), Again: not.Again.Value, Place: not.Place}
		for _, what := range not.Log {
			e.Log = append(e.Log, what.Value)
		}
		pr.Ends[NotReproduced] = e
	}
	for _, e := range pr.Ends {
		r.links(e.Text.Doc, e.Text.Text, e.Text.PlaceOf)
	}
}

// check resolves where a cause leads once it is mended; every step is known.
func (r *pageResolver) check(c causeText) {
	switch name := c.yaml.Verification; {
	case !name.Given():
	case name.Value == "no" || name.Value == "false":
		c.cause.Unchecked = true
	case contains(r.steps, name.Value):
		c.cause.Verification, c.cause.VerificationPlace = name.Value, name.Place
	default:
		r.page.Procedure.ConductUnknown = true
		unknown(&r.remarks, kindStep, r.steps, name)
	}
}

// Check returns the step to which a cause leads once it is mended: the one that
// it names, or the page's first check after the repair; nil for none.
func (p *Procedure) Check(c *Cause) *Step {
	if c.Unchecked {
		return nil
	}
	for _, s := range p.Steps {
		if c.Verification == s.ID || c.Verification == "" && s.Verification() {
			return s
		}
	}
	return nil
}

// Verification tells whether the step is a check after the repair.
func (s *Step) Verification() bool { return s.Conduct != nil && s.Conduct.Verification }
