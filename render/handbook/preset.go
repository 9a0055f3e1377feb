package handbook

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// example is a value of an input as an author would write it.
func example(q calc.Quantity) string {
	if q.Kind == calc.Choice {
		return strings.Join(q.Options, " or ")
	}
	return strings.TrimSpace(unit.Format(q.Min+(q.Max-q.Min)/4, 2) + " " + q.Unit.Symbol)
}

func rangeText(q calc.Quantity) string {
	return strings.TrimSpace(fmt.Sprintf("the range is %s to %s %s", plainNumber(q.Min), plainNumber(q.Max), q.Unit.Symbol))
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// noValue remarks on a text that is no value of a quantity.
func (r *pageResolver) noValue(q calc.Quantity, text source.Text, why string, of ...remark.Subject) {
	told := remark.QuantityWrong.At(text.Place, text.Value, q.Name, why, example(q))
	if q.Kind == calc.Choice {
		told = told.Instead("Write one of: %s.", strings.Join(q.Options, ", "))
	}
	r.remarks = append(r.remarks, told.About(of...))
}

// preset resolves the value of an input.
func (r *pageResolver) preset(form *Calculator, q calc.Quantity, text source.Text) {
	wrong := func(why string) {
		r.noValue(q, text, why)
	}
	if name, ok := strings.CutPrefix(text.Value, "spec:"); ok {
		s := r.spec(source.Text{Value: name, Place: text.Place})
		switch {
		case s == nil || s.ID != name: // nothing more is told of what was only probably meant
		case s.Unit.Kind != q.Unit.Kind:
			r.wrongKind(text, q, s)
			form.guessed = true // with the quantity's own start value
		case s.Faulty:
			form.guessed = true
		case q.Name == "tolerance" && hasTolerance(s):
			form.Presets[q.Name] = Preset{Spec: s, Within: true}
		case q.Name == "tolerance":
			wrong("the specification has no tolerance for every model")
		case r.withoutNominal(s) != nil:
			r.noValue(q, text, "the specification has no nominal value for every model here", r.page.Lacks(s, "nominal", r.withoutNominal(s)...)...)
		case r.beyondRange(s, q) != "":
			r.remarks = append(r.remarks, remark.QuantityWrong.At(text.Place, text.Value, q.Name, r.beyondRange(s, q)+"; "+rangeText(q), "").
				Instead("Correct the specification, or enter a value here.").About(r.page.Lacks(s, "nominal")...))
		default:
			form.Presets[q.Name] = Preset{Spec: s}
		}
		return
	}
	if q.Kind == calc.Choice {
		for i, option := range q.Options {
			if option == text.Value {
				form.Presets[q.Name] = Preset{Text: option, SI: float64(i)}
				return
			}
		}
		wrong("it is none of " + strings.Join(q.Options, ", "))
		return
	}
	if _, err := strconv.ParseFloat(text.Value, 64); err == nil && q.Unit.Symbol != "" && !form.Calc.Own() {
		wrong("it has no unit")
		return
	}
	si, shown, err := unit.Parse(text.Value, q.Unit, "en")
	var bad *unit.Error
	switch v := q.Unit.FromSI(si); {
	case errors.As(err, &bad):
		wrong(bad.Error())
	case err != nil:
		wrong(err.Error())
	case !q.Takes(q.ToSI(v)):
		wrong(rangeText(q))
	default:
		form.Presets[q.Name] = Preset{Text: text.Value, SI: si, Shown: shown, Place: text.Place}
	}
}

// beyondRange names a nominal value of a specification that an input would not
// take, or returns "".
func (r *pageResolver) beyondRange(s *Spec, q calc.Quantity) string {
	limits := []*Limit{s.General}
	if len(r.page.Applicability) > 0 {
		limits = nil
		for _, m := range r.page.Applicability {
			limits = append(limits, s.For(m))
		}
	}
	for _, l := range limits {
		v := q.FromSI(FieldUnit(s.Unit, q.Unit).ToSI(l.Nominal.Value))
		if !q.Takes(q.ToSI(v)) {
			return strings.TrimSpace("it is " + l.Nominal.Text + " " + s.Unit.Symbol)
		}
	}
	return ""
}

// withoutNominal are the models of the page for which a specification has no nominal
// value; a nil one in a handbook without models.
func (r *pageResolver) withoutNominal(s *Spec) (without []*Model) {
	for _, m := range (Bench{Page: r.page}).Models() {
		if l := s.For(m); l == nil || l.Nominal == nil {
			without = append(without, m)
		}
	}
	return without
}
