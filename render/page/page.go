// Package page turns a page of the resolved model into the HTML that a phone
// takes.
//
// In: a *handbook.Handbook and a theme. Out: each page's bytes together with the
// set of things that they depend on, and the files that all pages share.
// It may import compare, handbook, source, theme, calc with what lies below it, and
// calc/run.
//
// A page is complete without script: all steps, limits and worked examples, with
// links for answers. No text of the author ever becomes markup: Markdown is
// written by this package's own rules, everything else by html/template.
package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/code"
	"benchleaf/render/compare"
	"benchleaf/render/handbook"
	"benchleaf/theme"
)

// Output is a page as it goes to the disk.
type Output struct {
	HTML    []byte
	Reads   Reads
	Code    File     // the picture of the page's address; without a path where there is none
	Scripts []string // the files of scripts that it loads, without those that another one has loaded
}

// File is a file that all pages share.
type File struct {
	Path string // in the edition, slash-separated
	Data []byte
}

// Renderer renders the pages of one handbook. Its methods may be called by
// several goroutines at once.
type Renderer struct {
	book      *handbook.Handbook
	theme     *theme.Theme
	readAsset func(name string) ([]byte, error)
	keyed     *handbook.Keyed
	pictures  sync.Map // asset path -> size
	listings  sync.Map // code of a calculator -> template.HTML
	styles    sync.Map // names of sheets -> *style
	named     sync.Map // language -> *[]modelView
	frames    frames
	since     *compare.Since // an older edition, or nil
}

// New returns a renderer. readAsset gives the bytes of an asset, from which the
// size of a picture is taken; without it pictures have no size of their own.
func New(h *handbook.Handbook, t *theme.Theme, readAsset func(name string) ([]byte, error)) (*Renderer, error) {
	if h == nil || t == nil {
		return nil, fmt.Errorf("page: a handbook and a theme are needed")
	}
	r := &Renderer{book: h, theme: t, readAsset: readAsset, keyed: handbook.ByKey(h.Pages)}
	return r, nil
}

// FinderPath returns the path of a language's finder.
func FinderPath(h *handbook.Handbook, lang string) string {
	if len(h.Languages) == 0 || lang == h.Languages[0] {
		return "index.html"
	}
	return lang + "/index.html"
}

// Page renders one page.
func (r *Renderer) Page(p *handbook.Page) (Output, error) {
	w := r.newWriter(p, p.Path, p.Lang)
	w.reads.add(ReadSource, p.Source.Path)
	w.title = titleHeading(p)
	w.supersessions(p)
	w.hold(p)
	w.translationNote()
	if p.Procedure != nil {
		w.procedure(p.Procedure)
	} else {
		w.markdown(p.Source.Doc, p.Source.Text)
	}
	if p.Sheet == "reference" {
		w.histories(p)
	}
	s := w.shell()
	s.Key, s.Sheet, s.Title, s.Purpose, s.Revised = p.Key, p.Sheet, p.Title, p.Purpose, p.Revised
	s.Facts = w.facts(p)
	s.CheckBy = p.CheckBy
	s.Superseded, s.Gone, s.Notices = w.notices(p, p.Superseded), w.superseded(p), w.notices(p, valueNotices(p))
	if p.Procedure != nil && len(p.Procedure.Steps) > 0 {
		s.Begin = p.Procedure.Steps[0].ID
		s.Flow = w.rel(p.FlowPath())
		if p.PracticePath() != "" {
			w.reads.add(ReadCircuit, p.Circuit.ID)
			s.Practice, s.PracticeData = w.rel(p.PracticePath()), w.rel(p.PracticeDataPath())
		}
	}
	w.holdsFor(s, p.Applicability)
	for q := range r.keyed.All(s.Key) {
		if q != p && q.Lang != p.Lang {
			w.readTitle(q)
			s.Translations = append(s.Translations, w.translation(q.Lang, q.Path))
		}
	}
	return w.finish(s)
}

// writer writes one page.
type writer struct {
	*Renderer
	page     *handbook.Page // nil for a finder without a page of its own
	path     string         // of the HTML file
	lang     string
	words    *theme.Words
	out      buffer
	text     []byte // what the offsets of the nodes being written count in
	reads    reads
	data     pageData
	endings  []handbook.Target // of a procedure, as lettered
	timed    bool              // the page has a stopwatch
	charted  bool              // the page has plots
	shown    bool              // the page has pictures
	pictured bool              // and some that open large
	warned   bool              // it has safety messages
	outline  []int             // levels of the headings that the text here belongs to, as written; first the title's
	marked   bool              // and some with numbers on them
	checked  bool              // the page has self-checks
	amended  bool              // the page shows what values were before
	ranged   bool              // some values depend on the serial number
	colored  int               // bytes of listings that are highlighted
	changes  *compare.Marks    // what became of it since an older edition, or nil
	aged     bool              // the page shows what its source says now
	quoting  bool              // what is written now is the source's
	title    ast.Node          // the heading that repeats the page's title, and is left out
	err      error             // the first that a template gave

	printed map[*handbook.Spec]bool // specified values that the page shows already
}

func (r *Renderer) newWriter(p *handbook.Page, path, lang string) *writer {
	return &writer{Renderer: r, page: p, path: path, lang: lang, words: r.theme.Words(lang), out: newBuffer(), reads: reads{}, printed: map[*handbook.Spec]bool{}, outline: []int{1}}
}

// shell is what the template of the whole page is given.
type shell struct {
	Frame
	*Sides
	Key                     string
	Title, Purpose, Revised string
	Named                   bool // the title is the theme's
	ModelIDs                string
	Facts                   []fact
	Translations            []translation
	Data                    template.JS
	Address, Code           string       // the page's address on its host, and the picture of it; ""
	CodeSize                int          // the picture's width
	Job                     string       // the script that keeps the job, on pages where something is read
	CheckBy                 string       // the day by which the page is looked at again, "" for the handbook's
	Due                     string       // where it or the handbook has one: one more script
	Picture                 string       // and of one with pictures that open large
	Check                   string       // and of one with self-checks
	Foreign                 []foreign    // the models that the sheet does not hold for
	Superseded              []noticeView // of a procedure: by what
	Gone                    string       // that in short, for the title, which stands on each printed sheet
	Notices                 []noticeView // of values on the page
	Jump                    []stateView  // of a finder: its engine states
	Begin                   string       // of a procedure: the id of its first step
	Flow                    string       // and the address of its picture
	Practice, PracticeData  string       // and those of the page and the data for practising, "" for none

	Segments []string // scripts of the search page that hold the index

	Look []theme.StyleEntry // the sheets that the page's style is made of
}

type fact struct {
	Name any // words of the theme
	Text string
	By   string // the day that it tells, where once past it is told otherwise
}

type translation struct{ Lang, Name, Href string }

func (w *writer) shell() *shell {
	h := w.book
	w.reads.add(ReadHandbook, "")
	s := &shell{
		Frame: Frame{
			Words:     w.words,
			Lang:      w.lang,
			Dir:       theme.Direction(w.lang),
			Root:      strings.Repeat("../", strings.Count(w.path, "/")),
			Book:      w.in(h.Title),
			Home:      w.rel(FinderPath(h, w.lang)),
			Models:    w.models(),
			Script:    scriptPath(theme.PlainScript, w.lang),
			Print:     printPath(w.lang),
			Notice:    w.in(h.Notice),
			Publisher: h.Publisher,

			ScriptNote: w.words.Word("page.scriptNote"),
		},
		Look: []theme.StyleEntry{theme.PageStyle},
	}
	if w.theme.Desk() {
		s.Desk = w.words.Lang
	}
	if jobs := JobsPath(h, w.lang); jobs != w.path {
		s.Jobs = w.rel(jobs)
	}
	s.Search = w.rel(SearchPath(h, w.lang))
	if models := ModelsPath(h, w.lang); models != "" {
		s.ModelsPage = w.rel(models)
	}
	return s
}

// shellBeside is that of a page which a procedure has beside its own; path says where such a page lies.
func (w *writer) shellBeside(title string, path func(*handbook.Page) string, look ...theme.StyleEntry) *shell {
	p, s := w.page, w.shell()
	s.Key, s.Look = p.Key, look
	s.Title = w.words.Fill(title, "title", p.Title)
	w.holdsFor(s, p.Applicability)
	s.Superseded, s.Gone = w.notices(p, p.Superseded), w.superseded(p)
	for q := range w.keyed.All(p.Key) {
		if q != p && q.Lang != p.Lang && path(q) != "" {
			w.readTitle(q)
			s.Translations = append(s.Translations, w.translation(q.Lang, path(q)))
		}
	}
	return s
}

// finish puts the page together. It gives the writer's buffers back.
func (w *writer) finish(s *shell) (Output, error) {
	switch {
	case w.data.Calculators != nil:
		s.Script = scriptPath(theme.BenchScript, w.lang)
	case s.Guided():
		s.Script = scriptPath(theme.PageScript, w.lang)
	}
	if bytes.Contains(w.out.Bytes(), []byte(` class="answers"`)) {
		s.Look = append(s.Look, theme.AnswerStyle)
	}
	if s.Guided() || s.Finder {
		s.Look = append(s.Look, theme.LeadStyle)
	}
	if w.warned {
		s.Look = append(s.Look, theme.SafetyStyle)
	}
	if bytes.Contains(w.out.Bytes(), []byte("<table")) {
		s.Look = append(s.Look, theme.TableStyle)
	}
	if bytes.Contains(w.out.Bytes(), []byte(` class="table"`)) {
		s.Look = append(s.Look, theme.WideStyle, theme.EdgeStyle)
	}
	if s.Foreign != nil {
		s.Look = append(s.Look, theme.ForeignStyle)
	}
	if s.Guided() || w.data.Calculators != nil || w.checked {
		s.Look = append(s.Look, theme.WorkStyle)
	}
	if s.Guided() || w.data.Calculators != nil {
		s.Look = append(s.Look, theme.VerdictStyle)
	}
	if s.Guided() {
		s.Look = append(s.Look, theme.StepStyle)
	}
	if w.data.Calculators != nil {
		s.Look = append(s.Look, theme.CalculatorStyle)
	}
	if bytes.Contains(w.out.Bytes(), []byte(` class="plot`)) { // a ladder is drawn as a curve is
		s.Look = append(s.Look, theme.PlotStyle)
	}
	if s.Finder {
		s.Look = append(s.Look, theme.FinderStyle)
	}
	if s.Guided() {
		s.Look = append(s.Look, theme.WayStyle, theme.NarrowStyle)
	}
	if w.timed {
		s.Look = append(s.Look, theme.TimingStyle)
	}
	if w.charted {
		s.Plot = scriptPath(theme.PlotScript, w.lang)
	}
	if !s.Guided() && (s.CheckBy != "" || w.book.CheckBy != "") { // the script of a procedure's jobs has it
		s.Due = scriptPath(theme.DueScript, w.lang)
	}
	if w.pictured {
		s.Picture = scriptPath(theme.PictureScript, w.lang)
	}
	if bytes.Contains(w.out.Bytes(), []byte("<code")) {
		s.Look = append(s.Look, theme.ListingStyle)
	}
	if w.marked {
		s.Look = append(s.Look, theme.MarkStyle)
	}
	if w.changes.Any() {
		s.Look = append(s.Look, theme.ChangeStyle)
	}
	if w.aged {
		s.Look = append(s.Look, theme.TranslationStyle)
	}
	if w.checked {
		s.Look = append(s.Look, theme.CheckStyle)
		s.Check = scriptPath(theme.CheckScript, w.lang)
	}
	if w.ranged {
		s.Range = scriptPath(theme.RangeScript, w.lang)
	}
	if s.Superseded != nil || s.Notices != nil || w.amended {
		s.Look = append(s.Look, theme.BulletinStyle)
	}
	// What shows while more of it comes is in coming.css and opened.css. The desk holds a page against what came.
	s.Whole = !w.theme.Bound() && !w.theme.Desk()
	switch {
	case s.Guided():
		s.Job = scriptPath(theme.JobScript, w.lang)
		if s.Whole {
			s.Look = append(s.Look, theme.OpenedStyle)
		}
	case w.data.Calculators != nil:
		s.Job = scriptPath(theme.BarScript, w.lang)
		s.Look = append(s.Look, theme.LeftStyle)
	}
	if s.Dir == "rtl" {
		s.Look = append(s.Look, theme.RTLStyle)
	}
	var err error
	if s.Style, err = w.style(s.Look); err != nil {
		return Output{}, fmt.Errorf("%s: %w", w.path, err)
	}
	stands := func(where *inline, entry theme.Entry) {
		if err == nil {
			*where, err = w.inline(entry)
		}
	}
	if s.Whole {
		if len(w.book.Models) > 1 && (s.Foreign != nil || s.Superseded != nil || s.Notices != nil || bytes.Contains(w.out.Bytes(), []byte(" data-model="))) {
			stands(&s.Chosen, theme.ChosenScript)
		}
		switch s.Sheet {
		case "procedure":
			stands(&s.Opened, theme.OpenedScript)
		case "search":
			stands(&s.Asked, theme.AskedScript)
		case "jobs":
			s.Script = ""
			stands(&s.Last, theme.JobsScript)
		}
	}
	if err != nil {
		return Output{}, fmt.Errorf("%s: %w", w.path, err)
	}
	file, err := w.address(s)
	if err != nil {
		return Output{}, fmt.Errorf("%s: %w", w.path, err)
	}
	data, err := w.data.json(w.lang, w.book.System)
	if err != nil {
		return Output{}, fmt.Errorf("%s: %w", w.path, err)
	}
	s.Data = template.JS(data)
	s.Sides = w.sides(s.Frame)
	body := w.out
	w.out = newBuffer()
	w.template("page", s)
	w.out.Write(body.Bytes())
	w.template("page-end", s)
	html := w.inOrder(w.out.Bytes())
	pool.Put(body.Buffer)
	pool.Put(w.out.Buffer)
	if w.err != nil {
		return Output{}, fmt.Errorf("%s: %w", w.path, w.err)
	}
	blank(html)
	return Output{html, w.reads.sorted(), file, w.scripts(s)}, nil
}

// blank makes blanks of the control characters that HTML may not hold, and U+FFFD of what is no character (HTML, 13.2.3.5): a
// text may have one by mistake, or as a reference.
func blank(html []byte) {
	for i, c := range html {
		switch {
		case !mayControl[c]:
		case c < 0xC2:
			html[i] = ' '
		case c == 0xC2:
			if html[i+1] < 0xA0 { // U+0080 to U+009F
				html[i], html[i+1] = ' ', ' '
			}
		default:
			if r, n := utf8.DecodeRune(html[i:]); r&0xFFFE == 0xFFFE || 0xFDD0 <= r && r <= 0xFDEF {
				copy(html[i:i+n], "\uFFFD ")
			}
		}
	}
}

// mayControl tells of each byte whether one of these can begin with it. The page is looked through by it in half the time.
var mayControl = func() (may [256]bool) {
	for c := range may {
		may[c] = c < ' ' && c != '\t' && c != '\n' && c != '\r' && c != '\f' || c == 0x7F || c == 0xC2 || c == 0xEF || 0xF0 <= c && c <= 0xF4
	}
	return may
}()

// address gives a page its address on the host, and a picture of it to take the
// page from paper to a phone.
func (w *writer) address(s *shell) (File, error) {
	s.Address = w.book.At(w.path, "")
	if s.Address == "" || s.Print == "" || s.Sheet == "jobs" || s.Sheet == "search" {
		s.Address = "" // what these show is on the phone alone
		return File{}, nil
	}
	c, err := code.Medium(s.Address)
	if err != nil {
		return File{}, err
	}
	picture, err := c.PNG()
	file := File{handbook.CodePath(w.path), picture}
	s.Code, s.CodeSize = w.rel(file.Path), c.Modules()
	return file, err
}

// say writes words of the theme into the page's text.
func (w *writer) say(key string) {
	switch words := w.words.Say(key).(type) {
	case template.HTML:
		w.out.WriteString(string(words))
	case string:
		w.out.escaped(words)
	}
}

// template writes a template of the theme; the first error is kept for finish.
func (w *writer) template(name string, data any) { w.fill(w.out, name, data) }

func (w *writer) fill(out io.Writer, name string, data any) {
	if err := w.theme.Templates.ExecuteTemplate(out, name, data); err != nil && w.err == nil {
		w.err = err
	}
}

// facts are the ruled cells at the head of a sheet.
func (w *writer) facts(p *handbook.Page) []fact {
	var facts []fact
	add := func(key, text string) {
		if text != "" {
			facts = append(facts, fact{Name: w.words.Say(key), Text: text})
		}
	}
	if q := p.Procedure; q != nil {
		if q.Symptom != p.Title {
			add("fact.symptom", q.Symptom)
		}
		var states, hazards []string
		for _, s := range q.States {
			states = append(states, w.in(w.state(s).Title))
		}
		dangers := q.Hazards
		if p.Translation != nil && p.Translation.Of.Procedure != nil {
			dangers = p.Translation.Of.Procedure.Hazards // as many as the source knows
		}
		for _, z := range dangers {
			hazards = append(hazards, w.in(w.hazard(z).Title))
		}
		add("fact.state", w.words.List(states...))
		add("fact.hazards", w.words.List(hazards...))
		add("fact.equipment", w.words.List(q.Equipment...))
	}
	add("fact.models", w.modelNames(p.Applicability))
	add("fact.revised", w.words.Day(p.Revised))
	if p.CheckBy != "" {
		facts = append(facts, w.dayFact("fact.checkBy", p.CheckBy))
	}
	return facts
}

// dayFact is a day by which something is to be done.
func (w *writer) dayFact(key, day string) fact { return fact{w.words.Say(key), w.words.Day(day), day} }

func (w *writer) translation(lang, path string) translation {
	return translation{lang, w.languageName(lang), w.rel(path)}
}

// languageName is what a language calls itself.
func (w *writer) languageName(lang string) string {
	words := w.theme.Words(lang)
	if words.Lang != lang && !strings.HasPrefix(lang, words.Lang+"-") {
		return lang
	}
	return words.Word("page.language")
}

func (w *writer) modelNames(models []*handbook.Model) string {
	var names []string
	for _, m := range models {
		names = append(names, w.in(w.model(m).Title))
	}
	return w.words.List(names...)
}

// foreign is a model that a sheet does not hold for, and what says so.
type foreign struct{ ID, Text string }

// holdsFor says for which models a sheet holds.
func (w *writer) holdsFor(s *shell, models []*handbook.Model) {
	s.ModelIDs = modelIDs(models)
	if len(models) == 0 || len(models) == len(w.book.Models) {
		return
	}
	var titles []string
	for _, m := range models {
		titles = append(titles, w.in(w.model(m).Title))
	}
	list := w.words.List(titles...)
	for _, m := range w.book.Models {
		if !slices.Contains(models, m) {
			s.Foreign = append(s.Foreign, foreign{m.ID, w.words.Fill("model.others", "model", w.in(w.model(m).Title), "models", list)})
		}
	}
}

func modelIDs(models []*handbook.Model) string {
	var ids []string
	for _, m := range models {
		ids = append(ids, m.ID)
	}
	return strings.Join(ids, " ")
}

// rel returns the relative link from this page to a file of the edition.
func (w *writer) rel(to string) string { return relative(w.path, to) }

// scripts are the files of scripts that a page loads.
func (w *writer) scripts(s *shell) (names []string) {
	for _, name := range []string{s.Script, s.Range, s.Plot, s.Due, s.Job, s.Check, s.Picture} {
		if name != "" {
			names = append(names, name)
		}
	}
	if s.PracticeData != "" {
		names = append(names, scriptPath(theme.PracticeScript, w.lang))
	}
	return names
}

// scriptNames are the scripts that have a file, with its name.
var scriptNames = map[theme.Entry]string{
	theme.PlainScript: "plain", theme.PageScript: "page", theme.BenchScript: "bench", theme.JobsScript: "jobs",
	theme.RecordScript: "record", theme.CodeScript: "qr", theme.ReadScript: "read", theme.PlotScript: "plot",
	theme.PictureScript: "picture", theme.CheckScript: "check", theme.PracticeScript: "practice", theme.JobScript: "job",
	theme.BarScript: "bar", theme.SearchScript: "search", theme.ModelsScript: "models", theme.HeldScript: "held",
	theme.DueScript: "due", theme.RangeScript: "range",
}

func scriptPath(entry theme.Entry, lang string) string {
	return path.Join("assets", scriptNames[entry]+"-"+lang+".js")
}

// behind are scripts that another one loads, and styles that it brings.
var (
	scriptsBehind = map[theme.Entry][]theme.Entry{theme.RecordScript: {theme.CodeScript, theme.ReadScript}}
	styleBehind   = map[theme.Entry]theme.StyleEntry{
		theme.PracticeScript: theme.PracticeStyle, theme.JobScript: theme.JobStyle, theme.BarScript: theme.JobStyle, theme.PictureScript: theme.PictureStyle,
	}
)

// Shared returns the files that all pages share: of scripts and of styles that these bring those that a page
// loads, as Output.Scripts tells. The edition's name and date
// stand in one of them alone, so that a new edition does not change every page.
func (r *Renderer) Shared(loaded map[string]bool) ([]File, error) {
	files, err := r.installFiles()
	if err != nil {
		return nil, err
	}
	styles := map[theme.StyleEntry]bool{theme.PrintStyle: true}
	for _, lang := range r.book.Languages {
		files = append(files, r.printStyle(lang))
		scripts := []theme.Entry{theme.HeldScript}
		for entry := range scriptNames {
			if loaded[scriptPath(entry, lang)] {
				scripts = append(append(scripts, entry), scriptsBehind[entry]...)
			}
		}
		slices.Sort(scripts)
		for _, entry := range scripts {
			script, err := r.theme.Script(entry, lang)
			if err != nil {
				return nil, err
			}
			files = append(files, File{scriptPath(entry, lang), script})
			if style, ok := styleBehind[entry]; ok {
				styles[style] = true
			}
		}
	}
	for _, entry := range slices.Sorted(maps.Keys(styles)) {
		style, err := r.theme.Style(entry)
		if err != nil {
			return nil, err
		}
		files = append(files, File{stylePath(entry), style})
	}
	if r.book.Edition == "" && r.book.Date == "" && r.book.CheckBy == "" {
		return append(files, File{"assets/edition.js", []byte("// The edition has no name.\n")}), nil
	}
	var days map[string]string
	if r.book.Date != "" {
		days = map[string]string{}
		for _, lang := range r.book.Languages {
			days[lang] = r.theme.Words(lang).Day(r.book.Date)
		}
	}
	edition, err := json.Marshal(struct {
		Title   string            `json:"title"`
		Edition string            `json:"edition"`
		Date    string            `json:"date,omitempty"`
		CheckBy string            `json:"checkBy,omitempty"`
		Days    map[string]string `json:"days,omitempty"`
	}{r.book.Title.In(""), r.book.Edition, r.book.Date, r.book.CheckBy, days})
	if err != nil {
		return nil, err
	}
	return append(files, File{"assets/edition.js", fmt.Appendf(nil, "self.benchleafEdition&&benchleafEdition(%s)\n", edition)}), nil
}
