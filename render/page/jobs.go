package page

import (
	"path"

	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// jobsView is the body of the jobs page; what it shows comes from the phone.
type jobsView struct {
	*theme.Words
	Models *[]modelView
}

// jobsPage is a procedure as the jobs page names it: the page's address, its
// title, then the ids of its steps, so that their place gives their number.
type jobsPage []string

// Now is what holds of a specification: its unit, and limits by model, "" for the general ones; more than one
// of a model where they depend on the serial number.
type Now [2]any

// LimitsNow returns what holds of the specifications that have had other limits: a job may have begun with those.
func LimitsNow(h *handbook.Handbook) map[string]Now {
	now := map[string]Now{}
	models := h.Models
	if len(models) == 0 {
		models = []*handbook.Model{nil}
	}
	for _, s := range h.Specs {
		if s.History == nil {
			continue
		}
		limits := map[string][]*limitData{}
		for _, m := range models {
			id := ""
			if m != nil {
				id = m.ID
			}
			for _, e := range s.Ranges(m) {
				limits[id] = append(limits[id], newLimitData(e.For(m)))
			}
			if l := s.For(m); l != nil {
				limits[id] = append(limits[id], newLimitData(l))
			}
		}
		now[s.ID] = Now{unitSymbol(s.Unit), limits}
	}
	return now
}

// JobsPath returns the path of a language's jobs page, beside its finder.
func JobsPath(h *handbook.Handbook, lang string) string {
	return path.Join(path.Dir(FinderPath(h, lang)), handbook.JobsFile)
}

// Jobs renders the page of a language on which the phone shows its jobs.
func (r *Renderer) Jobs(lang string) (Output, error) {
	w := r.newWriter(nil, JobsPath(r.book, lang), lang)
	s := w.shell()
	s.Key, s.Sheet, s.Title = "jobs", "jobs", w.words.Word("jobs.title")
	s.Named = true
	s.ScriptNote = w.words.Word("jobs.scriptNote")
	s.Look, s.Script = []theme.StyleEntry{theme.JobsStyle, theme.EarlyStyle}, scriptPath(theme.JobsScript, lang)
	s.Job = scriptPath(theme.RecordScript, lang)
	for _, other := range r.book.Languages {
		if other != lang {
			s.Translations = append(s.Translations, w.translation(other, JobsPath(r.book, other)))
		}
	}
	w.data.Pages = map[string]jobsPage{}
	for _, p := range r.book.Pages {
		if p.Lang != lang || p.Procedure == nil || p.Index {
			continue
		}
		w.reads.add(ReadSource, p.Source.Path)
		listed := jobsPage{w.rel(p.Path), p.Title}
		if gone := w.superseded(p); gone != "" { // a job may have begun before
			listed[1] += " (" + gone + ")"
		}
		for _, step := range p.Procedure.Steps {
			listed = append(listed, step.ID)
		}
		w.data.Pages[p.Key] = listed
	}
	w.data.Now = LimitsNow(r.book)
	w.data.States = map[string]string{}
	for _, state := range r.book.States {
		w.data.States[state.ID] = w.state(state).Title.In(lang)
	}
	for _, setting := range r.book.Settings {
		w.data.setting(w, setting)
	}
	w.data.Serials = serialsOf(r.book)
	w.template("jobs", jobsView{w.words, s.Models})
	s.Models = nil // the page chooses a model for the job, not for the sheets
	return w.finish(s)
}
