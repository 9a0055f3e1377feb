package handbook

import "benchleaf/render/remark"

// wordsMissing tells for each language which names and texts of the data have words in other languages alone. A text
// that is given without a language holds for all.
func (r *resolver) wordsMissing() {
	if len(r.languageAt) == 0 {
		return // languages are guessed
	}
	h := r.book
	for _, lang := range h.Languages {
		var missing []string
		look := func(kind, id string, texts ...Words) {
			for _, w := range texts {
				if w.lacks(lang) {
					missing = append(missing, kind+" `"+id+"`")
					return
				}
			}
		}
		look("the handbook's", "title", h.Title)
		look("the handbook's", "notice", h.Notice)
		for _, m := range h.Models {
			look(kindModel, m.ID, m.Title, m.Text)
		}
		for _, p := range h.Parts {
			look(kindPart, p.ID, p.Title)
		}
		for _, s := range h.Specs {
			look(kindSpec, s.ID, s.Title, s.Conditions)
		}
		for _, s := range h.States {
			look(kindState, s.ID, s.Title, s.Text)
		}
		for _, s := range h.Settings {
			look(kindSetting, s.ID, s.Title, s.Restore)
		}
		for _, z := range h.Hazards {
			look(kindHazard, z.ID, z.Title)
		}
		if len(missing) > 0 {
			r.remarks.Add(remark.WordsMissing, r.languageAt[lang], lang, listed(missing))
		}
	}
}

// lacks tells whether there are words in languages, and none in this one.
func (w Words) lacks(lang string) bool {
	_, all := w[""]
	_, own := w[lang]
	return len(w) > 0 && !all && !own
}
