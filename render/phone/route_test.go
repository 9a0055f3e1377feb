package phone

import (
	"flag"
	"fmt"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/record"
)

// leg is a step of a route, the way out of it that is taken, and what follows
// where that leads to a cause.
type leg struct {
	step  *handbook.Step
	out   way
	check *handbook.Step // the check after the repair by which the route goes on
}

// route is a way through a procedure, from its first step to an end.
type route []leg

// last is where a route ends.
func (r route) last() way { return r[len(r)-1].out }

func (r route) String() string {
	var list []string
	for _, l := range r {
		list = append(list, l.step.ID+": "+l.out.said)
	}
	return strings.Join(append(list, r.last().target), " | ")
}

// routes lists every route of a procedure that passes no step twice: to an end,
// to another page, or back to a step that it has passed; from a cause it goes on
// with the check after the repair.
func (d *demo) routes(p *handbook.Page) []route {
	var list []route
	passed := map[string]bool{}
	var from func(s *handbook.Step, before route)
	from = func(s *handbook.Step, before route) {
		passed[s.ID] = true
		defer delete(passed, s.ID)
		for _, out := range d.ways(s) {
			l := leg{step: s, out: out}
			next := p.Procedure.Step(out.to)
			if out.to.Kind == handbook.ToCause {
				next = p.Procedure.Check(out.to.Cause)
			}
			if next == nil || passed[next.ID] {
				list = append(list, append(slices.Clip(before), l))
				continue
			}
			if out.to.Kind == handbook.ToCause {
				l.check = next
			}
			from(next, append(slices.Clip(before), l))
		}
	}
	from(p.Procedure.Steps[0], nil)
	return list
}

// pair is two answers, one after the other.
type pair struct{ before, after string }

func (r route) pairs() []pair {
	list, before := make([]pair, len(r)), ""
	for i, l := range r {
		list[i] = pair{before, l.step.ID + ": " + l.out.said}
		before = list[i].after
	}
	return list
}

// singles are the answers of a route: on a page without script none depends on
// those before it.
func (r route) singles() []pair {
	list := r.pairs()
	for i := range list {
		list[i].before = ""
	}
	return list
}

// every has the tests go through all that they take a part of else: procedures, pages, languages, models, faults, routes.
var every = flag.Bool("every", false, "look at every page, and walk every route of every procedure")

// walkedOf returns the routes that are walked: as many as are needed so that all
// that they are made of, by parts, comes.
func walkedOf(all []route, parts func(route) []pair) []route {
	if *every {
		return all
	}
	seen := map[pair]bool{}
	fresh := func(r route) (n int) {
		for _, p := range parts(r) {
			if !seen[p] {
				n++
			}
		}
		return n
	}
	freshest := func(list []route) route {
		return slices.MaxFunc(list, func(a, b route) int { return fresh(a) - fresh(b) })
	}
	var list []route
	for r := freshest(all); fresh(r) > 0; r = freshest(all) {
		for _, p := range parts(r) {
			seen[p] = true
		}
		list = append(list, r)
	}
	return list
}

// machine is what a technician leaves standing on the machine.
type machine []string

func settingIDs(list []handbook.SettingAt) (ids []string) {
	for _, s := range list {
		ids = append(ids, s.ID)
	}
	return ids
}

// without is the machine after these were put back.
func (m machine) without(list []handbook.SettingAt) machine {
	return slices.DeleteFunc(slices.Clone(m), func(id string) bool { return slices.Contains(settingIDs(list), id) })
}

// after is the machine after a step, which puts back what it restores and then
// does what it sets.
func (m machine) after(s *handbook.Step) machine {
	if s.Conduct == nil {
		return m
	}
	return append(m.without(s.Conduct.Restores).without(s.Conduct.Sets), settingIDs(s.Conduct.Sets)...)
}

// expected is what the record of a route must say, without titles and times.
func (d *demo) expected(p *handbook.Page, r route) (want record.Record) {
	states := p.Procedure.StepStates()
	var standing machine
	for _, l := range r {
		e := record.Entry{
			Page: p.Key, Step: l.step.ID, Number: l.step.Number, Said: l.out.said, Outcome: l.out.outcome, To: l.out.target,
			Verification: l.step.Verification(),
		}
		if l.out.to.Kind != handbook.ToPage {
			e.To = "#" + e.To
		}
		if s := states[l.step.Number-1]; s != nil {
			e.State = s.ID
		}
		want.Entries = append(want.Entries, e)
		standing = standing.after(l.step)
		switch to := l.out.to; {
		case to.Kind == handbook.ToCause:
			f := record.Finding{End: record.EndCause, Page: p.Key, Cause: to.Cause.ID, Title: to.Cause.Title, Remedy: &record.Remedy{Text: remedyText, Replaced: to.Cause.Part != nil}}
			if to.Cause.Part != nil {
				f.Part = to.Cause.Part.ID
			}
			want.Findings = append(want.Findings, f)
		case to.ID == handbook.EndAnchor(handbook.HandOver):
			want.Findings = append(want.Findings, record.Finding{End: record.EndHandOver, Page: p.Key})
		case to.ID == handbook.EndAnchor(handbook.NotReproduced):
			want.Findings = append(want.Findings, record.Finding{End: record.EndNotReproduced, Page: p.Key})
		}
	}
	want.RuledOut = d.refuted(p, r, want.Findings)
	want.Left = standing
	return want
}

// refuted lists the causes that a route without a reading rules out: all steps that
// lead to one were passed with another answer by what is seen, and one of them at
// least always shows it.
func (d *demo) refuted(p *handbook.Page, r route, found []record.Finding) (list []record.RuledOut) {
	last := map[*handbook.Step]int{}
	for i, l := range r {
		last[l.step] = i
	}
causes:
	for _, c := range p.Procedure.Causes {
		by := -1
		for _, s := range p.Procedure.Steps {
			if s.Verification() || !slices.ContainsFunc(d.ways(s), func(o way) bool { return o.to.Kind == handbook.ToCause && o.to.Cause == c }) {
				continue
			}
			i, passed := last[s]
			if !passed || r[i].out.to.Cause == c || slices.Contains([]string{"low", "within", "high", "unstable"}, r[i].out.outcome) {
				continue causes
			}
			power, sometimes := 1.0, false
			if s.Conduct != nil {
				power, sometimes = s.Conduct.Detects[c.ID]
			}
			if !sometimes || power == 1 {
				by = max(by, i)
			}
		}
		if by >= 0 && !slices.ContainsFunc(found, func(f record.Finding) bool { return f.Cause == c.ID }) {
			list = append(list, record.RuledOut{Page: p.Key, Cause: c.ID, Entry: by})
		}
	}
	return list
}

// remedyText is what is said to have been done about a cause.
const remedyText = "done as the sheet says"

// differences compares what was recorded with what should be.
func (d *demo) differences(got *record.Record, want record.Record, repaired bool) (list []string) {
	differ := func(what string, got, want any) {
		if g, w := quoted(got), quoted(want); g != w {
			list = append(list, fmt.Sprintf("%s: %s, want %s", what, g, w))
		}
	}
	r := *got
	entries := slices.Clone(r.Entries)
	for i := range entries {
		e := &entries[i]
		e.Title, e.Shown, e.At = "", want.Begun, want.Begun
		e.Said = d.bare(e.Said)
	}
	differ("entries", entries, want.Entries)
	findings := slices.Clone(r.Findings)
	for i := range findings {
		f := &findings[i]
		if f.Repaired.IsZero() == repaired {
			list = append(list, fmt.Sprintf("repaired at %v", f.Repaired))
		}
		f.PartTitle, f.At, f.Repaired = "", want.Begun, want.Begun
		if f.Remedy != nil {
			f.Remedy = &record.Remedy{Text: f.Remedy.Text, Replaced: f.Remedy.Replaced}
		}
	}
	differ("findings", append([]record.Finding{}, findings...), append([]record.Finding{}, want.Findings...))
	byCause := func(a, b record.RuledOut) int { return strings.Compare(a.Cause, b.Cause) }
	out := slices.Clone(r.RuledOut)
	for i := range out {
		out[i].Title = ""
	}
	slices.SortFunc(out, byCause)
	slices.SortFunc(want.RuledOut, byCause)
	differ("ruled out", out, append([]record.RuledOut{}, want.RuledOut...))
	differ("left", append([]string{}, r.Left...), append([]string{}, want.Left...))
	return list
}
