package compare

import (
	"maps"
	"slices"
	"strings"

	"benchleaf/render/handbook"
)

// Past is a value before, with the machines and the days that it is of. One of some machines that has no
// end holds for them still.
type Past struct {
	Limit *Limit `json:"limit"`
	First string `json:"first,omitempty"` // of the serial numbers, "" for every machine
	Last  string `json:"last,omitempty"`  // "" for no end
	From  string `json:"from,omitempty"`  // days
	Until string `json:"until,omitempty"`
	By    string `json:"by,omitempty"` // a bulletin
}

func pastOf(e *handbook.Earlier, l *Limit) Past {
	p := Past{Limit: l, From: e.From, Until: e.Until, By: e.Bulletin}
	if e.Serials != nil {
		p.First, p.Last = e.Serials.From, e.Serials.To
	}
	return p
}

// text is the value with all that is said of it, as a terminal shows it.
func (p Past) text(unit string) string {
	text := p.Limit.Text(unit)
	if p.First != "" {
		text += ", serial numbers " + serialLines(handbook.Serials{From: p.First, To: p.Last})[0]
	}
	for _, part := range [][2]string{{"from", p.From}, {"until", p.Until}, {"by", p.By}} {
		if part[1] != "" {
			text += ", " + part[0] + " " + part[1]
		}
	}
	return text
}

// same tells whether two say the same, however their figures are spelt.
func (p Past) same(o Past) bool {
	a, b := p, o
	a.Limit, b.Limit = nil, nil
	return a == b && p.Limit.same(o.Limit)
}

// held parts the values before of a model into those that hold still and those that hold for no machine.
func (s *Spec) held(model string) (still, over []Past) {
	for _, p := range s.History[model] {
		if p.Until == "" {
			still = append(still, p)
		} else {
			over = append(over, p)
		}
	}
	return still, over
}

// valueText is what holds for a model: its value, and another one for some serial numbers.
func valueText(l *Limit, still []Past, unit string) string {
	var b strings.Builder
	for _, p := range still {
		b.WriteString(p.text(unit) + "; ")
	}
	b.WriteString(l.Text(unit))
	if still != nil {
		b.WriteString(", all others")
	}
	return b.String()
}

// overLines are the values that hold for no machine any more, with their models.
func (s *Spec) overLines() (lines []string) {
	of := map[string][]string{}
	for _, id := range slices.Sorted(maps.Keys(s.History)) {
		_, over := s.held(id)
		for _, p := range over {
			line := p.text(s.Symbol())
			if of[line] == nil {
				lines = append(lines, line)
			}
			of[line] = append(of[line], id)
		}
	}
	for i, line := range lines {
		lines[i] = strings.TrimPrefix(strings.Join(of[line], ", ")+": "+line, ": ")
	}
	return lines
}
