package audit

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// style gives advice on how a page is written.
func style(h *handbook.Handbook, p *handbook.Page, remarks *remark.List) {
	typedValues(p, remarks)
	supersededValues(p, remarks)
	mixedUnits(h, p, remarks)
	lateCautions(p, remarks)
	avoidedTerms(h, p, remarks)
	if p.Procedure != nil {
		longSentences(p, remarks)
		severalInstructions(p, remarks)
		passiveInstructions(p, remarks)
		vagueLimits(p, remarks)
	}
}

// mostWords is what the longest sentence of a step has. ASD-STE100 (Simplified Technical
// English) allows 20 in an instruction and 25 in a description; a step holds both.
const mostWords = 25

// longSentences gives advice on sentences of steps that nobody keeps in mind while the
// hands are busy.
func longSentences(p *handbook.Page, remarks *remark.List) {
	for _, s := range p.Procedure.Steps {
		for _, n := range s.Body {
			eachProse(p, n, func(t *prose) {
				t.eachSentence(func(sentence string, from int) {
					if n := countWords(sentence); n > mostWords {
						remarks.Add(remark.SentenceLong, t.place(from), strconv.Itoa(n), strconv.Itoa(mostWords))
					}
				})
			})
		}
	}
}

// countWords counts what has a letter or a digit; a reference counts as one word.
func countWords(s string) (n int) {
	for _, w := range strings.Fields(s) {
		if strings.Contains(w, reference) || strings.ContainsFunc(w, func(c rune) bool { return unicode.IsLetter(c) || unicode.IsDigit(c) }) {
			n++
		}
	}
	return n
}

// figure is a number with a unit in a text: 0.5 V, -18 °C, 12%. Between them may stand a blank that
// does not break.
type figure struct{ from, numberEnd, symbol, to int } // in the text

// figures finds those of a text, without a regular expression: every text of every page is
// looked through.
func figures(text string) (list []figure) {
	for i := 0; ; {
		digit := strings.IndexAny(text[i:], "0123456789")
		if digit < 0 {
			return list
		}
		f := figure{from: i + digit}
		f.numberEnd = afterDigits(text, f.from)
		next := f.numberEnd
		if rest := text[next:]; len(rest) > 1 && (rest[0] == '.' || rest[0] == ',') && isDigit(rest[1]) {
			f.numberEnd = afterDigits(text, next+1)
		}
		for _, minus := range []string{"-", "−"} {
			if strings.HasSuffix(text[i:f.from], minus) {
				f.from -= len(minus)
				break
			}
		}
		f.symbol = f.numberEnd
		for _, blank := range []string{" ", "\u00a0", "\u202f"} {
			if strings.HasPrefix(text[f.symbol:], blank) {
				f.symbol += len(blank)
				break
			}
		}
		first := true
		length := strings.IndexFunc(text[f.symbol:], func(c rune) bool {
			ends := !unicode.IsLetter(c) && c != '°' && c != '%' && (first || !strings.ContainsRune("0123456789/·²³", c))
			first = false
			return ends
		})
		if f.to = f.symbol + length; length < 0 {
			f.to = len(text)
		}
		if f.to == f.symbol {
			i = next // 1.2 of 1.2.3 V
			continue
		}
		list = append(list, f)
		i = f.to
	}
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// afterDigits is where the digits from i on end.
func afterDigits(text string, i int) int {
	for i < len(text) && isDigit(text[i]) {
		i++
	}
	return i
}

// typedValues gives advice on figures in a text that a specification of the page holds:
// they stay as they are when that is changed.
func typedValues(p *handbook.Page, remarks *remark.List) {
	specs := specsOf(p)
	if len(specs) == 0 {
		return
	}
	eachProse(p, p.Source.Doc, func(t *prose) {
		text := t.text.String()
		for _, f := range figures(text) {
			if before := text[:f.from]; before != "" && strings.ContainsRune("0123456789.,", rune(before[len(before)-1])) {
				continue // within a longer number
			}
			number, symbol := text[f.from:f.numberEnd], text[f.symbol:f.to]
			values := valuesOf(number)
			now := slices.IndexFunc(specs, func(s *handbook.Spec) bool { return holds(s, limitsHeld(p, s), values, symbol) })
			if now >= 0 {
				remarks.Add(remark.ValueTyped, t.place(f.from), text[f.from:f.to], specs[now].ID)
			}
		}
	})
}

// specsOf returns the specifications that the page names or reads against, by id.
func specsOf(p *handbook.Page) (list []*handbook.Spec) {
	for _, t := range p.Links {
		if t.Kind == handbook.ToSpec && t.Spec != nil {
			list = append(list, t.Spec)
		}
	}
	for _, b := range p.Blocks {
		if r, ok := b.(*handbook.Reading); ok && r.Spec != nil {
			list = append(list, r.Spec)
		}
	}
	slices.SortFunc(list, func(a, b *handbook.Spec) int { return strings.Compare(a.ID, b.ID) })
	return slices.Compact(slices.DeleteFunc(list, func(s *handbook.Spec) bool { return s.Faulty }))
}

// valuesOf are what a number in a text can mean: before three figures a comma may be a decimal sign, or part thousands.
func valuesOf(number string) (values []float64) {
	number = strings.ReplaceAll(number, "−", "-")
	for _, sign := range []string{".", ""} {
		if v, err := strconv.ParseFloat(strings.ReplaceAll(number, ",", sign), 64); err == nil {
			values = append(values, v)
		}
		if whole, after, _ := strings.Cut(number, ","); len(after) != 3 || strings.TrimLeft(whole, "-0") == "" {
			break
		}
	}
	return values
}

// limitsHeld are a specification's limits, those for the models of a page and the general one.
func limitsHeld(p *handbook.Page, s *handbook.Spec) []*handbook.Limit {
	return append(limitsOf(p, s), s.General)
}

// holds tells whether one of some values is a figure of one of a specification's limits.
func holds(s *handbook.Spec, limits []*handbook.Limit, values []float64, symbol string) bool {
	for _, u := range append(s.Unit.Alternatives(), s.Unit) {
		if u.Symbol != symbol {
			continue
		}
		for _, l := range limits {
			if l == nil {
				continue
			}
			for _, n := range []*handbook.Number{l.Nominal, l.Min, l.Max} {
				if n != nil && slices.ContainsFunc(values, func(v float64) bool {
					return math.Abs(s.Unit.FromSI(u.ToSI(v))-n.Value) <= 1e-9*math.Abs(n.Value)
				}) {
					return true
				}
			}
		}
	}
	return false
}
