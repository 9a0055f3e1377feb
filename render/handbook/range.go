package handbook

import (
	"math"
	"strconv"
	"strings"

	"github.com/invopop/jsonschema"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// rangeYAML is two figures, "6 to 16" or [6, 16], each with or without a unit.
// In the text a unit at the end is that of both: "600 to 900 mV".
type rangeYAML struct {
	low, high source.Text
}

// Schema implements source.Value.
func (rangeYAML) Schema(s *source.Shapes) *jsonschema.Schema {
	two := uint64(2)
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{
		{Type: "string", Pattern: " to "},
		{Type: "array", Items: s.Scalar(), MinItems: &two, MaxItems: &two},
	}}
}

// DecodeYAML takes a text or a list of two.
func (v *rangeYAML) DecodeYAML(d *source.Decoder, n source.Node, key string) {
	var ends []source.Text
	text := "the list"
	if source.IsScalar(n) {
		text, _ = d.Scalar(n, key, "a range")
		for part := range strings.SplitSeq(text, " to ") {
			ends = append(ends, source.Text{Value: strings.TrimSpace(part), Place: d.Place(n)})
		}
		if _, plain := plainFigure(ends[0].Value); plain && len(ends) == 2 {
			_, symbol := figureOf(ends[1].Value)
			ends[0].Value = strings.TrimSpace(ends[0].Value + " " + symbol)
		}
	} else {
		d.Into(n, &ends, key, "a range")
	}
	for _, end := range ends {
		if !end.Given() {
			return // of another type, and told
		}
	}
	if len(ends) != 2 {
		d.Remark(remark.ValueText, n, text, "range", "6 to 16")
		return
	}
	v.low, v.high = ends[0], ends[1]
}

// maxFigure bounds the figures of a range, in the author's unit. No quantity at
// the bench comes near it, and what is computed from greater ones may overflow.
const maxFigure = 1e15

// ends reads a range, in a quantity's unit; false where there is none, or one
// with a remark.
func (r *pageResolver) ends(y rangeYAML, q calc.Quantity) (low, high float64, ok bool) {
	if !y.low.Given() {
		return 0, 0, false
	}
	if high, ok = r.figure(y.high, q); ok {
		low, ok = r.figure(y.low, q)
	}
	switch {
	case !ok:
		return 0, 0, false
	case low == high:
		r.remarks = append(r.remarks, remark.ValueText.At(y.low.Place, y.low.Value+" to "+y.high.Value, "range", "6 to 16").
			Instead("Write a range with two ends; a figure that never changes is a constant."))
		return 0, 0, false
	case low > high:
		r.remarks.Add(remark.LimitOrder, y.low.Place, y.low.Value, y.high.Value)
		return 0, 0, false
	}
	return low, high, true
}

// figure reads a number in a quantity's unit, or with a unit of its own. One in
// the quantity's is kept as it is typed, without a way to SI and back.
func (r *pageResolver) figure(t source.Text, q calc.Quantity) (float64, bool) {
	si, used, err := unit.Parse(t.Value, q.Unit, "en")
	v := q.FromSI(si)
	number, _ := figureOf(t.Value)
	if plain, ok := plainFigure(number); ok && used == q.Unit {
		v = plain
	}
	why := ""
	switch {
	case err != nil:
		why = err.Error()
	case math.Abs(v) > maxFigure:
		why = "it is beyond ±1e15"
	default:
		return v, true
	}
	r.remarks.Add(remark.QuantityWrong, t.Place, t.Value, q.Name, why, strings.TrimSpace("12 "+q.Unit.Symbol))
	return 0, false
}

// figureOf parts a quantity as it is written into its number and its unit.
func figureOf(text string) (number, symbol string) {
	number = figurePattern.FindString(text)
	return strings.TrimSpace(number), strings.TrimSpace(text[len(number):])
}

// plainFigure reads a decimal number that has no unit.
func plainFigure(text string) (float64, bool) {
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && strings.Trim(text, "+-.0123456789eE") == ""
}
