package page

import (
	"path"

	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// modelsView is the body of the page on which a model is found by its serial
// number.
type modelsView struct {
	*theme.Words
	Models []modelPlate
}

// modelPlate is a model with its serial numbers in words.
type modelPlate struct {
	Title, Text string
	Serials     []any // ranges of numbers in words
}

// serialData is a range as the script has it: [model, head, tail, low, high].
type serialData [5]string

// ModelsPath returns the path of a language's page of models, beside its finder;
// "" where the handbook has no serial numbers.
func ModelsPath(h *handbook.Handbook, lang string) string {
	if !h.HasSerials() {
		return ""
	}
	return path.Join(path.Dir(FinderPath(h, lang)), handbook.ModelsFile)
}

// ModelsTitle returns what that page is called.
func (r *Renderer) ModelsTitle(lang string) string { return r.theme.Words(lang).Word("models.title") }

// Models renders the page of a language that leads from a serial number to its
// model.
func (r *Renderer) Models(lang string) (Output, error) {
	w := r.newWriter(nil, ModelsPath(r.book, lang), lang)
	s := w.shell()
	s.Key, s.Sheet, s.Title = "models", "models", w.words.Word("models.title")
	s.Named = true
	s.ScriptNote = w.words.Word("models.scriptNote")
	s.ModelIDs = modelIDs(r.book.Models)
	s.Script, s.ModelsPage = scriptPath(theme.ModelsScript, lang), ""
	for _, other := range r.book.Languages {
		if other != lang {
			s.Translations = append(s.Translations, w.translation(other, ModelsPath(r.book, other)))
		}
	}
	v := modelsView{Words: w.words}
	for _, m := range r.book.Models {
		plate := modelPlate{Title: w.model(m).Title.In(lang), Text: m.Text.In(lang)}
		for _, n := range m.Serials {
			if n.To == "" {
				plate.Serials = append(plate.Serials, w.words.Marked(w.words.Fill("models.from", "from", n.From)))
			} else {
				plate.Serials = append(plate.Serials, w.words.Marked(w.words.Fill("models.range", "from", n.From, "to", n.To)))
			}
		}
		v.Models = append(v.Models, plate)
	}
	w.data.Serials = serialsOf(r.book)
	for _, setting := range r.book.Settings {
		w.data.setting(w, setting) // the record's bar tells of them
	}
	w.template("models", v)
	return w.finish(s)
}

func serialsOf(h *handbook.Handbook) (list []serialData) {
	for _, m := range h.Models {
		for _, n := range m.Serials {
			list = append(list, serialData{m.ID, n.Head, n.Tail, n.Low, n.High})
		}
	}
	return list
}
