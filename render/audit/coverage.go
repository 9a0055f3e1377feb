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
	Parts  []Covered // parts, by the procedures that examine them
	Causes []Covered // causes, as "page cause", by the steps that can find them
	States []Covered // engine states, by the procedures whose complaint shows in them
}

// Covered is one thing and what looks at it; nothing does where By is empty.
type Covered struct {
	ID string
	By []string
}

// Cover tells what the procedures of the handbook's first language look at.
func Cover(h *handbook.Handbook) Coverage {
	var c Coverage
	parts, states := map[*handbook.Part][]string{}, map[*handbook.State][]string{}
	for _, p := range h.Pages {
		if p.Procedure == nil || p.Lang != h.Languages[0] {
			continue
		}
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
		}
	}
	for _, part := range h.Parts {
		c.Parts = append(c.Parts, Covered{part.ID, parts[part]})
	}
	for _, s := range h.States {
		c.States = append(c.States, Covered{s.ID, states[s]})
	}
	return c
}

// examines returns the parts that a procedure looks at: those of its causes, and
// those that its steps speak of.
func examines(p *handbook.Page) map[*handbook.Part]bool {
	found := map[*handbook.Part]bool{}
	for _, c := range p.Procedure.Causes {
		found[c.Part] = true
	}
	note := func(t handbook.Target) { found[t.Part] = true }
	for _, s := range p.Procedure.Steps {
		eachTarget(p, s.Heading, note)
		for _, n := range s.Body {
			eachTarget(p, n, note)
		}
	}
	delete(found, nil)
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
		{"Engine states, by the procedures whose complaint shows in them", c.States, "no complaint"},
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
