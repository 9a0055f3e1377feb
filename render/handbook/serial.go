package handbook

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Serials is a range of a model's serial numbers: those that are written like its
// ends and count from the one to the other.
type Serials struct {
	From, To string // as they stand on the plate; To is "" where the range has no end

	// In the form of plain: what stands before and behind the figures that count,
	// and the figures of the two ends.
	Head, Tail string
	Low, High  string
}

// HasSerials reports whether a serial number can lead to a model.
func (h *Handbook) HasSerials() bool {
	return slices.ContainsFunc(h.Models, func(m *Model) bool { return m.Serials != nil })
}

type serialYAML struct {
	From source.Text `yaml:"from,needed"`
	To   source.Text `yaml:"to"`
}

// counting finds the figures that count in a serial number: its last ones.
var counting = regexp.MustCompile(`^(.*?)([0-9]+)([^0-9]*)$`)

// plain is a serial number as it is compared: without what parts its letters and
// figures, in capitals. The theme's script serial.ts has the same.
func plain(text string) string {
	return strings.ToUpper(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsNumber(r) {
			return r
		}
		return -1
	}, text))
}

// serials reads the ranges of each model, and tells of numbers that two models
// have.
func (r *resolver) serials(models source.Map[modelYAML]) {
	for i, e := range models {
		for _, y := range e.Value.Serial {
			s, ok := serialRange(&r.remarks, y)
			if !ok {
				continue
			}
			for j, other := range r.book.Models[:i] {
				for _, t := range other.Serials {
					if number, ok := s.common(t); ok {
						r.remarks.Add(remark.SerialOverlap, y.From.Place, number, e.ID.Value, models[j].ID.Value)
					}
				}
			}
			r.book.Models[i].Serials = append(r.book.Models[i].Serials, s)
		}
	}
}

func serialRange(remarks *remark.List, y serialYAML) (s Serials, ok bool) {
	if !y.From.Given() {
		return s, false
	}
	from := counting.FindStringSubmatch(y.From.Value)
	if from == nil {
		remarks.Add(remark.ValueText, y.From.Place, y.From.Value, "serial number", "Q150-20400")
		return s, false
	}
	s = Serials{From: y.From.Value, To: y.To.Value, Head: plain(from[1]), Low: from[2], Tail: plain(from[3])}
	if !y.To.Given() {
		return s, true
	}
	to := counting.FindStringSubmatch(y.To.Value)
	if to == nil || plain(to[1]) != s.Head || plain(to[3]) != s.Tail {
		remarks.Add(remark.ValueText, y.To.Place, y.To.Value, "end of numbers that begin with "+y.From.Value, from[1]+strings.Repeat("9", len(from[2]))+from[3])
		return s, false
	}
	s.High = to[2]
	if len(s.High) < len(s.Low) || len(s.High) == len(s.Low) && s.High < s.Low {
		remarks.Add(remark.LimitOrder, y.From.Place, y.From.Value, y.To.Value)
		return s, false
	}
	return s, true
}

// of returns the ends of the range among figures of a width. A number that grows
// beyond the width of the first has no zero before it.
func (s Serials) of(width int) (low, high string, ok bool) {
	if width < len(s.Low) || s.High != "" && width > len(s.High) {
		return "", "", false
	}
	low, high = "1"+strings.Repeat("0", width-1), strings.Repeat("9", width)
	if width == len(s.Low) {
		low = s.Low
	}
	if width == len(s.High) {
		high = s.High
	}
	return low, high, true
}

// common returns a number of both ranges. Without its hyphens Q15-020417 is
// Q150-20417: what one range counts may stand before the figures of the other.
func (s Serials) common(t Serials) (number string, ok bool) {
	if len(s.Head) > len(t.Head) {
		s, t = t, s
	}
	before, ok := strings.CutPrefix(t.Head, s.Head)
	if !ok || s.Tail != t.Tail || strings.Trim(before, "0123456789") != "" {
		return "", false
	}
	widest := max(len(s.Low), len(s.High), len(before)+max(len(t.Low), len(t.High))) + 1
	for width := len(before) + 1; width <= widest; width++ {
		low, high, ok := s.of(width)
		lower, higher, okToo := t.of(width - len(before))
		if low = max(low, before+lower); ok && okToo && low <= min(high, before+higher) {
			return s.Head + low + s.Tail, true
		}
	}
	return "", false
}
