package compare

import (
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
	f.Page.say("steps", idsOf(p.Steps, func(s *handbook.Step) string { return s.ID })...)
	for _, s := range p.Steps {
		f.Steps = append(f.Steps, stepOf(s, (&blocks{page: page}).heading(s.Heading)))
	}
	for _, c := range p.Causes {
		f.Causes = append(f.Causes, causeOf(c))
	}
	for _, name := range handbook.Ends {
		if e := p.Ends[name]; e != nil {
			t := Thing{ID: name}
			t.say("text", folded(e.Text.Text))
			t.say("restores", settingIDs(e.Restores)...)
			t.say("log", slices.Clone(e.Log)...)
			t.say("again", e.Again)
			f.Ends = append(f.Ends, t)
		}
	}
}

func stepOf(s *handbook.Step, title string) Thing {
	t := Thing{ID: s.ID, Title: title}
	t.say("title", title)
	if s.Minutes > 0 {
		t.say("minutes", figure(s.Minutes))
	}
	var answers []string
	for _, a := range s.Answers {
		answers = append(answers, a.Text+" -> "+leadsTo(a.To))
	}
	t.say("answers", answers...)
	if r := s.Reading; r != nil {
		t.say("reading", readingLines(r)...)
		var outcomes []string
		for _, o := range r.Outcomes {
			outcomes = append(outcomes, o.Kind+" -> "+leadsTo(o.To))
		}
		t.say("outcomes", outcomes...)
	}
	if c := s.Conduct; c != nil {
		t.say("conduct", conductLines(c)...)
	}
	return t
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
	if c.Emissions {
		say("emissions", "yes")
	}
	if c.Verification {
		say("verification", "yes")
	}
	return lines
}

func causeOf(c *handbook.Cause) Thing {
	t := Thing{ID: c.ID, Title: c.Title}
	t.say("title", c.Title)
	if c.Frequency > 0 {
		t.say("frequency", figure(c.Frequency))
	}
	t.say("remedy", folded(c.Remedy.Text))
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
	case handbook.ToHeading:
		return "#" + t.ID
	case handbook.ToCause:
		return "cause:" + strings.TrimPrefix(t.ID, handbook.CauseAnchor(""))
	case handbook.ToEnd:
		return "end:" + strings.TrimPrefix(t.ID, handbook.EndAnchor(""))
	case handbook.ToPage:
		if t.ID == "" {
			return t.Page.Path
		}
		return t.Page.Path + "#" + t.ID
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

// folded is Markdown on one line: where an author breaks a line says nothing.
func folded(text []byte) string { return strings.Join(strings.Fields(string(text)), " ") }
