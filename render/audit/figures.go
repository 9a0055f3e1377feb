package audit

import (
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// adviseFigures gives advice on causes without a frequency and steps of the search
// without minutes, where others have them.
func adviseFigures(pr *handbook.Procedure, remarks *remark.List) {
	var causes, steps lacking
	for _, c := range pr.Causes {
		causes.note(c.Frequency > 0, "cause `"+c.ID+"`", c.Place)
	}
	for _, s := range pr.Steps {
		if !s.Verification() {
			steps.note(s.Minutes > 0, "step `"+s.ID+"`", s.Place)
		}
	}
	causes.tell(remark.FrequencyMissing, remarks)
	steps.tell(remark.MinutesMissing, remarks)
}

// lacking gathers what lacks a figure that others have.
type lacking struct {
	others bool
	names  []string
	first  remark.Place
}

func (l *lacking) note(has bool, name string, at remark.Place) {
	switch {
	case has:
		l.others = true
		return
	case l.names == nil:
		l.first = at
	}
	l.names = append(l.names, name)
}

func (l *lacking) tell(kind *remark.Kind, remarks *remark.List) {
	if l.others && l.names != nil {
		remarks.Add(kind, l.first, strings.Join(l.names, ", "))
	}
}

// idleDetects gives advice on causes that a step says it shows now and then and
// can never show.
func idleDetects(p *handbook.Page, remarks *remark.List) {
	pr := p.Procedure
	g, _ := graph(p)
	shows := procedure.Shows(g)
	for i, s := range pr.Steps {
		if s.Conduct == nil {
			continue
		}
		for end, c := range pr.Causes {
			if at, given := s.Conduct.DetectsPlaces[c.ID]; given && !shows(i, end) {
				remarks.Add(remark.DetectsIdle, at, s.ID, c.ID)
			}
		}
	}
}
