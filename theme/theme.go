// Package theme holds what a technician sees: templates, styles, scripts and
// the words of the page, all embedded.
//
// In: nothing but its own files. Out: parsed templates, the words of each
// language, the style sheets, and one script a language, bundled and minified.
// It may import nothing of the project.
package theme

import (
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"sync"
)

//go:embed templates/*.html style/*.css script/*.ts worker/*.ts desk messages
var files embed.FS

// Theme is the whole theme, ready for use by several goroutines.
type Theme struct {
	Templates *template.Template

	bound bool // the scripts are those of a handbook in one file
	desk  bool // the pages are shown while they are written
}

// scriptKind is an entry in a language, in whose pages it is or not, for pages of a Theme.
type scriptKind struct {
	entry                Entry
	lang                 string
	foreign, bound, desk bool
}

// Entry is what a script is made from: the file of the folder script that takes
// in all the others that a page needs. A page loads one.
type Entry string

// The entries.
const (
	PlainScript Entry = "plain" // of a page where nothing is answered or entered
	PageScript  Entry = "main"  // of a page with steps and no calculators
	BenchScript Entry = "bench" // of a page with calculators
	// JobsScript stands in the jobs page itself, which alone has it.
	JobsScript Entry = "jobs"
	// RecordScript is loaded besides, by the jobs page, for a job that is open.
	RecordScript Entry = "jobs-record"
	// CodeScript is loaded besides, when the jobs page draws a QR code.
	CodeScript Entry = "qr"
	// ReadScript is loaded besides, when the jobs page takes a record in.
	ReadScript Entry = "jobs-read"
	// PracticeScript is loaded besides another one while somebody practises.
	PracticeScript Entry = "practice"
	// PlotScript is loaded besides, by a page with plots. It has the curves that expect a stopwatch's marks too.
	PlotScript Entry = "plot"
	// PictureScript is loaded besides, by a page with pictures that open large. It
	// brings its own style.
	PictureScript Entry = "picture"
	// CheckScript is loaded besides, by a page with self-checks.
	CheckScript Entry = "selfcheck"
	// JobScript is loaded last, by a procedure, and not needed to use it: its stopwatch,
	// what is kept of a job, and what DueScript says. It brings its own style.
	JobScript Entry = "job"
	// BarScript is that of another page with calculators: what is shown of a job wherever it is at hand.
	BarScript Entry = "jobat"
	// SearchScript is that of the search page, which loads the index besides.
	SearchScript Entry = "search"
	// ModelsScript is that of the page of models.
	ModelsScript Entry = "models"
	// HeldScript is loaded last, by every page that came from a host: it has the
	// handbook kept on the phone, and says so.
	HeldScript Entry = "held"
	// DueScript is loaded besides, by a page without JobScript that its publisher looks at again by a day.
	DueScript Entry = "due"
	// ChosenScript stands in the head of a page with values by model, AskedScript in that of the search page, and OpenedScript in a
	// procedure's body: the content policy knows them by their digests.
	ChosenScript Entry = "chosen"
	AskedScript  Entry = "asked"
	OpenedScript Entry = "opened"
	// RangeScript is loaded before all others, by a page with values that depend on the serial number.
	RangeScript Entry = "range"
	// BoundScript is the first one of a handbook in one file.
	BoundScript Entry = "bound"
	// DeskScript is the first one of a page that the desk shows, and is never in an edition.
	DeskScript Entry = "desk"
)

// StyleEntry is what a style sheet is made from, in the folder style.
type StyleEntry string

// The entries.
const (
	PageStyle StyleEntry = "main"
	// SafetyStyle stands behind it where there are safety messages.
	SafetyStyle StyleEntry = "safety"
	// TableStyle stands behind it, or another one, where there is a table.
	TableStyle StyleEntry = "table"
	// WideStyle and EdgeStyle stand behind that, for those of the text, which may be wider than the phone.
	WideStyle StyleEntry = "wide"
	EdgeStyle StyleEntry = "edge"
	// ForeignStyle stands behind the first, where a sheet does not hold for some model.
	ForeignStyle StyleEntry = "foreign"
	// AnswerStyle stands behind the first where answers are given, LeadStyle behind that where they lead somewhere.
	AnswerStyle StyleEntry = "answers"
	LeadStyle   StyleEntry = "leads"
	// WorkStyle stands behind it where something is done or filled in: steps, calculators, self-checks.
	WorkStyle       StyleEntry = "work"
	VerdictStyle    StyleEntry = "verdict"    // stands behind that where there are verdicts: steps, calculators
	StepStyle       StyleEntry = "step"       // and behind this and that of safety messages, for steps
	CalculatorStyle StyleEntry = "calculator" // and behind the verdicts', for calculators
	PlotStyle       StyleEntry = "plot"       // and this, for curves
	FlowStyle       StyleEntry = "flow"       // of a page with the picture of a procedure
	// FinderStyle, WayStyle, NarrowStyle, TimingStyle, CodesStyle, SourceStyle and RTLStyle stand behind one
	// of the others: for a finder, the bar of a procedure, that on the narrowest phones, a stopwatch, the codes of planted
	// faults, the search page of a translation, and what is written from right to left.
	FinderStyle  StyleEntry = "finder"
	WayStyle     StyleEntry = "way"
	NarrowStyle  StyleEntry = "narrow"
	TimingStyle  StyleEntry = "timing"
	CodesStyle   StyleEntry = "codes"
	SourceStyle  StyleEntry = "source"
	RTLStyle     StyleEntry = "rtl"
	JobsStyle    StyleEntry = "jobs"    // of the jobs page
	JobStyle     StyleEntry = "job"     // of what the script of jobs adds to a sheet
	PictureStyle StyleEntry = "picture" // of what a picture opens in
	CheckStyle   StyleEntry = "check"   // of self-checks; it stands behind another one
	// OpenedStyle stands behind that of a procedure that is a file of its own, for what shows before OpenedScript is there.
	OpenedStyle StyleEntry = "opened"
	// BulletinStyle stands behind another one: for what bulletins have changed.
	BulletinStyle StyleEntry = "bulletin"
	ListingStyle  StyleEntry = "listing" // of code; it stands behind another one
	MarkStyle     StyleEntry = "marks"   // of numbers on a picture; it stands behind another one
	// TranslationStyle stands behind another one, where a translation is older than its source.
	TranslationStyle StyleEntry = "translation"
	// PracticeStyle is loaded besides another one while somebody practises.
	PracticeStyle StyleEntry = "practice"
	SearchStyle   StyleEntry = "search" // of the search page
	// ChangeStyle stands behind another one where something changed since an older edition.
	ChangeStyle StyleEntry = "change"
	LabelStyle  StyleEntry = "labels" // of the page of labels; the build adds their size
	// LeftStyle stands behind another one where BarScript is loaded, which shows what is to be put back: JobStyle, which has it
	// too, comes later.
	LeftStyle StyleEntry = "left"
	// EarlyStyle stands behind that of the jobs page, for what is painted before its script is there.
	EarlyStyle StyleEntry = "early"
	// PrintStyle is loaded by every page besides its own, for paper alone.
	PrintStyle StyleEntry = "print"
	// BoundStyle is that of a handbook in one file, where pages with the others
	// stand together.
	BoundStyle StyleEntry = "bound"
	// DeskStyle is that of what DeskScript adds.
	DeskStyle StyleEntry = "desk"
)

// bundles are style sheets by their StyleEntry and scripts by their scriptKind. They come of the embedded files
// and of nothing else: each is made once, however many handbooks a process makes.
var bundles sync.Map

// bundled is a style sheet or script, made when it is first asked for.
func bundled(kind any, make func() ([]byte, error)) ([]byte, error) {
	made, ok := bundles.Load(kind)
	if !ok {
		made, _ = bundles.LoadOrStore(kind, sync.OnceValues(make))
	}
	return made.(func() ([]byte, error))()
}

// Load parses the templates. Words are read, style sheets and scripts bundled when they are first asked for.
func Load() (*Theme, error) {
	templates, err := template.New("theme").ParseFS(files, "templates/*.html", "desk/*.html")
	if err != nil {
		return nil, fmt.Errorf("theme: %w", err)
	}
	return &Theme{Templates: templates}, nil
}

// LoadBound is Load for a handbook in one file.
func LoadBound() (*Theme, error) {
	t, err := Load()
	if err == nil {
		t.bound = true
	}
	return t, err
}

// LoadDesk is Load for pages that are shown while they are written.
func LoadDesk() (*Theme, error) {
	t, err := Load()
	if err == nil {
		t.desk = true
	}
	return t, err
}

// Bound tells whether pages stand in one file.
func (t *Theme) Bound() bool { return t.bound }

// Desk tells whether pages are shown while they are written.
func (t *Theme) Desk() bool { return t.desk }

// Style returns a style sheet.
func (t *Theme) Style(entry StyleEntry) ([]byte, error) {
	return bundled(entry, func() ([]byte, error) { return bundleStyle(entry) })
}

// Worker returns the script that keeps a handbook on a phone. It has no words and
// is the same for all handbooks.
func (t *Theme) Worker() ([]byte, error) { return worker() }

var worker = sync.OnceValues(func() ([]byte, error) { return bundleEntry("worker", "worker.ts", nil) })

// Script returns a script of the pages in a language: an immediately called
// function for a classic script element.
func (t *Theme) Script(entry Entry, lang string) ([]byte, error) {
	words := t.Words(lang)
	return bundled(scriptKind{entry, words.Lang, words.foreign, t.bound, t.desk}, func() ([]byte, error) {
		return bundleScript(entry, words, map[string]bool{"bound": t.bound, "desk": t.desk})
	})
}

// sub is a folder of the embedded files.
func sub(dir string) fs.FS { return must(fs.Sub(files, dir)) }

// must is for the embedded files: all of them are there, and tests read each.
func must[T any](value T, err error) T {
	if err != nil {
		panic(err)
	}
	return value
}
