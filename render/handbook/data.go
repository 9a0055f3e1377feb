package handbook

import (
	"slices"
	"strings"
	"time"

	"github.com/invopop/jsonschema"
	"golang.org/x/text/language"

	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Where the data of a handbook lies.
const (
	handbookFile = "handbook.yaml"
	modelsFile   = "models.yaml"
	partsFile    = "parts.yaml"
	specsFolder  = "specs/"
)

// DecodeYAML takes one text for all languages, or a text by language.
func (w *Words) DecodeYAML(d *source.Decoder, n source.Node, key string) {
	*w = Words{}
	if source.IsScalar(n) {
		(*w)[""], _ = d.Scalar(n, key, "a text")
		return
	}
	d.Fields(n, key, func(lang source.Text, value source.Node) {
		if !IsLanguage(lang.Value) {
			d.Remarks().Add(remark.ValueText, lang.Place, lang.Value, "language", "en or es")
			(*w)[""] = "" // it may be that of any
			return
		}
		if s, ok := d.Scalar(value, lang.Value, "a text"); ok {
			(*w)[lang.Value] = s
		}
	})
}

// Schema implements source.Value.
func (Words) Schema(s *source.Shapes) *jsonschema.Schema {
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{s.Scalar(), byLanguage(s.Scalar())}}
}

// languageForm is the schema of a language's tag.
var languageForm = &jsonschema.Schema{Type: "string", Pattern: "^[a-z]{2,3}(-[A-Za-z0-9]+)*$"}

// byLanguage is the schema of keys that are languages.
func byLanguage(each *jsonschema.Schema) *jsonschema.Schema {
	return &jsonschema.Schema{Type: "object", PropertyNames: languageForm, AdditionalProperties: each}
}

// IsLanguage tells whether s is a language tag of BCP 47 that begins with a code
// of ISO 639, of two or three letters, small ones as ISO 639 writes them: names of folders and keys tell
// letters apart, so that one language has one name.
func IsLanguage(s string) bool {
	tag, err := language.Parse(s)
	code, _, _ := strings.Cut(s, "-")
	return err == nil && tag != language.Und && len(code) <= 3 && code == strings.ToLower(code)
}

type handbookYAML struct {
	Title     Words         `yaml:"title,needed"`
	Publisher source.Text   `yaml:"publisher,needed"`
	Edition   source.Text   `yaml:"edition,needed"`
	Languages []source.Text `yaml:"languages,needed"`
	Date      source.Text   `yaml:"date"`
	CheckBy   source.Text   `yaml:"check-by"`
	Notice    Words         `yaml:"notice"`
	Address   source.Text   `yaml:"address"`

	States   source.Map[stateYAML]   `yaml:"states" noun:"a state"`
	Settings source.Map[settingYAML] `yaml:"settings" noun:"a setting"`
	Hazards  source.Map[hazardYAML]  `yaml:"hazards" noun:"a hazard"`
	Meters   []meterYAML             `yaml:"meters" noun:"a meter"`
	Units    source.Text             `yaml:"units"`
	Synonyms synonymsYAML            `yaml:"synonyms"`
	Glossary glossaryYAML            `yaml:"glossary"`
	Labels   labelsYAML              `yaml:"labels" noun:"a sheet of labels"`
	Remarks  source.Map[source.Text] `yaml:"remarks" noun:"a kind of remark"`
}

type stateYAML struct {
	Title   Words              `yaml:"title,needed"`
	Text    Words              `yaml:"text"`
	Minutes number             `yaml:"minutes"`
	From    source.Map[number] `yaml:"from"`
}

type hazardYAML struct {
	Title Words `yaml:"title,needed"`
}

type meterYAML struct {
	Place      remark.Place
	Unit       source.Text `yaml:"unit,needed"`
	Percent    number      `yaml:"percent"`
	Digits     number      `yaml:"digits"`
	Resolution number      `yaml:"resolution,needed with digits"`
	Range      rangeYAML   `yaml:"range"`
}

type modelYAML struct {
	Title  Words        `yaml:"title,needed"`
	Serial []serialYAML `yaml:"serial" noun:"a range of serial numbers"`
	Text   Words        `yaml:"text"`
}

type partYAML struct {
	Title  Words         `yaml:"title,needed"`
	System Words         `yaml:"system"`
	Number source.Text   `yaml:"number"`
	Models []source.Text `yaml:"models"`
}

// data reads the YAML files of the tree.
func (r *resolver) data() {
	r.front()
	r.models()
	r.parts()
	r.specs()
	r.circuits()
	for name, y := range r.tree.Data {
		if name != handbookFile && name != modelsFile && name != partsFile && !isSpecs(name) && !isCircuit(name) && !y.Broken {
			remarkOn := remark.FileUnknown.At(remark.Place{File: name})
			if near := remark.Nearest(name, []string{handbookFile, modelsFile, partsFile}); near != "" {
				remarkOn = remarkOn.Instead("Did you mean %s?", near)
			}
			r.remarks = append(r.remarks, remarkOn)
		}
	}
}

func isSpecs(name string) bool {
	return strings.HasPrefix(name, specsFolder) && !strings.Contains(name[len(specsFolder):], "/")
}

// file decodes a data file; a missing one gets advice on what it would add.
// known is false where what it defines cannot be told.
func (r *resolver) file(name, noun, adds string, into any) (known bool) {
	y := r.tree.Data[name]
	if y == nil {
		r.remarks.Add(remark.DataMissing, remark.Place{File: name}, name, adds)
		return true
	}
	source.Decode(y, into, noun, &r.remarks)
	return !y.Broken && !y.Torn
}

func (r *resolver) front() {
	var front handbookYAML
	known := r.file(handbookFile, handbookFile, "Add one with title, publisher, edition and languages.", &front)
	h := r.book
	h.Place = remark.Place{File: handbookFile, Line: 1, Column: 1}
	r.editionLine = front.Edition.Place.Line
	h.Title, h.Publisher, h.Edition, h.Notice = front.Title, front.Publisher.Value, front.Edition.Value, front.Notice
	if h.Title == nil {
		h.Title = Words{"": "Handbook"}
	}
	r.complete[kindLanguage], r.languageAt = true, map[string]remark.Place{}
	for _, l := range distinct(&r.remarks, front.Languages) {
		if !IsLanguage(l.Value) {
			r.remarks.Add(remark.ValueText, l.Place, l.Value, kindLanguage, "en or es")
			r.complete[kindLanguage] = false
			if meant := r.meant(l.Value, front.Languages); meant != "" && !slices.Contains(h.Languages, meant) {
				h.Languages = append(h.Languages, meant)
			}
			continue
		}
		h.Languages = append(h.Languages, l.Value)
		r.languageAt[l.Value] = l.Place
	}
	if !r.complete[kindLanguage] {
		r.languageAt = nil // some are guessed
	}
	if len(h.Languages) == 0 {
		h.Languages = r.guessLanguages()
	}
	if front.Date.Given() {
		h.Date, r.datePlace = checkDay(&r.remarks, front.Date), front.Date.Place
	}
	h.CheckBy = checkBy(&r.remarks, front.CheckBy, h.Date)
	for kind, list := range map[string]struct {
		key   string
		count int
	}{
		kindState:   {"states", len(front.States)},
		kindSetting: {"settings", len(front.Settings)},
		kindHazard:  {"hazards", len(front.Hazards)},
		kindMeter:   {"meters", len(front.Meters)},
	} {
		// What a misspelt or empty list would define is not known.
		y := r.tree.Data[handbookFile]
		r.complete[kind] = known && (list.count > 0 || y == nil || !y.HasKey(list.key))
	}
	r.states(front.States)
	r.settings(front.Settings)
	for _, e := range front.Hazards {
		h.Hazards = append(h.Hazards, &Hazard{e.ID.Value, e.Value.Title})
	}
	r.meters(front.Meters)
	r.glossary(front.Glossary)
	r.lists, r.labelled = front.Synonyms, front.Labels
	r.address(front.Address)
	r.rules(front.Remarks)
	h.System = unit.Metric
	if front.Units.Given() {
		switch s := unit.System(front.Units.Value); s {
		case unit.Metric, unit.Inch:
			h.System = s
		default:
			r.remarks.Add(remark.ValueChoice, front.Units.Place, front.Units.Value, "units", "metric, inch")
		}
	}
}

// guessLanguages takes top folders that are named like a language, English
// first, for a handbook that does not say.
func (r *resolver) guessLanguages() []string {
	var found []string
	for _, p := range r.tree.Pages {
		top, _, ok := strings.Cut(p.Path, "/")
		if _, err := language.ParseBase(top); ok && err == nil && len(top) == 2 && !slices.Contains(found, top) {
			found = append(found, top)
		}
	}
	if len(found) == 0 {
		return []string{"en"}
	}
	if i := slices.Index(found, "en"); i > 0 {
		found = append([]string{"en"}, slices.Delete(found, i, i+1)...)
	}
	return found
}

// meant is the language with a folder that stands for a name that is none: of those that are not listed the one whose
// code the name begins with, as english does, else the first.
func (r *resolver) meant(name string, listed []source.Text) string {
	var others []string
	for _, lang := range r.guessLanguages() {
		if !slices.ContainsFunc(listed, func(l source.Text) bool { return l.Value == lang }) {
			others = append(others, lang)
		}
	}
	for _, lang := range others {
		if strings.HasPrefix(strings.ToLower(name), lang) {
			return lang
		}
	}
	return append(others, "")[0]
}

func (r *resolver) models() {
	var models source.Map[modelYAML]
	r.complete[kindModel] = r.file(modelsFile, "a model", "Add one, so that limits can differ by model.", &models)
	for _, e := range models {
		r.book.Models = append(r.book.Models, &Model{ID: e.ID.Value, Title: e.Value.Title, Text: e.Value.Text, Place: e.ID.Place})
	}
	r.serials(models)
}

func (r *resolver) parts() {
	var parts source.Map[partYAML]
	r.complete[kindPart] = r.file(partsFile, "a part", "Add one, so that the build can tell which part nobody examines.", &parts)
	for _, e := range parts {
		r.book.Parts = append(r.book.Parts, &Part{
			ID: e.ID.Value, Title: e.Value.Title, System: e.Value.System, Number: e.Value.Number.Value,
			Models: r.modelsNamed(e.Value.Models), Place: e.ID.Place,
		})
	}
}

// distinct returns the names of a list each once, with a remark on one that
// stands twice.
func distinct(remarks *remark.List, names []source.Text) (once []source.Text) {
	first := map[string]remark.Place{}
	for _, name := range names {
		if at, ok := first[name.Value]; ok {
			*remarks = append(*remarks, remark.IDDuplicate.At(name.Place, name.Value, at).Instead("Take one of the two out."))
			continue
		}
		first[name.Value] = name.Place
		once = append(once, name)
	}
	return once
}

// modelsNamed looks models up; nil where none is named, or one was named wrongly
// or twice, so that nobody knows which were meant.
func (r *resolver) modelsNamed(names []source.Text) []*Model {
	var found []*Model
	for _, name := range distinct(&r.remarks, names) {
		if m := find(r, kindModel, r.book.Models, name); m != nil {
			found = append(found, m)
		}
	}
	if len(found) < len(names) {
		return nil
	}
	return found
}

func (r *resolver) unit(symbol source.Text) (unit.Unit, bool) {
	u, ok := unit.Lookup(symbol.Value)
	if !ok {
		r.remarks = append(r.remarks, unitUnknown(symbol))
	}
	return u, ok
}

// unitUnknown is the remark on a text that is no unit.
func unitUnknown(t source.Text) remark.Remark {
	why := remark.UnitUnknown.At(t.Place, t.Value)
	if near := unit.Nearest(t.Value); near != "" {
		why = why.Instead("Did you mean `%s`?", near)
	}
	return why
}

// checkBy returns the day by which a sheet is looked at again, which does not lie
// before the day of the edition. Days of ISO 8601 are in order as texts.
func checkBy(remarks *remark.List, t source.Text, edition string) string {
	if !t.Given() {
		return ""
	}
	day := checkDay(remarks, t)
	if day != "" && day < edition {
		remarks.Add(remark.CheckOverdue, t.Place, day, edition)
	}
	return day
}

// revised returns the day on which something was written, with a remark where that is
// after the day of the edition. Several are a slip in the edition's day.
func (r *resolver) revised(remarks *remark.List, t source.Text) string {
	day := checkDay(remarks, t)
	if day != "" && r.book.Date != "" && day > r.book.Date {
		*remarks = append(*remarks, remark.RevisedLater.At(t.Place, day, r.book.Date).
			About(remark.Subject{Name: "the day of the edition", Place: r.datePlace}))
	}
	return day
}

// checkDay returns an ISO 8601 calendar day, or "" with a remark.
func checkDay(remarks *remark.List, t source.Text) string {
	if _, err := time.Parse(time.DateOnly, t.Value); err != nil {
		remarks.Add(remark.ValueText, t.Place, t.Value, "day", "2026-10-14")
		return ""
	}
	return t.Value
}
