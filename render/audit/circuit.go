package audit

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// proveCircuit proves what a circuit says of the procedure that measures it: the
// sound machine reads within limits everywhere, and each fault moves a reading
// out of them and leads to its cause.
func proveCircuit(h *handbook.Handbook, p *handbook.Page, remarks *remark.List) {
	pr := p.Procedure
	if p.Circuit == nil || p.CircuitUnknown || pr.ConductUnknown || len(pr.Steps) == 0 || len(p.Circuit.States) == 0 {
		return
	}
	for _, s := range pr.Steps {
		if s.Broken || slices.ContainsFunc(s.Ways(), func(t handbook.Target) bool { return t.Kind == handbook.ToNowhere }) {
			return // a mistake told already may hide the way to a cause
		}
	}
	b := handbook.Bench{Book: h, Page: p}
	var measured []handbook.Visit
	for _, v := range b.Visits() {
		if r := v.Reading; r != nil && r.Probes != nil && !r.Spec.Faulty {
			measured = append(measured, v)
		}
	}
	if !sound(b, measured, remarks) {
		return // what follows from wrong figures is no second mistake
	}
	found := astray(b, measured)
	tell(found, remarks)
	if found == nil && p.Translation == nil { // else a fault may stand at a wrong cause, or the source says it
		unplanted(p, remarks)
	}
}

// astray follows every planted fault on every model, and returns of each fault that is lost
// where that happens first. To compute its readings is what takes longest on the page.
func astray(b handbook.Bench, measured []handbook.Visit) (found []lost) {
	planted := b.Page.Circuit.Planted()
	ends := make([]*lost, len(planted))
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for i := range planted {
		workers.Go(func() error {
			for _, m := range b.Models() {
				if l, ok := followed(b, measured, m, &planted[i]); !ok {
					ends[i] = &l
					break
				}
			}
			return nil
		})
	}
	_ = workers.Wait()
	told := map[*handbook.Fault]bool{}
	for i, l := range ends {
		if l != nil && !told[planted[i].Fault] {
			told[planted[i].Fault] = true
			found = append(found, *l)
		}
	}
	return found
}

// unplanted gives advice on causes for which no fault of the circuit stands: that a reading shows
// them is not proved, and nobody practises them.
func unplanted(p *handbook.Page, remarks *remark.List) {
	var names []string
	var at remark.Place
	for _, c := range p.Procedure.Causes {
		if slices.ContainsFunc(p.Circuit.Faults, func(f *handbook.Fault) bool { return f.Cause == c.ID }) {
			continue
		}
		if names == nil {
			at = c.Place
		}
		names = append(names, "`"+c.ID+"`")
	}
	if names != nil {
		remarks.Add(remark.CauseUnplanted, at, p.Circuit.ID, names[0], soToo(names[1:]))
	}
}

// lost is a fault that the procedure does not lead to.
type lost struct {
	name  string
	cause string // whose it is
	place remark.Place
	// Where the way ends and at which step, and what that showed; both "" for a fault
	// that moves no reading.
	end, step, last string
}

// tell remarks on the faults that are lost; those whose ways end alike, from
// one step or with faults of one cause, have one mistake in common, most likely, and one remark.
func tell(found []lost, remarks *remark.List) {
	for len(found) > 0 {
		first := found[0]
		var others []string
		found = slices.DeleteFunc(found[1:], func(l lost) bool {
			alike := l.end == first.end && (l.step == first.step || first.end != "" && l.cause == first.cause)
			if alike {
				others = append(others, l.name)
			}
			return alike
		})
		if len(others) > 3 {
			others = append(others[:2], fmt.Sprintf("%d more", len(others)-2))
		}
		name := first.name
		if others != nil {
			name += ", so too " + strings.Join(others, ", ") + ","
		}
		if first.end == "" {
			remarks.Add(remark.FaultHidden, first.place, strings.TrimSuffix(name, ","))
		} else {
			remarks.Add(remark.FaultAstray, first.place, name, first.end, first.step, first.last)
		}
	}
}

// sound tells whether every reading of the circuit without a fault lies within its
// limits. Several that do not have one cause, most likely, in the circuit.
func sound(b handbook.Bench, measured []handbook.Visit, remarks *remark.List) bool {
	var steps, says, outcomes []string
	var at remark.Place
	for _, v := range measured {
		for _, m := range b.Models() {
			outcome, text := b.Read(v.Reading, m, v.Machine, nil)
			step := "step `" + v.ID + "`"
			if outcome == "within" || slices.Contains(steps, step) {
				continue
			}
			switch outcome {
			case "":
				text, outcome = "nothing", text
			case handbook.Close:
				outcome = "too close to its limit for the meter"
			}
			if steps == nil {
				at = v.Reading.Probes.Place
			} else {
				at = b.Page.Circuit.Place
			}
			steps, says, outcomes = append(steps, step), append(says, text+forModel(m)), append(outcomes, outcome)
		}
	}
	if steps == nil {
		return true
	}
	remarks.Add(remark.CircuitReading, at, steps[0], says[0], outcomes[0], soToo(steps[1:]))
	return false
}

func forModel(m *handbook.Model) string {
	if m == nil {
		return ""
	}
	return " for " + m.ID
}

// followed tells whether a fault moves a reading out of limits, and the way leads to
// its cause; else it returns where it is lost.
func followed(b handbook.Bench, measured []handbook.Visit, m *handbook.Model, p *handbook.Planted) (lost, bool) {
	l := lost{name: faultName(b.Page.Circuit, p) + forModel(m), cause: p.Cause, place: p.Place}
	moved := !p.Electrical()
	for _, v := range measured {
		if !moved && !v.Verification() {
			outcome, _ := b.Read(v.Reading, m, v.Machine, p)
			if moved = outcome == "low" || outcome == "high" || outcome == "none"; p.Intermittent {
				moved = outcome == handbook.Unstable && leads(v.Reading, outcome)
			}
		}
	}
	if !moved {
		return l, false
	}
	w := b.Walk(m, p)
	if w.To.Cause != nil && w.To.Cause.ID == p.Cause {
		return l, true
	}
	l.end = "no end"
	switch {
	case w.To.Cause != nil:
		l.end = "cause `" + w.To.Cause.ID + "`"
	case w.To.Kind == handbook.ToEnd:
		l.end = "`" + w.To.Written() + "`"
	case w.To.Page != nil:
		l.end = w.To.Page.Source.Path
	}
	l.step, l.last = w.Steps[len(w.Steps)-1].ID, w.Last
	return l, false
}

func leads(r *handbook.Reading, outcome string) bool {
	return slices.ContainsFunc(r.Outcomes, func(o handbook.Outcome) bool { return o.Kind == outcome })
}

// faultName is a fault in words.
func faultName(c *handbook.Circuit, p *handbook.Planted) string {
	how := ""
	if p.Intermittent {
		how = "intermittent "
	}
	switch {
	case !p.Electrical():
		return "cause `" + p.Cause + "`"
	case p.Element >= 0 && math.IsInf(p.Value, 1):
		return how + "`" + c.Elements[p.Element].ID + "` open"
	case p.Element >= 0:
		return fmt.Sprintf("%s`%s` at %s", how, c.Elements[p.Element].ID, p.Text)
	}
	return fmt.Sprintf("%s%s from %s to %s", how, p.Text, c.Points[p.From].Name, c.Points[p.To].Name)
}
