package audit

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"benchleaf/render/handbook"
)

// Coverage is what a handbook's procedures look at, in the order of its pages
// and data. Ids stand for what they name; procedures go by their page.
type Coverage struct {
	Parts    []Covered // parts, by the procedures that examine them
	Causes   []Covered // causes, as "page cause", by the steps that can find them
	Repairs  []Covered // the same, by the check that proves their repair
	States   []Covered // engine states, by the procedures whose complaint shows in them
	Settings []Covered // settings, by the procedures that do them
	Orders   []Covered // procedures, by the minutes that the cause takes to find
}

// Covered is one thing and what looks at it; nothing does where By is empty.
type Covered struct {
	ID string
	By []string
}

// Cover tells what the procedures of the handbook's first language look at.
func Cover(h *handbook.Handbook) Coverage {
	var c Coverage
	parts, states, settings := map[*handbook.Part][]string{}, map[*handbook.State][]string{}, map[*handbook.Setting][]string{}
	for _, p := range h.Pages {
		if p.Procedure == nil || p.Lang != h.Languages[0] {
			continue
		}
		c.Orders = append(c.Orders, Covered{p.Key, []string{told(p)}})
		for part := range examines(p) {
			parts[part] = append(parts[part], p.Key)
		}
		for _, s := range p.Procedure.States {
			states[s] = append(states[s], p.Key)
		}
		for _, cause := range p.Procedure.Causes {
			found := Covered{ID: p.Key + " " + cause.ID}
			for _, s := range p.Procedure.Steps {
				if slices.ContainsFunc(s.Ways(), func(t handbook.Target) bool { return t.Cause == cause }) {
					found.By = append(found.By, s.ID)
				}
			}
			c.Causes = append(c.Causes, found)
			proved := Covered{ID: found.ID}
			if check := p.Procedure.Check(cause); check != nil {
				proved.By = []string{check.ID}
			}
			c.Repairs = append(c.Repairs, proved)
		}
		for s := range does(p) {
			settings[s] = append(settings[s], p.Key)
		}
	}
	for _, part := range h.Parts {
		c.Parts = append(c.Parts, Covered{part.ID, parts[part]})
	}
	for _, s := range h.States {
		c.States = append(c.States, Covered{s.ID, states[s]})
	}
	for _, s := range h.Settings {
		c.Settings = append(c.Settings, Covered{s.ID, settings[s]})
	}
	return c
}

// told says what is known of the minutes to a procedure's causes.
func told(p *handbook.Page) string {
	g, _ := graph(p)
	o := orderOf(p, g)
	switch {
	case !o.Written.Reached:
		return "not known: " + o.Why
	case o.Why != "":
		return minutes(o.Written) + " as written; no other order is judged: " + o.Why
	case o.AsWritten && o.Exact && o.Written.Least == o.Written.Most:
		return minutes(o.Written) + " as written, which is the best order"
	case o.AsWritten && o.Exact:
		return minutes(o.Written) + " as written, which no other order surely betters"
	case o.AsWritten:
		return minutes(o.Written) + " as written; no better order was found"
	}
	order := minutes(o.Best) + " in the order " + strings.Join(o.Steps, ", ")
	switch {
	case o.Saves <= 0:
		order += ", which is not surely less"
	case o.Exact:
		order += ", which is the best"
	}
	return minutes(o.Written) + " as written, " + order
}

// does returns the settings that a procedure's steps do.
func does(p *handbook.Page) map[*handbook.Setting]bool {
	found := map[*handbook.Setting]bool{}
	for _, s := range p.Procedure.Steps {
		if s.Conduct != nil {
			for _, setting := range s.Conduct.Sets {
				found[setting.Setting] = true
			}
		}
	}
	return found
}

// examines returns the parts that a procedure looks at.
func examines(p *handbook.Page) map[*handbook.Part]bool {
	found := map[*handbook.Part]bool{}
	for _, spot := range partsOf(p) {
		for _, part := range spot.parts {
			found[part] = true
		}
	}
	return found
}

// WriteText prints the coverage, a line for each thing.
func (c Coverage) WriteText(w io.Writer) error {
	for _, kind := range []struct {
		title string
		list  []Covered
		none  string
	}{
		{"Parts, by the procedures that examine them", c.Parts, "nobody looks at it"},
		{"Causes, by the steps that can find them", c.Causes, "no step finds it"},
		{"Repairs, by the checks that prove them", c.Repairs, "no check on this page"},
		{"Engine states, by the procedures whose complaint shows in them", c.States, "no complaint"},
		{"Settings of the machine, by the procedures that do them", c.Settings, "no step does it"},
		{"Minutes to the cause, on average, by procedure", c.Orders, ""},
	} {
		if len(kind.list) == 0 {
			continue
		}
		if _, err := fmt.Fprintf(w, "\n%s\n", kind.title); err != nil {
			return err
		}
		for _, x := range kind.list {
			by := strings.Join(x.By, ", ")
			if by == "" {
				by = "– " + kind.none
			}
			if _, err := fmt.Fprintf(w, "  %s: %s\n", x.ID, by); err != nil {
				return err
			}
		}
	}
	return nil
}
