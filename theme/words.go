package theme

import (
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Words are the texts of one language, by key: those of the page and those of
// the calculators.
type Words struct {
	Lang    string // of the texts
	text    map[string]string
	foreign bool // the page is in a language without words
}

// fallback is the language of a page in a language without words.
const fallback = "en"

// Words returns the words for a page's language (a BCP 47 tag): the tag's own,
// else those of its base language, else the English ones.
func (t *Theme) Words(lang string) *Words {
	for tag := lang; tag != ""; tag = tag[:max(0, strings.LastIndexByte(tag, '-'))] {
		if w, ok := t.words[tag]; ok {
			return w
		}
	}
	return &Words{fallback, t.words[fallback].text, lang != ""}
}

// Word returns the text of a key; the key itself if there is none, so that a
// slip shows on the page instead of a hole.
func (w *Words) Word(key string) string {
	if s, ok := w.text[key]; ok {
		return s
	}
	return key
}

// Say is Word for the text of a page: words in another language than the page's say so,
// and keep their direction. In an attribute a template leaves the tags out.
func (w *Words) Say(key string) any { return w.Marked(w.Word(key)) }

// Marked does that with a text made of words.
func (w *Words) Marked(text string) any {
	if !w.foreign || text == "" {
		return text
	}
	return template.HTML("<span" + string(w.Mark()) + ">" + template.HTMLEscapeString(text) + "</span>")
}

// Mark is the same as attributes of an element that holds such words alone.
func (w *Words) Mark() template.HTMLAttr {
	if !w.foreign {
		return ""
	}
	return ` lang="` + fallback + `" dir="ltr"`
}

// English marks an element whose text is English in every language, such as the name of a standard.
func (w *Words) English() template.HTMLAttr {
	if w.Lang == fallback {
		return w.Mark()
	}
	return ` lang="` + fallback + `" dir="ltr"`
}

// Isolated is Word for a script: words in another language than the page's are an
// isolate, which keeps their direction wherever they stand (Unicode Standard Annex 9, 2.4).
func (w *Words) Isolated(key string) string {
	if w.foreign {
		return LeftToRight + w.Word(key) + EndIsolate
	}
	return w.Word(key)
}

// Has reports whether a key has a text.
func (w *Words) Has(key string) bool {
	_, ok := w.text[key]
	return ok
}

// Fill returns the text of a key with each {name} replaced by the value that
// follows the name in pairs. In a text from right to left each value keeps its own order: "10 to 20 V" begins with
// ten from there too.
func (w *Words) Fill(key string, pairs ...string) string {
	for i := 0; i+1 < len(pairs); i += 2 {
		pairs[i] = "{" + pairs[i] + "}"
		if pairs[i+1] != "" && Direction(w.Lang) == "rtl" {
			pairs[i+1] = AsItsFirst + pairs[i+1] + EndIsolate
		}
	}
	return strings.NewReplacer(pairs...).Replace(w.Word(key))
}

// List is several texts in one sentence, as the language parts them. In one that is written from right to left they follow
// one another from there, and each has its own order.
func (w *Words) List(texts ...string) string { return w.parted("list.comma", texts) }

// Series does that with texts that may have commas.
func (w *Words) Series(texts ...string) string { return w.parted("list.semicolon", texts) }

func (w *Words) parted(key string, texts []string) string {
	if len(texts) < 2 || Direction(w.Lang) != "rtl" {
		return strings.Join(texts, w.Word(key))
	}
	return rightToLeft + AsItsFirst + strings.Join(texts, EndIsolate+w.Word(key)+AsItsFirst) + EndIsolate
}

// Day is a day as the language says it, from its form in data (ISO 8601). In a page without words of its own, and
// where it is no day, it stays as it is.
func (w *Words) Day(iso string) string {
	day, err := time.Parse(time.DateOnly, iso)
	if err != nil || w.foreign {
		return iso
	}
	months := strings.Fields(w.Word("date.months"))
	return strings.NewReplacer("{day}", strconv.Itoa(day.Day()), "{month}", months[day.Month()-1], "{year}", strconv.Itoa(day.Year())).Replace(w.Word("date.day"))
}

// loadWords reads messages/<language>/*.json, each a flat object.
func loadWords(files fs.FS) (map[string]*Words, error) {
	names, err := fs.Glob(files, "messages/*/*.json")
	if err != nil {
		return nil, err
	}
	all := map[string]*Words{}
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		var m map[string]string
		if err := json.Unmarshal(text, &m); err != nil {
			return nil, fmt.Errorf("theme/%s: %w", name, err)
		}
		lang := path.Base(path.Dir(name))
		if all[lang] == nil {
			all[lang] = &Words{Lang: lang, text: map[string]string{}}
		}
		maps.Copy(all[lang].text, m)
	}
	if all[fallback] == nil {
		return nil, fmt.Errorf("theme: no messages in %q", fallback)
	}
	for lang, w := range all {
		if err := w.agrees(all[fallback]); err != nil {
			return nil, fmt.Errorf("theme: messages in %q: %w", lang, err)
		}
	}
	return all, nil
}

// agrees tells what of the English words is missing in a language or fills otherwise, and what is its own.
func (w *Words) agrees(english *Words) error {
	var wrong []error
	for _, key := range slices.Sorted(maps.Keys(english.text)) {
		text, ok := w.text[key]
		switch {
		case !ok:
			wrong = append(wrong, fmt.Errorf("%s is missing", key))
		case !slices.Equal(places(text), places(english.text[key])):
			wrong = append(wrong, fmt.Errorf("%s fills %v, not %v", key, places(text), places(english.text[key])))
		}
	}
	for _, key := range slices.Sorted(maps.Keys(w.text)) {
		if _, ok := english.text[key]; !ok {
			wrong = append(wrong, fmt.Errorf("%s is in no other language", key))
		}
	}
	return errors.Join(wrong...)
}

// places are the names that a text has in braces, sorted.
func places(text string) (found []string) {
	for {
		_, rest, ok := strings.Cut(text, "{")
		if !ok {
			slices.Sort(found)
			return found
		}
		name, after, _ := strings.Cut(rest, "}")
		found, text = append(found, name), after
	}
}
