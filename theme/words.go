package theme

import (
	"encoding/json"
	"html/template"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"sync"
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
		if words, ok := catalogues[tag]; ok {
			return words()
		}
	}
	if lang == "" {
		return catalogues[fallback]()
	}
	return abroad()
}

// abroad are those of a page in a language without words.
var abroad = sync.OnceValue(func() *Words { return &Words{fallback, catalogues[fallback]().text, true} })

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

// catalogues are the words by language, of messages/<language>/*.json, each a flat object. They come of the embedded
// files and of nothing else: each is read once, and only where a page is in its language.
var catalogues = func() map[string]func() *Words {
	all := map[string]func() *Words{}
	for _, dir := range must(fs.ReadDir(files, "messages")) {
		all[dir.Name()] = sync.OnceValue(func() *Words {
			w := &Words{Lang: dir.Name()}
			for _, name := range must(fs.Glob(files, path.Join("messages", w.Lang, "*.json"))) {
				if err := json.Unmarshal(must(fs.ReadFile(files, name)), &w.text); err != nil {
					panic(err)
				}
			}
			return w
		})
	}
	return all
}()
