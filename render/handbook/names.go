package handbook

import (
	"cmp"
	"fmt"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"benchleaf/render/code"
	"benchleaf/render/picture"
	"benchleaf/render/remark"
)

// ofEdition tells whether a path, in lower case, is one that every edition keeps
// for itself: what all pages share, what it says of itself, and what a phone asks
// for to keep it.
func ofEdition(name string) bool {
	folder, _, _ := strings.Cut(name, "/")
	switch folder {
	case "assets", "by", "icons", codeFolder, FactsFolder, "manifest", "packs", "manifest.json", "manifest.sig", "app.webmanifest", "worker.js":
		return true
	}
	return false
}

// FactsFolder is where an edition keeps the facts by which it is compared.
const FactsFolder = "facts"

// JobsFile is the name of a language's jobs page, which lies beside its finder.
const JobsFile = "jobs.html"

// finder is where the finder of a language lies; the first language's is the
// handbook's first page.
func (h *Handbook) finder(lang string) string {
	if lang == h.Languages[0] {
		return "index.html"
	}
	return lang + "/index.html"
}

// SearchFile is the name of a language's search page, which lies there too.
const SearchFile = "search.html"

// ChangedFile is the name of a language's page of what changed since an older edition, which
// lies there too.
const ChangedFile = "changed.html"

// ModelsFile is the name of a language's page of models, which lies there too.
const ModelsFile = "models.html"

// names checks what the files of the edition will be called: no two alike, for
// systems that do not tell upper and lower case apart, and none that some
// system cannot hold.
func (r *resolver) names() {
	taken := map[string]string{}
	for _, lang := range r.book.Languages {
		finder := folded(r.book.finder(lang))
		taken[finder] = "the finder"
		taken[path.Join(path.Dir(finder), JobsFile)] = "the jobs page"
		taken[path.Join(path.Dir(finder), SearchFile)] = "the search page"
		taken[path.Join(path.Dir(finder), ChangedFile)] = "the page of what changed"
		if r.book.Labels != nil {
			taken[path.Join(path.Dir(finder), LabelsFile)] = "the page of labels"
		}
		if r.book.HasSerials() {
			taken[path.Join(path.Dir(finder), ModelsFile)] = "the page of models"
		}
	}
	folders := map[string]string{} // a file in each
	check := func(from, to string, finder bool) (free bool) {
		place := remark.Place{File: from}
		key := folded(to)
		first, ok := taken[key]
		for folder := path.Dir(key); !ok && folder != "."; folder = path.Dir(folder) {
			first, ok = taken[folder] // which cannot be a folder as well
		}
		if in := folders[key]; !ok && in != "" {
			first, ok = "the folder of "+in, true
		}
		switch {
		case ofEdition(key):
			r.remarks.Add(remark.FileName, place, "a file of every edition")
		case ok && !(finder && first == "the finder"):
			r.remarks.Add(remark.FileName, place, first)
		default:
			taken[key] = from
			for folder := path.Dir(key); folder != "." && folders[folder] == ""; folder = path.Dir(folder) {
				folders[folder] = from
			}
			return true
		}
		return false
	}
	fit := func(from string) {
		if why := unfit(from); why != "" {
			r.remarks.Add(remark.NameUnfit, remark.Place{File: from}, why)
		}
	}
	for _, p := range r.book.Pages {
		fit(p.Source.Path)
		// Of the pages that come of one, these have longer names in this order.
		longest := cmp.Or(p.PracticePath(), p.FlowPath(), p.Path)
		if n := len(r.book.At(longest, "")); n > code.MostBytes {
			r.remarks.Add(remark.TextLimit, remark.Place{File: p.Source.Path}, "the page's address", fmt.Sprintf("%d bytes", n), fmt.Sprint(code.MostBytes))
		}
		check(p.Source.Path, p.Path, p.Index)
		if flow := p.FlowPath(); flow != "" {
			check(p.Source.Path, flow, false)
		}
		if practice := p.PracticePath(); practice != "" {
			check(p.Source.Path, practice, false)
			check(p.Source.Path, p.PracticeDataPath(), false)
		}
	}
	for _, name := range r.book.Assets {
		fit(name)
		if !check(name, name, false) || !picture.IsPicture(name) {
			continue
		}
		for _, variant := range r.asset(name).Info.Sources {
			if variant.Path != name {
				check(name, variant.Path, false)
			}
		}
	}
}

// folded is a path as systems see it that tell neither upper and lower case apart nor an accent
// that is part of its letter from one that follows it (Unicode, normalization form C and case folding).
func folded(name string) string {
	for _, c := range []byte(name) {
		if c >= utf8.RuneSelf {
			return norm.NFC.String(cases.Fold().String(norm.NFC.String(name)))
		}
	}
	return strings.ToLower(name)
}

// FlowPath is where the picture of a procedure lies in the edition, beside its
// page; "" for a page without steps. The second ending keeps it apart from pages
// that an author is likely to write, such as fuel.md and fuel-flow.md.
func (p *Page) FlowPath() string {
	if p.Index || p.Procedure == nil || len(p.Procedure.Steps) == 0 {
		return ""
	}
	return strings.TrimSuffix(p.Path, path.Ext(p.Path)) + ".flow.html"
}

// unfit says why a path cannot be held by every file system, or "". The rules
// are those of Windows, which are the strictest (Microsoft, "Naming Files,
// Paths, and Namespaces"); a name of 255 bytes is the longest that Linux takes.
func unfit(name string) string {
	for part := range strings.SplitSeq(name, "/") {
		stem, _, _ := strings.Cut(strings.ToUpper(part), ".")
		stem = strings.TrimRight(stem, " ")
		switch {
		case strings.ContainsAny(part, `<>:"\|?*`):
			return "it holds one of < > : \" \\ | ? *"
		case strings.ContainsFunc(part, func(c rune) bool { return unicode.IsControl(c) || c == unicode.ReplacementChar }):
			return "it holds a control character"
		case strings.ContainsFunc(part, remark.Hidden):
			return "it holds a character that nobody sees"
		case strings.HasSuffix(part, " ") || strings.HasSuffix(strings.TrimSuffix(part, path.Ext(part)), " ") || strings.HasSuffix(part, "."):
			return "it ends in a blank or a full stop"
		case device(stem):
			return "it is the name of a device there"
		case len(part) > maxNamePart:
			return "it is too long"
		}
	}
	return ""
}

// maxNamePart leaves room for the ending of a page.
const maxNamePart = 240

func device(stem string) bool {
	switch stem {
	case "CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$":
		return true
	}
	number, of := strings.CutPrefix(stem, "COM")
	if !of {
		number, of = strings.CutPrefix(stem, "LPT")
	}
	return of && utf8.RuneCountInString(number) == 1 && strings.Contains("0123456789¹²³", number)
}
