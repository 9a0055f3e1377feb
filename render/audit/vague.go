package audit

import (
	"regexp"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// vagueWords judge without a limit, by language.
var vagueWords = map[string]*regexp.Regexp{
	"en": regexp.MustCompile(`(?i)\b(?:acceptable|adequate|appropriate|normal|ok|okay|proper|properly|sufficient|within (?:limits|range|specification))\b`),
	"es": regexp.MustCompile(`(?i)\b(?:aceptable|adecuad[oa]|apropiad[oa]|normal|ok|suficiente|dentro de (?:límites|especificación))\b`),
}

// vagueLimits gives advice on words that stand for a limit in a step whose reading has one
// in figures, once a step.
func vagueLimits(p *handbook.Page, remarks *remark.List) {
	vague := vagueWords[languageOf(p)]
	if vague == nil {
		return
	}
	for _, s := range p.Procedure.Steps {
		if s.Reading == nil || s.Reading.Spec == nil {
			continue
		}
		told := false
		note := func(word, spec string, at remark.Place) {
			if !told {
				remarks.Add(remark.LimitVague, at, word, spec)
			}
			told = true
		}
		for _, n := range s.Body {
			eachProse(p, n, func(t *prose) {
				text := t.String()
				if m := vague.FindStringIndex(text); m != nil {
					note(text[m[0]:m[1]], s.Reading.Spec.ID, t.place(m[0]))
				}
			})
		}
		for _, a := range s.Answers {
			if word := vague.FindString(a.Text); word != "" {
				note(word, s.Reading.Spec.ID, a.Place)
			}
		}
	}
}
