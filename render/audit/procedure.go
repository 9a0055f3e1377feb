package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// proveProcedure proves a procedure's graph and the readings that its ways
// depend on. It returns whether the ways through it, and what they do, are known
// without doubt.
func proveProcedure(h *handbook.Handbook, p *handbook.Page, remarks *remark.List) (whole bool) {
	pr := p.Procedure
	if len(pr.Steps) == 0 {
		remarks.Add(remark.StepsMissing, p.Source.Top())
		return false
	}
	if p.Translation != nil && p.Translation.Differs {
		return false // it becomes what its source is, and that is judged there
	}
	unknownWays := pr.ConductUnknown
	for _, s := range pr.Steps {
		unknownWays = unknownWays || s.Broken || slices.Contains(s.Ways(), handbook.Target{})
		switch r := s.Reading; {
		case r == nil || s.Broken:
		case r.Spec != nil && !r.Spec.Faulty:
			unknownWays = !proveReading(p, r, remarks) || unknownWays
			judgeReading(r, remarks)
			if r.Timing == nil {
				judgeProbes(p, r, remarks)
			}
		case r.Timing != nil && r.Timing.Tolerance > 0:
			unknownWays = !proveOutcomes(p, r, map[string]bool{"low": true, "within": true, "high": true}, remarks) || unknownWays
			if r.Conditions == "" {
				remarks.Add(remark.ReadingConditions, r.SpecPlace, r.Measure)
			}
		}
	}
	found, certain := proveWays(h, p, unknownWays)
	if certain {
		if found = oneSlip(h, p, found); found.Count(remark.Error) == 0 && !pr.FiguresUnknown {
			g, _ := graph(p)
			judgeOrder(p, g, &found)
		}
	}
	if certain && found.Count(remark.Error) == 0 { // else an outcome may be what has a remark
		judgeOutcomes(pr, &found)
		checkedElsewhere(p, &found)
	}
	*remarks = append(*remarks, found...)
	sameCauses(pr, remarks)
	if !pr.FiguresUnknown {
		adviseFigures(pr, remarks)
	}
	if pr.PanelsUnknown {
		return false
	}
	for i, h := range pr.Hazards {
		if !warnsOf(p, h) {
			remarks.Add(remark.HazardUnguarded, pr.HazardPlaces[i], h.ID)
		}
	}
	unlistedHazards(pr, remarks)
	return certain
}

// proveWays proves what follows from where the steps lead. It returns whether the
// ways are known; where they are not, nothing is said that another way could mend.
func proveWays(h *handbook.Handbook, p *handbook.Page, unknown bool) (remarks remark.List, known bool) {
	pr := p.Procedure
	g, hazards := graph(p)
	found := procedure.Prove(g)
	for _, i := range found.DeadEnds {
		remarks.Add(remark.StepEnd, pr.Steps[i].Place, pr.Steps[i].ID)
	}
	for _, i := range found.Trapped {
		remarks.Add(remark.StepLoop, pr.Steps[i].Place, pr.Steps[i].ID)
	}
	unknown = unknown || len(found.DeadEnds) > 0
	early := !pr.ConductUnknown && proveChecks(p, unknown, &remarks)
	unknown = unknown || early
	if !unknown {
		missing := adviseEnds(p, &remarks)
		proveSettings(p, unclearStates(h, p, missing, &remarks), &remarks)
		for _, i := range found.Unreached {
			why := remark.StepUnreached.At(pr.Steps[i].Place, pr.Steps[i].ID)
			if pr.Steps[i].Verification() {
				why = why.Instead("Name it in the `verification` of a cause, lead another check to it, or take it out.")
			}
			remarks = append(remarks, why)
		}
		for _, i := range found.UnreachedEnds {
			remarks.Add(remark.CauseUnreached, pr.Causes[i].Place, pr.Causes[i].ID)
		}
	}
	alike := func(_, _ *handbook.Cause) bool { return false }
	if !unknown && len(found.Unreached)+len(found.UnreachedEnds)+len(found.Trapped) == 0 {
		contradictions(p, g, &remarks)
		contradicted(p, &remarks)
		alike = alikeIn(p, g)
	}
	for _, s := range pr.Steps {
		ambiguousAnswers(s, alike, &remarks)
	}
	if !pr.PanelsUnknown {
		lateHazards(p, found, hazards, early, &remarks)
	}
	return remarks, !unknown
}

// proveReading holds a reading's outcomes against the limits of every model
// that the page applies to. It returns whether it leads on from all that can be read.
func proveReading(p *handbook.Page, r *handbook.Reading, remarks *remark.List) bool {
	needed := map[string]bool{"within": true}
	for _, l := range limitsOf(p, r.Spec) {
		if l != nil {
			needed["low"] = needed["low"] || l.Min != nil
			needed["high"] = needed["high"] || l.Max != nil
		}
	}
	models, without := p.WithoutLimit(r.Spec)
	if without {
		*remarks = append(*remarks, p.LimitMissing(r.SpecPlace, r.Spec, models))
	}
	for _, o := range r.Outcomes {
		if limit := map[string]string{"low": "least value", "high": "greatest value"}[o.Kind]; limit != "" && !needed[o.Kind] && !without && !p.ModelsUnknown {
			*remarks = append(*remarks, remark.ReadingIdle.At(o.Place, o.Kind, r.Spec.ID, limit).About(p.Lacks(r.Spec, o.Kind)...))
		}
	}
	return proveOutcomes(p, r, needed, remarks)
}

// proveOutcomes asks that a reading leads on from each outcome that is needed, and
// returns whether it does.
func proveOutcomes(p *handbook.Page, r *handbook.Reading, needed map[string]bool, remarks *remark.List) bool {
	before := len(*remarks)
	for _, o := range r.Outcomes {
		needed[o.Kind] = false
	}
	for _, kind := range []string{"low", "within", "high"} {
		if !needed[kind] {
			continue
		}
		why := remark.ReadingOutcome.At(r.SpecPlace, kind)
		if r.Spec != nil && kind != "within" { // a limit too many, where several readings lack it
			why = why.About(p.Lacks(r.Spec, "no "+kind)...)
		}
		*remarks = append(*remarks, why)
	}
	return len(*remarks) == before
}

// ambiguousAnswers remarks on answers of a step that have the same words. Where both
// find causes that are told to be alike, that is remark enough.
func ambiguousAnswers(s *handbook.Step, alike func(a, b *handbook.Cause) bool, remarks *remark.List) {
	for i, a := range s.Answers {
		for _, before := range s.Answers[:i] {
			if words(a.Text) == words(before.Text) && !alike(a.To.Cause, before.To.Cause) {
				remarks.Add(remark.AnswerTwice, a.Place, s.ID, a.Text)
				break
			}
		}
	}
}

// alikeIn tells of two causes whether no answers tell them apart.
func alikeIn(p *handbook.Page, g procedure.Graph) func(a, b *handbook.Cause) bool {
	groups := procedure.Alike(g, answersOf(p))
	return func(a, b *handbook.Cause) bool {
		causes := p.Procedure.Causes
		i, j := slices.Index(causes, a), slices.Index(causes, b)
		return i != j && slices.ContainsFunc(groups, func(group []int) bool {
			return slices.Contains(group, i) && slices.Contains(group, j)
		})
	}
}

// words is a text as far as a technician tells it from another: case, blanks and a
// stop at the end do not count.
func words(text string) string {
	return strings.TrimRight(strings.ToLower(strings.Join(strings.Fields(text), " ")), ".,;:!")
}

// graph makes the graph of a page's procedure; hazards are numbered as in the
// list returned.
func graph(p *handbook.Page) (procedure.Graph, []*handbook.Hazard) {
	pr := p.Procedure
	g := procedure.Graph{Steps: make([]procedure.Step, len(pr.Steps)), Ends: len(pr.Causes)}
	steps, causes := map[string]int{}, map[string]int{}
	for i, s := range pr.Steps {
		if _, twice := steps[s.ID]; !twice { // the second has a remark
			steps[s.ID] = i
		}
	}
	for i, c := range pr.Causes {
		causes[handbook.CauseAnchor(c.ID)] = i
		if check := pr.Check(c); check != nil && check.Verification() { // else it has its remark
			if g.Verify == nil {
				g.Verify = slices.Repeat([]int{-1}, g.Ends)
			}
			g.Verify[i] = check.Number - 1
		}
	}
	var hazards []*handbook.Hazard
	number := func(h *handbook.Hazard) int {
		i := slices.Index(hazards, h)
		if i < 0 {
			i, hazards = len(hazards), append(hazards, h)
		}
		return i
	}
	for i, c := range pr.Causes {
		eachTarget(p, c.Remedy.Doc, func(t handbook.Target) {
			if t.Hazard == nil {
				return
			}
			if g.Meets == nil {
				g.Meets = make([][]int, g.Ends)
			}
			g.Meets[i] = append(g.Meets[i], number(t.Hazard))
		})
	}
	for i, s := range pr.Steps {
		step := &g.Steps[i]
		step.Exit, step.Verifies = s.Broken, s.Verification()
		for _, t := range s.Ways() {
			// What a mistaken target was probably meant for counts as its target.
			if to, ok := steps[t.ID]; ok && (t.Kind == handbook.ToHeading || t.Kind == handbook.ToNowhere) {
				step.To = append(step.To, to)
			} else if end, ok := causes[t.ID]; ok && t.Kind != handbook.ToPage {
				step.End = append(step.End, end)
			} else {
				step.Exit = true
			}
		}
		for _, panel := range s.Panels {
			if panel.Hazard != nil {
				step.Guards = append(step.Guards, number(panel.Hazard))
			}
		}
		meet := func(t handbook.Target) {
			if t.Hazard != nil {
				step.Meets = append(step.Meets, number(t.Hazard))
			}
		}
		eachTarget(p, s.Heading, meet)
		for _, n := range s.Body {
			eachTarget(p, n, meet)
		}
	}
	return g, hazards
}
