package begin

import (
	"slices"
	"strconv"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// Field is what one needs to know of something to begin it: a flag, or a question.
type Field struct {
	Key   string // the flag
	About string
	// Needed: it has to be said, be it empty.
	Needed bool

	noun    string // what remarks call a choice
	mend    string // what to do about one that is not there
	choices func(d *Draft) []string
	usual   func(d *Draft) string
	check   func(d *Draft, value string) (remark.Remark, bool)
}

// MostChoices is how many a question or a remark lists.
const MostChoices = 12

// Choices are the values that there are, or nil: any text.
func (f *Field) Choices(d *Draft) []string {
	if f.choices == nil {
		return nil
	}
	return f.choices(d)
}

// Idle tells that there is nothing to choose.
func (f *Field) Idle(d *Draft) bool { return f.choices != nil && len(f.choices(d)) == 0 }

// Settled tells that there is no use in asking: one choice, which is the usual one.
func (f *Field) Settled(d *Draft) bool {
	return f.choices != nil && len(f.choices(d)) == 1 && f.Usual(d) != ""
}

// Usual is the value where none is given.
func (f *Field) Usual(d *Draft) string {
	if f.usual == nil {
		return ""
	}
	return f.usual(d)
}

// place is where a mistake in the field stands.
func (f *Field) place() remark.Place { return remark.Place{File: "-" + f.Key} }

// Missing is the remark on a value that has to be said.
func (f *Field) Missing(d *Draft) remark.Remark {
	why := remark.KeyMissing.At(remark.Place{File: d.Name}, f.Key, "a "+d.Kind.Name)
	if f.Idle(d) {
		return why.Instead("%s", f.mend)
	}
	return why.Instead("Say it with -%s: %s.", f.Key, f.About)
}

// Check tells what is wrong with a value that was given.
func (f *Field) Check(d *Draft, value string) (why remark.Remark, ok bool) {
	if strings.TrimSpace(value) == "" && !f.Needed {
		return remark.ValueEmpty.At(f.place(), f.Key).Instead("Write a value, or leave it out."), false
	}
	if f.check != nil {
		if why, ok = f.check(d, value); !ok {
			why.Place = f.place()
			return why, false
		}
	}
	if f.choices == nil {
		return why, true
	}
	names := f.choices(d)
	if slices.Contains(names, value) {
		return why, true
	}
	why = remark.ReferenceUnknown.At(f.place(), f.noun, value)
	switch near := remark.Nearest(value, names); {
	case near != "":
		why = why.Instead("Did you mean `%s`?", near)
	case f.mend != "":
		why = why.Instead("%s", f.mend)
	case len(names) > 0 && len(names) <= MostChoices:
		why = why.Instead("There is: %s.", strings.Join(names, ", "))
	}
	return why, false
}

var (
	ownLanguage = &Field{Key: "language", About: "language, such as en",
		usual: func(*Draft) string { return "en" },
		check: func(_ *Draft, value string) (remark.Remark, bool) {
			return remark.ValueText.At(remark.Place{}, value, "language", "en or es"), handbook.IsLanguage(value)
		}}
	pageLanguage = &Field{Key: "language", About: "language", noun: "language",
		choices: func(d *Draft) []string { return d.Book.Languages },
		usual:   func(d *Draft) string { return d.Book.Languages[0] }}
	title     = &Field{Key: "title", About: "title", usual: titleOfName}
	publisher = &Field{Key: "publisher", About: "publisher", usual: func(*Draft) string { return "Example Engines" }}
	symptom   = &Field{Key: "symptom", About: "what the customer observes",
		usual: func(d *Draft) string { return d.Values["title"] }}
	state = &Field{Key: "state", About: "engine state in which that shows", noun: "engine state",
		choices: func(d *Draft) (names []string) {
			for _, s := range d.Book.States {
				names = append(names, s.ID)
			}
			return names
		},
		usual: func(d *Draft) string {
			if len(d.Book.States) == 0 {
				return ""
			}
			return d.Book.States[0].ID
		}}
	spec = &Field{Key: "spec", About: "specification that it measures", noun: "specification",
		choices: func(d *Draft) (names []string) {
			for _, s := range d.Book.Specs {
				names = append(names, s.ID)
			}
			return names
		},
		check: func(d *Draft, value string) (remark.Remark, bool) {
			p := procedureDraft{Draft: d, Spec: specOf(d, value)}
			p.limits()
			return remark.ReadingLimit.At(remark.Place{}, value, "any model").Instead("Give the specification a limit, or name another one."),
				p.Spec == nil || p.Low || p.High
		}}
	superseded = &Field{Key: "procedure", About: "procedure that it supersedes", Needed: true, noun: "procedure",
		mend: "Name a procedure by its page, without language and ending, such as procedures/no-charge.",
		choices: func(d *Draft) (keys []string) {
			for _, p := range d.Book.Pages {
				if p.Procedure != nil && !slices.Contains(keys, p.Key) {
					keys = append(keys, p.Key)
				}
			}
			return keys
		}}
	unitOf = &Field{Key: "unit", About: `unit, as on the meter; "" for a plain number`, Needed: true,
		check: func(_ *Draft, value string) (remark.Remark, bool) {
			_, ok := unit.Lookup(value)
			why := remark.UnitUnknown.At(remark.Place{}, value)
			if near := unit.Nearest(value); near != "" {
				why = why.Instead("Did you mean `%s`?", near)
			}
			return why, ok || value == ""
		}}
	nominal    = &Field{Key: "nominal", About: "nominal value", check: checkFigure}
	least      = &Field{Key: "min", About: "least value", check: checkFigure}
	greatest   = &Field{Key: "max", About: "greatest value", check: checkFigure}
	conditions = &Field{Key: "conditions", About: "conditions under which it holds"}
	// otherLanguage is one that the page is not in.
	otherLanguage = &Field{Key: "language", About: "language to translate it into", Needed: true,
		noun: "language", mend: "Add it to `languages` in handbook.yaml first.",
		choices: otherLanguages,
		usual: func(d *Draft) string {
			if others := otherLanguages(d); len(others) == 1 {
				return others[0]
			}
			return ""
		},
		check: func(d *Draft, value string) (remark.Remark, bool) {
			p := pageOf(d)
			return remark.IDDuplicate.At(remark.Place{}, value, p.Source.Path).Instead("Name another language than the page's."), value != p.Lang
		}}
)

// checkFigure wants a number as specifications have it.
func checkFigure(_ *Draft, value string) (remark.Remark, bool) {
	_, err := strconv.ParseFloat(value, 64)
	plain := strings.Trim(value, "+-.0123456789") == ""
	return remark.ValueText.At(remark.Place{}, value, "number", "2 or 0.50, without its unit"), err == nil && plain
}

// titleOfName makes a title of a name: no-charge is "No charge".
func titleOfName(d *Draft) string {
	if d.Kind.Whole {
		return "Example handbook"
	}
	words := strings.ReplaceAll(d.Name, "-", " ")
	return strings.ToUpper(words[:1]) + words[1:]
}

func otherLanguages(d *Draft) []string {
	of := pageOf(d).Lang
	return slices.DeleteFunc(slices.Clone(d.Book.Languages), func(lang string) bool { return lang == of })
}
