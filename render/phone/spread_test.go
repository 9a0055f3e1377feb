package phone

import (
	"fmt"
	"slices"
	"testing"

	"benchleaf/render/handbook"
)

// spread are as few procedures as have among them all that those of a list are made of, a third of them at least, in
// their order; or with -every all. A page's scripts know what it is made of, and not how often.
func spread(list []*handbook.Page) []*handbook.Page {
	if *every {
		return list
	}
	seen, taken := map[string]bool{}, map[*handbook.Page]bool{}
	fresh := func(p *handbook.Page) (n int) {
		if taken[p] {
			return -1
		}
		for _, m := range makings(p) {
			if !seen[m] {
				n++
			}
		}
		return n
	}
	freshest := func() *handbook.Page {
		return slices.MaxFunc(list, func(a, b *handbook.Page) int { return fresh(a) - fresh(b) })
	}
	for p := freshest(); fresh(p) > 0 || fresh(p) == 0 && 3*len(taken) < len(list); p = freshest() {
		taken[p] = true
		for _, m := range makings(p) {
			seen[m] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(list), func(p *handbook.Page) bool { return !taken[p] })
}

// makings name what a procedure is made of, each thing once.
func makings(p *handbook.Page) []string {
	made := map[string]bool{}
	add := func(what ...any) { made[fmt.Sprint(what...)] = true }
	leads := func(to handbook.Target) {
		add("to ", int(to.Kind), " within it ", to.ID != "" && to.Page != nil)
		if to.Kind == handbook.ToEnd {
			add("to ", to.ID)
		}
	}
	add("models ", len(p.Applicability) > 0)
	add("practice ", p.PracticePath() != "")
	add("calculators ", len(p.Calculators) > 0)
	for _, s := range p.Procedure.Steps {
		for _, a := range s.Answers {
			leads(a.To)
		}
		for _, panel := range s.Panels {
			add("panel ", panel.Level)
		}
		if c := s.Conduct; c != nil {
			add("again ", c.Again)
			add("requires ", len(c.Requires) > 0)
			add("forbids ", len(c.Forbids) > 0)
			add("restores ", len(c.Restores) > 0, " sets ", len(c.Sets) > 0)
			add("who ", c.Who)
			add("emissions ", c.Emissions)
			add("check ", c.Verification, " read ", s.Reading != nil)
			add("detects ", len(c.Detects) > 0)
		}
		if r := s.Reading; r != nil {
			add("timed ", r.Timing != nil, " drawn ", r.Probes != nil)
			if r.Spec != nil {
				add("read in ", r.Spec.Unit.Symbol)
			}
			for _, o := range r.Outcomes {
				add("reads ", o.Kind)
				leads(o.To)
			}
		}
	}
	for _, c := range p.Procedure.Causes {
		add("remedy restores ", len(c.Restores) > 0)
		add("part ", c.Part != nil)
		add("checked by one of its own ", c.Verification != "")
		add("unchecked ", c.Unchecked)
		add("remedy by ", c.Who)
		add("remedy emissions ", c.Emissions)
	}
	for name, e := range p.Procedure.Ends {
		add("end ", name, " restores ", len(e.Restores) > 0)
	}
	list := make([]string, 0, len(made))
	for m := range made {
		list = append(list, m)
	}
	return list
}

// TestSpread: a spread is a part of the procedures, and nothing that one of them is made of is missing in it.
func TestSpread(t *testing.T) {
	if *every {
		t.Skip("all are taken")
	}
	all := compiled(t).procedures()
	some := spread(all)
	had := map[string]bool{}
	for _, p := range some {
		t.Log(p.Key)
		for _, m := range makings(p) {
			had[m] = true
		}
	}
	for _, p := range all {
		for _, m := range makings(p) {
			if !had[m] {
				t.Errorf("%s: nothing has %q", p.Key, m)
			}
		}
	}
	if len(some) == len(all) {
		t.Error("each procedure is the only one of its kind")
	}
}
