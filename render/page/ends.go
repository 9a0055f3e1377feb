package page

import (
	"html/template"
	"slices"
	"strconv"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// endView is a way in which a procedure ends.
type endView struct {
	*theme.Words
	ID, Kind, Letter        string
	Title                   any     // the author's, or words of the theme
	Cause, PartID, Restores string  // ids
	Note                    []any   // who may do the remedy
	Proofs                  []proof // what leads here, readings first
	Unread                  bool    // no reading that leads here condemns the part
	Text, Remedy            template.HTML
	Part                    string
	Restore                 string // what is put back before the machine goes out
	Log                     []string
	Again                   string
	Check                   string // address of the check after the repair
	Change                  string // what became of it since an older edition
}

// proof is an answer or an outcome that leads to an end.
type proof struct {
	Href, Step, Answer string
	reading            bool // it is an outcome of a reading
	condemns           bool // one that lies outside
}

// condemning are the outcomes of a reading that is proved to lie outside.
var condemning = []string{"low", "high", "none"}

// findEndings returns the ends of a procedure in the order in which the sheet
// prints and letters them.
func (w *writer) findEndings(p *handbook.Procedure) []handbook.Target {
	ends := make([]handbook.Target, 0, len(p.Causes)+len(handbook.Ends))
	for _, c := range p.Causes {
		ends = append(ends, handbook.Target{Kind: handbook.ToCause, ID: handbook.CauseAnchor(c.ID), Cause: c})
	}
	for _, name := range handbook.Ends {
		if id := handbook.EndAnchor(name); w.leadsTo(id) {
			ends = append(ends, handbook.Target{Kind: handbook.ToEnd, ID: id})
		}
	}
	return ends
}

// leadsTo reports whether anything on the page names an end.
func (w *writer) leadsTo(end string) bool {
	for _, t := range w.page.Links {
		if t.Kind == handbook.ToEnd && t.ID == end {
			return true
		}
	}
	for _, s := range w.page.Procedure.Steps {
		for _, way := range ways(s) {
			if way.to.Kind == handbook.ToEnd && way.to.ID == end {
				return true
			}
		}
	}
	return false
}

// letter numbers ends: A to Z, then A2 and so on.
func letter(i int) string {
	s := string(rune('A' + i%26))
	if i >= 26 {
		s += strconv.Itoa(i/26 + 1)
	}
	return s
}

// endKey is the key of the words for an end.
func endKey(id string) string {
	switch id {
	case handbook.EndAnchor(handbook.NotReproduced):
		return "end.notReproduced"
	case handbook.EndAnchor(handbook.Repaired):
		return "end.repaired"
	}
	return "end.handOver"
}

// sheetPart writes the heading of a part of the sheet that is no step.
func (w *writer) sheetPart(key string, there bool) {
	if there {
		w.out.WriteString(`<h2 class="ends">`)
		w.say(key)
		w.out.WriteString("</h2>\n")
	}
}

// end writes one of the ways in which the procedure ends.
func (w *writer) end(p *handbook.Procedure, i int) {
	e := w.endings[i]
	v := endView{Words: w.words, ID: w.href(e)[1:], Letter: letter(i), Proofs: w.proofs(p, e)}
	var restores []handbook.SettingAt
	if c := e.Cause; c != nil {
		v.Kind, v.Title, v.Cause = "cause", c.Title, c.ID
		v.Note = w.roles(c.Who, c.Emissions)
		v.Remedy = w.html(func() {
			w.sourceRemedy(c)
			w.markdown(c.Remedy.Doc, c.Remedy.Text)
		})
		if c.Part != nil {
			v.Part, v.PartID = w.partName(c.Part), c.Part.ID
			v.Unread = !slices.ContainsFunc(v.Proofs, func(p proof) bool { return p.condemns })
		}
		if check := p.Check(c); check != nil {
			v.Check = "#" + check.ID
		}
		restores = c.Restores
	} else {
		v.Kind, v.Title = strings.TrimPrefix(e.ID, handbook.EndAnchor("")), w.words.Say(endKey(e.ID))
		v.Text = template.HTML("<p" + string(w.words.Mark()) + ">" + template.HTMLEscapeString(w.words.Word(endKey(e.ID)+"Text")) + "</p>\n")
		if said := p.Ends[v.Kind]; said != nil {
			if said.Text.Doc != nil {
				v.Text = w.html(func() { w.markdown(said.Text.Doc, said.Text.Text) })
			}
			v.Log, v.Again, restores = said.Log, said.Again, said.Restores
		}
	}
	if w.thingFor(v.ID) != nil {
		v.Text = w.html(func() { w.beginThing(v.ID) }) + v.Text
	} else if mark := w.changes.Thing(v.ID); mark != "" {
		v.Change = " amended"
		v.Note = append(v.Note, w.changeWords(mark))
	}
	v.Restores = w.settingIDs(restores)
	var mends []string
	for _, s := range restores {
		mends = append(mends, w.in(w.setting(s.Setting).Restore))
	}
	v.Restore = strings.Join(mends, " ")
	w.template("end", v)
}

// proofs lists what leads to an end: that is what proves it. A reading proves more
// than an answer, so readings come first.
func (w *writer) proofs(p *handbook.Procedure, end handbook.Target) []proof {
	var readings, answers []proof
	for _, s := range p.Steps {
		for _, way := range ways(s) {
			if w.href(way.to) != w.href(end) {
				continue
			}
			at := proof{"#" + s.ID, strconv.Itoa(s.Number), way.answer, way.outcome != "", slices.Contains(condemning, way.outcome)}
			if !at.reading {
				answers = append(answers, at)
				continue
			}
			at.Answer = w.measure(s.Reading) + ": " + w.outcome(s.Reading, way.outcome)
			readings = append(readings, at)
		}
	}
	return append(readings, answers...)
}
