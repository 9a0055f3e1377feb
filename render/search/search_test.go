package search_test

import (
	"bufio"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"benchleaf/render/handbook"
	"benchleaf/render/page"
	"benchleaf/render/search"
	"benchleaf/render/source"
	"benchleaf/theme"
)

// within is how far down a wanted place may stand.
const within = 3

// indexOf makes the index of a handbook's language, as compile does.
func indexOf(t testing.TB, dir, lang string) (*search.Index, []*search.Page) {
	t.Helper()
	tree, _, err := source.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer tree.Close()
	book, _ := handbook.Resolve(tree)
	look, err := theme.Load()
	if err != nil {
		t.Fatal(err)
	}
	r, err := page.New(book, look, tree.ReadAsset)
	if err != nil {
		t.Fatal(err)
	}
	finder, err := r.Finder(lang)
	if err != nil {
		t.Fatal(err)
	}
	search.SameEvents(t, lang, finder.HTML)
	pages := []*search.Page{search.ReadFinder(page.FinderPath(book, lang), book.Title.In(lang), finder.HTML)}
	if name := page.ModelsPath(book, lang); name != "" {
		models, err := r.Models(lang)
		if err != nil {
			t.Fatal(err)
		}
		pages = append(pages, search.ReadModels(book, lang, name, r.ModelsTitle(lang), models.HTML))
	}
	for _, p := range book.Pages {
		if p.Lang != lang || p.Index {
			continue
		}
		out, err := r.Page(p)
		if err != nil {
			t.Fatal(err)
		}
		search.SameEvents(t, p.Path, out.HTML)
		pages = append(pages, search.Read(book, p, out.HTML))
	}
	var models []string
	for _, m := range book.Models {
		models = append(models, m.ID)
	}
	return search.Build(lang, pages, book.Synonyms[lang], models), pages
}

// wanted is a line of a list of queries.
type wanted struct {
	query  string
	places []string
}

func queries(t *testing.T, file string) (list []wanted) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := strings.TrimSpace(lines.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		query, places, ok := strings.Cut(line, " -> ")
		if !ok {
			t.Fatalf("%s: %q wants nothing", file, line)
		}
		list = append(list, wanted{query, strings.Split(places, " | ")})
	}
	return list
}

// name is a place as the lists of queries write it.
func name(h search.Hit) string {
	if h.Place.ID == "" {
		return h.Page.Key
	}
	return h.Page.Key + "#" + h.Place.ID
}

// TestQueries holds the ranking to what a technician types and would want.
func TestQueries(t *testing.T) {
	for _, book := range []struct{ dir, lang, list string }{
		{"../../content", "en", "en.txt"},
		{"../../content", "es", "demo-es.txt"},
		{"../../testdata/search/es", "es", "es.txt"},
		{"../phone/testdata/rtl", "ar", "ar.txt"},
	} {
		index, pages := indexOf(t, book.dir, book.lang)
		known := map[string]bool{}
		for _, p := range pages {
			for i := range p.Places {
				known[name(search.Hit{Page: p, Place: &p.Places[i]})] = true
			}
		}
		list := queries(t, filepath.Join("..", "..", "testdata", "search", book.list))
		for _, q := range list {
			if !slices.ContainsFunc(q.places, func(p string) bool { return known[p] }) {
				t.Errorf("%s: none of the places wanted for %q exists: %v", book.lang, q.query, q.places)
			}
			hits := index.Find(q.query, "")
			first := hits[:min(within, len(hits))]
			if slices.ContainsFunc(first, func(h search.Hit) bool { return slices.Contains(q.places, name(h)) }) {
				continue
			}
			var got []string
			for _, h := range hits[:min(6, len(hits))] {
				got = append(got, name(h))
			}
			t.Errorf("%s: %q gives %v, want one of %v in the first %d", book.lang, q.query, got, q.places, within)
		}
		t.Logf("%s: %d queries", book.lang, len(list))
	}
}

// TestModelNames: a model's name leads to each sheet that is not for all models, and is for it.
func TestModelNames(t *testing.T) {
	index, pages := indexOf(t, "../../content", "en")
	for model, query := range map[string]string{"quince-150": "Quince", "damson-175": "Damson"} {
		found := map[string]bool{}
		for _, h := range index.Find(query, "") {
			found[h.Page.Path] = true
		}
		for _, p := range pages {
			if slices.Contains(p.Models, model) && !found[p.Path] {
				t.Errorf("%q does not lead to %s", query, p.Path)
			}
		}
	}
}
