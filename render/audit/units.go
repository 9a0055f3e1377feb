package audit

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// quantity is a figure with its unit in a text.
type quantity struct {
	from, to int // in the text
	value    float64
	unit     unit.Unit
}

// endsWord tells whether a text does not end where a number can begin.
func endsWord(text string) bool {
	c, _ := utf8.DecodeLastRuneInString(text)
	return unicode.IsLetter(c) || text != "" && (isDigit(text[len(text)-1]) || isPoint(text[len(text)-1]))
}

// isCode tells whether what looks like a figure is a piece of a code: of %3F, U+210F, #00F, or of the sum 867631986f. Who writes a
// temperature without a blank and a degree writes 200F.
func isCode(before, number, symbol string) bool {
	for _, sign := range []string{"%", "#", "U+", "u+"} {
		if strings.HasSuffix(before, sign) {
			return true
		}
	}
	return symbol[0] == 'f' && (len(symbol) == 1 || isDigit(symbol[1])) || len(number) > 1 && number[0] == '0' && isDigit(number[1])
}

// plainNumber writes a number as Go reads it.
var plainNumber = strings.NewReplacer("−", "-", ",", ".")

// mostFigures is how many figures of one paragraph are looked at; each is held against all others.
const mostFigures = 500

// quantities lists what a text has of them. "in" is a unit only where no word follows.
func quantities(text string) (list []quantity) {
	found := figures(text)
	for _, m := range found[:min(len(found), mostFigures)] {
		if endsWord(text[:m.from]) {
			continue // within a longer number or a name: F2 in
		}
		number, symbol := text[m.from:m.number], text[m.symbol:m.to]
		if m.symbol == m.number && isCode(text[:m.from], number, symbol) {
			continue
		}
		v, err := strconv.ParseFloat(plainNumber.Replace(number), 64)
		u, ok := unit.Lookup(symbolOf(symbol))
		if err != nil || !ok || u.IsGauge() {
			continue
		}
		if after := text[m.to:]; symbol == "in" && after != "" && strings.IndexByte(".,;:)", after[0]) < 0 && !strings.HasPrefix(after, " (") {
			continue // 3 in the morning
		}
		list = append(list, quantity{m.from, m.to, v, u})
	}
	return list
}

// nearly is how far two figures of one size may differ that are written in two units:
// both are rounded.
const nearly = 0.06

// mixedUnits gives advice on figures in units of the system that is not the handbook's, and in
// a step on figures of what its reading measures in another unit than is typed there: once a
// paragraph, and not where the same stands beside it in the right one.
func mixedUnits(h *handbook.Handbook, p *handbook.Page, remarks *remark.List) {
	foreign := func(u unit.Unit) bool { return u.In(h.System) != u }
	eachFigured(p, p.Source.Doc, func(t *prose) {
		list := quantities(t.String())
		for _, q := range list {
			if foreign(q.unit) && !beside(q, list, func(u unit.Unit) bool { return !foreign(u) }) {
				remarks.Add(remark.UnitsMixed, t.place(q.from), q.unit.Symbol, q.unit.In(h.System).Symbol)
				return
			}
		}
	})
	if p.Procedure == nil {
		return
	}
	for _, s := range p.Procedure.Steps {
		if s.Reading == nil || s.Reading.Spec == nil || s.Reading.Spec.Unit.Kind == unit.Time {
			continue // half an hour's wait stands beside seconds
		}
		typed := s.Reading.Spec.Unit
		for _, n := range s.Body {
			eachProse(p, n, func(t *prose) {
				list := quantities(t.String())
				for _, q := range list {
					if q.unit.Kind == typed.Kind && q.unit != typed && !foreign(q.unit) && !beside(q, list, func(u unit.Unit) bool { return u == typed }) {
						remarks.Add(remark.UnitsMixed, t.place(q.from), q.unit.Symbol, typed.Symbol)
						return
					}
				}
			})
		}
	}
}

// beside tells whether a quantity stands in a list once more, in a unit that is wanted.
func beside(q quantity, list []quantity, wanted func(unit.Unit) bool) bool {
	for _, other := range list {
		v, w := q.unit.ToSI(q.value), other.unit.ToSI(other.value)
		if wanted(other.unit) && other.unit.Kind == q.unit.Kind && math.Abs(v-w) <= nearly*math.Max(math.Abs(v), math.Abs(w)) {
			return true
		}
	}
	return false
}
