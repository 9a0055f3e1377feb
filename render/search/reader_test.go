package search

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"benchleaf/calc/unit"
)

// stated are the terms of a place with their fields, as Take wrote them, sorted.
func stated(t *Taken, place int) (list []string) {
	readRecord(t.records(nil)[place], func(id uint32, f fields) { list = append(list, fmt.Sprintf("%s %06b", t.by.terms[id], f)) })
	slices.Sort(list)
	return list
}

// asked are the same as a reading that remembers nothing has them.
func asked(l language, q Place) (list []string) {
	all := map[string]fields{}
	for _, x := range []struct {
		text string
		in   fields
	}{{q.Text, inText}, {q.Title, inTitle}, {q.Lead, inLead}, {q.Names, inNames}, {q.Hazards, inHazards}} {
		for _, t := range l.tokens(unit.Western(x.text, l.decimal), false) {
			if t.empty || t.numeral != nil && t.unit == nil && len(t.term) == 1 {
				continue
			}
			all[t.term] = all[t.term].with(x.in)
			if t.other != "" {
				all[t.other] = all[t.other].with(x.in)
			}
			if t.numeral == nil || t.unit == nil {
				continue
			}
			for _, v := range t.figures {
				if written := numberTerm(v, nil) + "~"; len(written) > 2 {
					all[written] = all[written].with(x.in)
				}
			}
		}
	}
	for term, f := range all {
		list = append(list, fmt.Sprintf("%s %06b", term, f))
	}
	slices.Sort(list)
	return list
}

// TestTakeIsReading: what a reader remembers of words, be they short or longer than it has room for, changes nothing.
func TestTakeIsReading(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and nothing in it runs side by side")
	}
	r := rand.New(rand.NewPCG(7, 11))
	letters := []rune("abcdeESsíßñ’'-ΩжКяÀ0123")
	word := func() string {
		switch r.IntN(8) {
		case 0:
			return strings.Repeat([]string{"eight", "seventeen", "жук", "zz"}[r.IntN(4)], 1+r.IntN(8))
		case 1:
			return []string{"the", "not", "won't", "los", "1,750 rpm", "−3.5 mV", "1.750", "9", "9.000", "13.1 to 14.6 V", "pull-off", "12 in-lb", "للمحرك", "الدَّم"}[r.IntN(14)]
		}
		w := make([]rune, 1+r.IntN(20))
		for i := range w {
			w[i] = letters[r.IntN(len(letters))]
		}
		return string(w)
	}
	known := make([]string, 400)
	for i := range known {
		known[i] = word()
	}
	text := func() string {
		words := make([]string, r.IntN(30))
		for i := range words {
			if words[i] = known[r.IntN(len(known))]; r.IntN(5) == 0 {
				words[i] = word()
			}
		}
		return strings.Join(words, []string{" ", "\n", ", ", " – "}[r.IntN(4)])
	}
	for _, lang := range []string{"en", "es", "ru", "ar"} {
		reader := NewReader(lang)
		for range 500 {
			page := &Page{}
			for range 1 + r.IntN(4) {
				page.Places = append(page.Places, Place{Title: text(), Lead: text(), Names: text(), Hazards: text(), Text: text()})
			}
			taken := reader.Take(page)
			for i, q := range page.Places {
				if got, want := stated(taken, i), asked(reader.language, q); !slices.Equal(got, want) {
					t.Fatalf("%s: %+v\nis taken as %q\nand read as %q", lang, q, got, want)
				}
			}
		}
	}
}

// Of a page whose texts were let go of a segment is made as of the page itself.
func TestSlim(t *testing.T) {
	pages := []*Page{
		{Path: "a.html", Key: "a", Sheet: "theory", Title: "Relay", Places: []Place{
			{Kind: Sheet, Title: "Relay", Lead: "what it does", Text: "It closes at 12 V and opens at 3.5 V."},
			{Kind: Part, ID: "coil", Title: "", Mark: "2", Text: "coil coil coil coil"},
			{Kind: Part, ID: "x", Title: "Контакт", Names: "points", Hazards: "hot relay"},
		}},
		{Path: "b.html", Key: "b", Models: []string{"m1", "m2"}, Gone: "b2", Places: []Place{{Kind: Sheet, Title: "b"}}},
		{Path: "c.html", Key: "c"},
		{Path: "d.html", Key: "d", Title: "a\x00zero", Places: []Place{{Kind: Step, ID: "a\x00", Text: "relay"}}},
		{Path: "e.html", Key: "e", Sheet: "reference", Places: []Place{{Kind: Sheet, Text: "values"}, {Kind: Value, Title: "gap"}, {Kind: Value, Title: "gap"}}},
		{Path: "f.html", Key: "f", Places: []Place{{Kind: Step, Ranges: []Range{{"v", 1, 2}}, Text: "relay"}}},
	}
	reader := NewReader("en")
	whole, slim := map[string]*Taken{}, map[string]*Taken{}
	var heads []Head
	let := 0
	for _, p := range pages {
		whole[p.Path] = reader.Take(p)
		slim[p.Path] = whole[p.Path].Slim()
		if slim[p.Path].page == nil {
			let++
		}
		if got, want := slim[p.Path].Head(), p.Head(); !reflect.DeepEqual(got, want) {
			t.Errorf("the head of %s is %+v, not %+v", p.Path, got, want)
		}
		heads = append(heads, p.Head())
	}
	plan := NewPlan(reader, "en", heads, []string{"m1", "m2"})
	tally := plan.Tally(0, whole)
	if got := plan.Tally(0, slim); !reflect.DeepEqual(got, tally) {
		t.Errorf("the tally is %+v, not %+v", got, tally)
	}
	settled := plan.Settle([]Tally{tally})
	want, err := plan.Files(0, whole, settled)
	if err != nil {
		t.Fatal(err)
	}
	got, err := plan.Files(0, slim, settled)
	if err != nil || !reflect.DeepEqual(got, want) || let != 3 {
		t.Errorf("of %d slim pages come %s, not %s: %v", let, got, want, err)
	}
}

// A vocabulary holds a bounded number of words, and each of them as it was added.
func TestVocabulary(t *testing.T) {
	v := newVocabulary()
	word := func(i int) string {
		s := fmt.Sprintf("%x", i*2654435761)
		return strings.Repeat(s, 1+i%4) // of up to some 40 bytes
	}
	for i := range mostKnown + 100 {
		if w := "x" + word(i) + "x"; i%3 > 0 {
			if _, known := v.find(w, 1, len(w)-1); known {
				t.Fatalf("%s is known before it is added", w)
			}
		}
		v.add(word(i), uint32(i))
	}
	for i := range mostKnown + 100 {
		w := "x" + word(i) + []string{"", "x", " and what follows it"}[i%3]
		term, known := v.find(w, 1, 1+len(word(i)))
		if want := i < mostKnown; known != want || known && term != uint32(i) {
			t.Fatalf("word %d, %s, is known %v with %d", i, word(i), known, term)
		}
	}
}

// BenchmarkTake takes pages of words of which few are frequent, as in texts. Between pages so much else
// is touched as the drawing of a page does.
func BenchmarkTake(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	words := make([]string, 15000)
	for i := range words {
		word := make([]byte, 2+r.IntN(9))
		for k := range word {
			word[k] = 'a' + byte(r.IntN(26))
		}
		if words[i] = string(word); i%50 == 0 {
			words[i] = fmt.Sprintf("%.1f V", r.Float64()*40)
		}
	}
	often := rand.NewZipf(r, 1.1, 8, uint64(len(words)-1))
	pages := make([]*Page, 500)
	for i := range pages {
		text := make([]string, 1000)
		for k := range text {
			text[k] = words[often.Uint64()]
		}
		pages[i] = &Page{Places: []Place{{Text: strings.Join(text, " ")}}}
	}
	reader, other := NewReader("en"), make([]byte, 1<<21)
	for b.Loop() {
		for _, p := range pages {
			for i := 0; i < len(other); i += 64 {
				other[i]++
			}
			p.taken = nil
			reader.Take(p)
		}
	}
}
