package compare

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"benchleaf/render/handbook"
)

// procedure takes the facts of a procedure.
func (f *Page) procedure(page *handbook.Page) {
	p := page.Procedure
	f.Page.say("symptom", p.Symptom)
	f.Page.say("states", idsOf(p.States, func(s *handbook.State) string { return s.ID })...)
	f.Page.say("hazards", idsOf(p.Hazards, func(h *handbook.Hazard) string { return h.ID })...)
	f.Page.say("support-equipment", slices.Clone(p.Equipment)...)
	for _, s := range p.States {
		f.Page.Shows = append(f.Page.Shows, value(DataState, s.ID))
	}
	for _, h := range p.Hazards {
		f.Page.Shows = append(f.Page.Shows, value(DataHazard, h.ID))
	}
	f.Page.say("steps", idsOf(p.Steps, func(s *handbook.Step) string { return s.ID })...)
	for _, s := range p.Steps {
		step := stepOf(page, s, (&blocks{page: page}).heading(s.Heading))
		step.say("names", shownIn(page, s.Heading)...)
		f.Steps = append(f.Steps, step)
	}
	for _, c := range p.Causes {
		f.Causes = append(f.Causes, causeOf(page, c))
	}
	for _, name := range handbook.Ends {
		if e := p.Ends[name]; e != nil {
			t := Thing{ID: name, Shows: shownBy(page, e.Text, nil, e.Restores)}
			t.say("text", markdown(page, e.Text))
			t.say("restores", settingIDs(e.Restores)...)
			t.say("log", slices.Clone(e.Log)...)
			t.say("again", e.Again)
			f.Ends = append(f.Ends, t)
		}
	}
}

func stepOf(page *handbook.Page, s *handbook.Step, title string) Thing {
	t := Thing{ID: s.ID, Title: title}
	t.say("title", title)
	if s.Minutes > 0 {
		t.say("minutes", figure(s.Minutes))
	}
	t.say("answers", answerLines(s.Answers)...)
	if r := s.Reading; r != nil {
		t.say("reading", readingLines(r)...)
		t.say("outcomes", outcomeLines(r)...)
		if x := r.Probes; x != nil && page.Circuit != nil {
			points := page.Circuit.Points
			with := idsOf(x.With, func(s *handbook.Setting) string { return s.ID })
			t.say("probes", append([]string{string(x.Function), "red: " + points[x.Red].Name, "black: " + points[x.Black].Name}, with...)...)
		}
	}
	if c := s.Conduct; c != nil {
		t.say("conduct", conductLines(c)...)
	}
	return t
}

func answerLines(list []handbook.Answer) (lines []string) {
	for _, a := range list {
		lines = append(lines, a.Text+" -> "+leadsTo(a.To))
	}
	return lines
}

func outcomeLines(r *handbook.Reading) (lines []string) {
	for _, o := range r.Outcomes {
		lines = append(lines, o.Kind+" -> "+leadsTo(o.To))
	}
	return lines
}

// readingLines are what a reading is taken of, with what and against which limit.
func readingLines(r *handbook.Reading) []string {
	var lines []string
	for _, part := range [][2]string{{"measure", r.Measure}, {"meter", r.Meter}, {"red", r.Red}, {"black", r.Black}, {"conditions", r.Conditions}} {
		if part[1] != "" {
			lines = append(lines, part[0]+": "+part[1])
		}
	}
	if r.Spec != nil {
		lines = append(lines, "limit: spec:"+r.Spec.ID)
	}
	if w := r.Timing; w != nil {
		lines = append(lines, "start: "+w.Start)
		for _, m := range w.Marks {
			lines = append(lines, strings.TrimRight("mark: "+m.Title+" "+m.Text, " "))
		}
		if w.Tolerance > 0 {
			lines = append(lines, "tolerance: "+figure(w.Tolerance*100)+" %")
		}
		if w.Curve != nil {
			lines = append(lines, "curve: "+strings.Join(plotLines(w.Curve), ", "))
		}
	}
	return lines
}

func conductLines(c *handbook.Conduct) []string {
	var lines []string
	say := func(key string, values ...string) {
		if len(values) > 0 && values[0] != "" {
			lines = append(lines, key+": "+strings.Join(values, ", "))
		}
	}
	if c.State != nil {
		say("state", c.State.ID)
	}
	say("needs", idsOf(c.Needs, func(n handbook.Need) string { return n.Step })...)
	say("requires", settingIDs(c.Requires)...)
	say("forbids", settingIDs(c.Forbids)...)
	say("restores", settingIDs(c.Restores)...)
	say("sets", settingIDs(c.Sets)...)
	say("who", c.Who)
	for _, cause := range slices.Sorted(maps.Keys(c.Detects)) {
		say("detects", cause+" "+figure(c.Detects[cause]))
	}
	for _, key := range []struct {
		name string
		set  bool
	}{{"again", c.Again}, {"emissions", c.Emissions}, {"verification", c.Verification}} {
		if key.set {
			say(key.name, "yes")
		}
	}
	return lines
}

func causeOf(p *handbook.Page, c *handbook.Cause) Thing {
	t := Thing{ID: c.ID, Title: c.Title}
	t.Shows = shownBy(p, c.Remedy, c.Part, c.Restores)
	t.say("title", c.Title)
	if c.Frequency > 0 {
		t.say("frequency", figure(c.Frequency))
	}
	t.say("remedy", markdown(p, c.Remedy))
	if c.Part != nil {
		t.say("part", c.Part.ID)
	}
	t.say("restores", settingIDs(c.Restores)...)
	t.say("who", c.Who)
	if c.Emissions {
		t.say("emissions", "yes")
	}
	t.say("verification", c.Verification)
	return t
}

// leadsTo writes where a way leads as an author writes it.
func leadsTo(t handbook.Target) string {
	switch t.Kind {
	case handbook.ToHeading, handbook.ToCause, handbook.ToEnd:
		return t.Written()
	case handbook.ToPage:
		if t.ID == "" {
			return t.Page.Path
		}
		return t.Page.Path + "#" + t.ID
	case handbook.ToSpec:
		if t.Spec != nil {
			return value(dataSpec, t.Spec.ID)
		}
	case handbook.ToPart:
		if t.Part != nil {
			return value(dataPart, t.Part.ID)
		}
	case handbook.ToHazard:
		if t.Hazard != nil {
			return value(DataHazard, t.Hazard.ID)
		}
	case handbook.ToCalculator:
		return "calculator:" + strings.TrimPrefix(t.ID, handbook.CalculatorAnchor(""))
	case handbook.ToCallout:
		return "callout:" + strconv.Itoa(t.Callout)
	}
	return t.Asset
}

func idsOf[T any](list []T, id func(T) string) []string {
	var ids []string
	for _, x := range list {
		ids = append(ids, id(x))
	}
	return ids
}

func settingIDs(list []handbook.SettingAt) []string {
	return idsOf(list, func(s handbook.SettingAt) string { return s.ID })
}

func figure(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
