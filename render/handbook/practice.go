package handbook

import (
	"path"
	"slices"
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// practices ties circuits to the procedures that measure them, once every page
// is resolved.
func (r *resolver) practices() {
	for _, file := range r.circuitFiles {
		file.procedure()
	}
	for _, p := range r.book.Pages {
		if p.Procedure == nil {
			continue
		}
		pr := r.pageAt[p.Source.Path]
		for _, s := range p.Procedure.Steps {
			if s.Reading != nil && len(s.Reading.at) > 0 {
				pr.probes(s.Reading)
				p.CircuitUnknown = p.CircuitUnknown || s.Reading.Probes == nil
			}
		}
	}
}

// procedure finds the pages of the circuit's procedure, and what its faults
// name there.
func (c *circuitReader) procedure() {
	name := c.y.Procedure
	if !name.Given() {
		return
	}
	var keys []string
	var pages []*Page
	for _, p := range c.book.Pages {
		if p.Key == name.Value && p.Source.Front != nil && p.Source.Front.Broken {
			return // it may be that procedure
		}
		if p.Procedure != nil {
			keys = append(keys, p.Key)
			if p.Key == name.Value {
				pages = append(pages, p)
			}
		}
	}
	if pages == nil {
		if len(c.tree.UnreadPages()) == 0 {
			unknownHere(&c.remarks, "procedure", keys, name)
			c.complete[kindCircuit] = false // it is the circuit of some procedure
		}
		return
	}
	before := len(c.remarks)
	defer func() { // what is wrong is told at the circuit, and found anew each time
		for _, p := range pages {
			pr := c.pageAt[p.Source.Path]
			pr.loose = pr.loose || len(c.remarks) > before
			pr.read(ReadCircuits, "")
			pr.read(ReadSources, p.Key)
		}
	}()
	for _, p := range pages {
		if p.Circuit != nil {
			c.remarks.Add(remark.IDDuplicate, name.Place, name.Value, p.Circuit.Place)
			return
		}
		p.Circuit = c.circuit
	}
	c.circuit.Key = name.Value
	if !slices.ContainsFunc(pages, func(p *Page) bool { return p.Source.Doc != nil }) {
		return // they are known, and nothing was wrong
	}
	first := pages[0] // of the source language, where there is one: answers are found by its words
	if i := slices.IndexFunc(pages, func(p *Page) bool { return p.Lang == c.book.Languages[0] }); i > 0 {
		first = pages[i]
	}
	if front := c.pageAt[first.Source.Path]; !front.frontBroken() && c.strange(first.Procedure) {
		c.remarks = append(c.remarks, remark.ReferenceUnknown.At(name.Place, "cause of this circuit's faults in", name.Value).
			Instead("Name the procedure that measures this circuit."))
		first.CircuitUnknown, c.complete[kindCircuit] = true, false
		return
	}
	told := len(c.remarks)
	always := c.shown(first, c.y.Shows)
	for _, f := range c.faults {
		findIn(&c.remarks, !c.pageAt[first.Source.Path].frontBroken(), kindCause, first.Procedure.Causes, f.cause)
		f.fault.Shows = c.shown(first, f.shows)
		for step, shown := range always {
			if _, own := f.fault.Shows[step]; !own {
				f.fault.Shows[step] = shown
			}
		}
	}
	first.CircuitUnknown = len(c.remarks) > told
}

// strange tells whether a procedure has none of the causes of the circuit's faults: it
// is not the one that was meant.
func (c *circuitReader) strange(pr *Procedure) bool {
	causes := map[string]bool{}
	for _, f := range c.faults {
		causes[f.cause.Value] = slices.ContainsFunc(pr.Causes, func(x *Cause) bool { return x.ID == f.cause.Value })
	}
	for _, has := range causes {
		if has {
			return false
		}
	}
	return len(causes) > 1
}

// shown finds the answers that an author says steps show.
func (c *circuitReader) shown(p *Page, list source.Map[source.Text]) map[string]Shown {
	found := map[string]Shown{}
	for _, e := range list {
		var ids []string
		for _, s := range p.Procedure.Steps {
			ids = append(ids, s.ID)
		}
		i := slices.Index(ids, e.ID.Value)
		if i < 0 {
			unknown(&c.remarks, "step of "+p.Key, ids, e.ID)
			continue
		}
		step := p.Procedure.Steps[i]
		if step.Broken || step.Answers == nil && step.Reading == nil { // told there
			continue
		}
		var words []string
		for k, a := range step.Answers {
			words = append(words, a.Text)
			if a.Text == e.Value.Value {
				found[step.ID] = Shown{Answer: k}
			}
		}
		if step.Reading != nil {
			for _, o := range step.Reading.Outcomes {
				words = append(words, o.Kind)
				if o.Kind == e.Value.Value {
					found[step.ID] = Shown{-1, o.Kind}
				}
			}
		}
		if _, ok := found[step.ID]; !ok {
			c.remarks = append(c.remarks, remark.ReferenceUnknown.At(e.Value.Place, "answer of step "+step.ID, e.Value.Value).
				Instead("There is: %s.", strings.Join(words, " / ")))
		}
	}
	return found
}

// PracticePath is where the page lies from which a class practises on planted
// faults, beside the procedure; "" where no circuit has any.
func (p *Page) PracticePath() string {
	if p.Circuit == nil || len(p.Circuit.Faults) == 0 || p.FlowPath() == "" {
		return ""
	}
	return strings.TrimSuffix(p.Path, path.Ext(p.Path)) + ".practice.html"
}

// PracticeDataPath is where the circuit lies as a script that the page loads while
// somebody practises.
func (p *Page) PracticeDataPath() string {
	return strings.TrimSuffix(p.PracticePath(), ".html") + ".js"
}

// probes finds the two points at which a reading is taken.
func (r *pageResolver) probes(reading *Reading) {
	c, at := r.page.Circuit, reading.at
	if c == nil {
		r.loose = true
		if r.whole.complete[kindCircuit] {
			unknown(&r.remarks, "circuit for the procedure", nil, source.Text{Value: r.page.Key, Place: at[0].Place})
		}
		return
	}
	if len(at) != 2 || at[0].Value == at[1].Value {
		r.remarks.Add(remark.ValueText, at[0].Place, "the list", "pair of points, red lead first", "[D, E]")
		return
	}
	before := len(r.remarks)
	probes := &Probes{Place: at[0].Place}
	for i, to := range []*int{&probes.Red, &probes.Black} {
		names := c.pointNames()
		if *to = slices.Index(names, at[i].Value); *to < 0 {
			unknownHere(&r.remarks, "point of circuit "+c.ID, names, at[i])
		}
	}
	if len(r.remarks) == before {
		red, black := r.misnamed(reading.Red, probes.Red), r.misnamed(reading.Black, probes.Black)
		switch {
		case red == at[1].Value && black == at[0].Value:
			r.remarks = append(r.remarks, remark.ProbeName.At(at[0].Place, at[0].Value, "red", red).
				Instead("Exchange the two points of `at`: the red lead comes first."))
		default:
			if red != "" {
				r.remarks.Add(remark.ProbeName, at[0].Place, at[0].Value, "red", red)
			}
			if black != "" {
				r.remarks.Add(remark.ProbeName, at[1].Place, at[1].Value, "black", black)
			}
		}
	}
	for _, s := range r.settingsNamed(reading.with) {
		probes.With = append(probes.With, s.Setting)
	}
	if reading.Spec == nil || reading.Spec.Faulty {
		return
	}
	var ok bool
	if probes.Function, ok = functionOf(reading.Spec.Unit); !ok {
		r.remarks = append(r.remarks, remark.ProbeUnit.At(at[0].Place, reading.Spec.ID, reading.Spec.Unit.Symbol).About(r.page.Lacks(reading.Spec, "unit")...))
	}
	if len(r.remarks) == before {
		reading.Probes = probes
	}
}

// misnamed is that of the circuit, where the page can say the point's own title: a translation of a title that the
// circuit has in other languages alone is taken for right. Its points are those of its source.
func (r *pageResolver) misnamed(said string, own int) string {
	c := r.page.Circuit
	if r.page.Lang != r.whole.book.Languages[0] && c.Points[own].Title[r.page.Lang] == "" {
		return ""
	}
	return c.misnamed(said, own)
}

// misnamed returns the name of a point that a text says in the place of its own one, ""
// where it says its own, by name or title, or none. A letter alone may be a word: it
// counts where the text goes on with a mark or ends.
func (c *Circuit) misnamed(said string, own int) (other string) {
	says := func(p *Point) bool {
		for _, title := range p.Title {
			if title != "" && strings.Contains(strings.ToLower(said), strings.ToLower(title)) {
				return true
			}
		}
		for rest := said; ; {
			before, after, found := strings.Cut(rest, p.Name)
			if !found || p.Name == "" {
				return false
			}
			ends := after == "" || strings.ContainsAny(after[:1], ",;:)")
			if (ends || len(p.Name) > 1 && after[0] == ' ') && (before == "" || strings.ContainsAny(before[len(before)-1:], " (")) {
				return true
			}
			rest = after
		}
	}
	if says(c.Points[own]) {
		return ""
	}
	for _, p := range c.Points {
		if says(p) {
			return p.Name
		}
	}
	return ""
}
