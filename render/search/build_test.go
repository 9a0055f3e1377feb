package search

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
)

func TestExtract(t *testing.T) {
	const sheet = `<html><head><title>Sheet</title></head><body><nav>Way</nav><main>
<div class="bulletins superseded"><ul><li><b>Superseded:</b> <a href="b">Coils</a></li></ul></div>
<header class="head"><p class="kind">Procedure</p><h1>Sheet</h1><p class="purpose">Finds&nbsp;it.</p>
<dl class="facts"><div><dt>Hazards</dt><dd>Hot surfaces</dd></div></dl></header>
<p hidden>no</p>
<section class="step" id="one" data-step="1"><h2><span class="number">1</span> Pull <b>F2</b></h2>
<p class="minutes">about 2 min</p><div><p class="hazard">Hot surfaces</p><p>Gloves.</p></div><p>Look   at
it.</p><ul class="answers"><li><a href="#x">Whole</a></li></ul>
<section class="reading" data-reading="volts"><dl><div><dt>Red lead</dt><dd>A</dd></div></dl><ul><li><a data-outcome="low" href="#x">Low</a></li></ul></section>
</section>
<section class="end" id="cause-x" data-end="cause" data-cause="x"><h2><span class="number">A</span> Fuse blown</h2><p>Fit one.</p></section>
<section class="end" id="end-hand-over" data-end="hand-over"><h2><span class="number">B</span> Hand over</h2></section>
<footer>Foot</footer></main></body></html>`
	var got []string
	places, gone := extract([]byte(sheet), "procedure")
	for _, p := range places {
		got = append(got, strings.TrimSpace(fmt.Sprintf("%c %s %s %q %q %v %s", p.Kind, p.ID, p.Mark, strings.TrimSpace(p.Title), p.Text, p.specs, p.Hazards)))
	}
	want := []string{
		`p   "" "Finds\u00a0it.\nHot surfaces" []`,
		`s one 1 "Pull F2" "Gloves.\nLook at it.\nWhole\nA" [volts] Hot surfaces`,
		`e cause-x A "Fuse blown" "Fit one." []`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}

	if gone != "Superseded: Coils" {
		t.Errorf("superseded by %q", gone)
	}

	const text = `<main><div class="intro"></div><p>First.</p><h2 id="a">Wires</h2><p>Copper.</p>
<table><tr><th>Drop</th><td><span class="spec" data-spec="feed" id="_spec-feed">0.5 V</span></td></tr><tr><td>nothing</td></tr></table>
<form class="calculator" id="c"><h3>Drop of a wire</h3><label>Length</label><script>x</script></form><p>After.</p></main>`
	got = nil
	places, _ = extract([]byte(text), "reference")
	for _, p := range places {
		got = append(got, fmt.Sprintf("%c %s %q %q %v", p.Kind, p.ID, strings.TrimSpace(p.Title), p.Text, p.specs))
	}
	want = []string{
		`p  "" "First." []`,
		`h a "Wires" "Copper.\nDrop\n0.5 V\nnothing\nAfter." [feed]`,
		`v _spec-feed "" "Drop\n0.5 V" [feed]`,
		`c c "Drop of a wire" "Length" []`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A value that one model of several has says whose it is, as the page does of values that differ.
func TestValueOfOneModel(t *testing.T) {
	title := func(s string) handbook.Words { return handbook.Words{"en": s} }
	all := []*handbook.Model{{ID: "a", Title: title("Alder 1")}, {ID: "b", Title: title("Birch 2")}}
	limit := &handbook.Limit{}
	const text = `<main><table><tr><th>Drop</th><td><span class="spec" data-spec="feed" id="_spec-feed">0.5 V</span></td></tr></table></main>`
	for _, c := range []struct {
		spec handbook.Spec
		page []*handbook.Model
		want string
	}{
		{handbook.Spec{ByModel: map[string]*handbook.Limit{"b": limit}}, all, "Birch 2\nDrop\n0.5 V\nat rest"},
		{handbook.Spec{ByModel: map[string]*handbook.Limit{"b": limit}}, all[1:], "Drop\n0.5 V\nat rest"}, // the page says it
		{handbook.Spec{ByModel: map[string]*handbook.Limit{"a": limit, "b": limit}}, all, "Drop\n0.5 V\nat rest"},
		{handbook.Spec{General: limit}, all, "Drop\n0.5 V\nat rest"},
	} {
		c.spec.ID, c.spec.Title, c.spec.Conditions = "feed", title("Drop of the feed"), title("at rest")
		h := &handbook.Handbook{Models: all, Specs: []*handbook.Spec{&c.spec}}
		page := Read(h, &handbook.Page{Lang: "en", Path: "p.html", Sheet: "reference", Applicability: c.page}, []byte(text))
		last := page.Places[len(page.Places)-1]
		if last.Kind != Value || last.Text != c.want {
			t.Errorf("%c has the text %q, want %q", last.Kind, last.Text, c.want)
		}
	}
}

// Blanks of any kind are one blank, also from one element to the next; soft hyphens are none, and what begins with the same byte is kept.
func TestBlanks(t *testing.T) {
	for html, want := range map[string]string{
		"<p> a  b\n\tc </p>":                          "a b c",
		"<p>a <b> b</b> <i>c</i>d</p>":                "a b cd",
		"<p>a</p> <p> b </p>\nc":                      "a\nb\nc",
		"<p>car\u00ADbu&shy;rettor\u00AD \u00ADx</p>": "carburettor x",
		"<p>¢ £é&nbsp;° </p>":                         "¢ £é\u00A0°",
	} {
		if places, _ := extract([]byte(html), ""); places[0].Text != want {
			t.Errorf("%q has %q, want %q", html, places[0].Text, want)
		}
	}
}

// book is a handbook of many pages with little on them.
func book(pages int) (list []*Page) {
	for i := range pages {
		title := fmt.Sprintf("Sheet %d", i)
		list = append(list, &Page{Path: fmt.Sprintf("en/p%d.html", i), Key: fmt.Sprintf("p%d", i), Title: title, Places: []Place{
			{Kind: Sheet, Title: title, Text: "engine and relay"},
			{Kind: Step, ID: "s", Title: "Pull the fuse", Text: fmt.Sprintf("word%d engine", i), Ranges: []Range{{"v", float64(i), float64(i) + 0.5}}},
		}})
	}
	return list
}

// A page's digest is another one when anything that the index has of it is.
func TestDigest(t *testing.T) {
	page := func() *Page { return &Page{Places: []Place{{Ranges: []Range{{}}}}} }
	seen := map[string]string{page().Digest(): "nothing"}
	vary := func(what string, of func(*Page) reflect.Value) {
		for i := range of(page()).NumField() {
			p := page()
			field, name := of(p).Field(i), what+of(p).Type().Field(i).Name
			switch {
			case !field.CanSet(): // what the program remembers
				continue
			case field.Kind() == reflect.Slice:
				field.Set(reflect.MakeSlice(field.Type(), 2, 2))
			case field.Kind() == reflect.String:
				field.SetString("7")
			case field.CanFloat():
				field.SetFloat(7)
			default:
				field.SetUint('7')
			}
			if other := seen[p.Digest()]; other != "" {
				t.Errorf("%s and %s have the same digest", name, other)
			}
			seen[p.Digest()] = name
		}
	}
	vary("page.", func(p *Page) reflect.Value { return reflect.ValueOf(p).Elem() })
	vary("place.", func(p *Page) reflect.Value { return reflect.ValueOf(&p.Places[0]).Elem() })
	vary("range.", func(p *Page) reflect.Value { return reflect.ValueOf(&p.Places[0].Ranges[0]).Elem() })
	a, b := page(), page()
	a.Places[0].Title, b.Places[0].Lead = "ab", "ab"
	a.Places[0].Lead, b.Places[0].Title = "c", ""
	if len(seen) < 15 || a.Digest() == b.Digest() {
		t.Errorf("%d fields are looked at; texts in another field tell pages apart: %v", len(seen), a.Digest() != b.Digest())
	}
}

func TestBuildIsTheSameInAnyOrder(t *testing.T) {
	pages := book(100)
	first, err := Build("en", pages, nil, nil).Files()
	if err != nil {
		t.Fatal(err)
	}
	slices.Reverse(pages)
	second, err := Build("en", pages, nil, nil).Files()
	if err != nil {
		t.Fatal(err)
	}
	if len(first) != 104 || len(second) != len(first) {
		t.Fatalf("%d files, then %d", len(first), len(second))
	}
	for i := range first {
		if first[i].Path != second[i].Path || !bytes.Equal(first[i].Data, second[i].Data) {
			t.Errorf("%s differs", first[i].Path)
		}
	}
}

// What is in most texts is not found in texts any more, and what is in a title is.
func TestCommonWords(t *testing.T) {
	ix := Build("en", book(100), nil, nil)
	if hits := ix.Find("engine ", ""); len(hits) != 0 {
		t.Errorf("a word of every text finds %d places", len(hits))
	}
	if hits := ix.Find("fuse ", ""); len(hits) != 100 {
		t.Errorf("a word of every title finds %d places", len(hits))
	}
	if hits := ix.Find("word7 engine", ""); len(hits) == 0 || hits[0].Page.Key != "p7" {
		t.Errorf("the rare word does not decide: %v", hits)
	}
}

func TestRanges(t *testing.T) {
	ix := Build("en", book(100), nil, nil)
	hits := ix.Find("7.25 V", "")
	if len(hits) != 1 || hits[0].Page.Key != "p7" {
		t.Errorf("7.25 V finds %v", hits)
	}
	if hits := ix.Find("7.75 V", ""); len(hits) != 0 {
		t.Errorf("7.75 V finds %v", hits)
	}
	if hits := ix.Find("7.25", ""); len(hits) != 1 || hits[0].Page.Key != "p7" {
		t.Errorf("7.25 without a unit finds %v", hits)
	}
	if hits := ix.Find("7", ""); len(hits) != 0 {
		t.Errorf("a digit finds %v", hits)
	}
}

// A figure without a unit is one that a text has, with whatever unit, and no other way to write the same quantity:
// 18000 is not 300 min, and 300 is.
func TestFiguresAlone(t *testing.T) {
	pages := book(100)
	pages[3].Places[0].Text = "Runs for 300 min"
	pages[4].Places[0].Text = "Runs at 18,000 rpm"
	ix := Build("en", pages, nil, nil)
	for query, want := range map[string]string{"18000": "p4", "300": "p3", "300 min": "p3", "5 h": "p3", "18000 s": "p3", "18000 rpm": "p4"} {
		if hits := ix.Find(query, ""); len(hits) != 1 || hits[0].Page.Key != want {
			t.Errorf("%q finds %v, want %s", query, hits, want)
		}
	}
}

// A figure without a unit is held against limits as the sheet gives them.
func TestRangesInTheirUnit(t *testing.T) {
	millivolt, _ := unit.Lookup("mV")
	var q Place
	q.add(&handbook.Limit{Min: &handbook.Number{Value: 150}, Max: &handbook.Number{Value: 200}}, millivolt)
	want := []Range{{"~v", 0.15, 0.2}, {"", 150, 200}}
	if !slices.Equal(q.Ranges, want) {
		t.Errorf("150 to 200 mV are %v, want %v", q.Ranges, want)
	}
}

// What most steps warn of is found where it is told, and what few warn of there too.
func TestHazards(t *testing.T) {
	pages := book(100)
	for i, p := range pages {
		p.Places[1].Hazards = "Carbon monoxide"
		if i < 5 {
			p.Places[1].Hazards = "Acid"
		}
	}
	pages[9].Places[0].Text = "Carbon monoxide kills, acid blinds"
	ix := Build("en", pages, nil, nil)
	if hits := ix.Find("carbon monoxide ", ""); len(hits) != 1 || hits[0].Page.Key != "p9" {
		t.Errorf("carbon monoxide finds %d places", len(hits))
	}
	if hits := ix.Find("acid ", ""); len(hits) != 6 || hits[0].Page.Key != "p9" {
		t.Errorf("acid finds %d places", len(hits))
	}
}

// Words of grammar neither count nor are looked for, but where there is no other.
func TestGrammar(t *testing.T) {
	pages := book(100)
	pages[3].Places[0].Text = "offset"
	ix := Build("en", pages, nil, nil)
	for _, query := range []string{"word7", "what is it with word7 when", "is this the word7?"} {
		if hits := ix.Find(query+" ", ""); len(hits) != 1 || hits[0].Page.Key != "p7" || hits[0].Score != ix.Find("word7 ", "")[0].Score {
			t.Errorf("%q finds %v", query, hits)
		}
	}
	if hits := ix.Find("of", ""); len(hits) != 1 || hits[0].Page.Key != "p3" {
		t.Errorf("of, the beginning of offset, finds %v", hits)
	}
}

func TestSynonyms(t *testing.T) {
	pages := []*Page{
		{Path: "a.html", Key: "a", Title: "Will not fire", Places: []Place{{Kind: Sheet, Title: "Will not fire"}}},
		{Path: "b.html", Key: "b", Title: "Carburettor", Places: []Place{{Kind: Sheet, Title: "Carburettor"}}},
	}
	ix := Build("en", pages, [][]string{{"carburettor", "carb", "carburetor"}, {"will not fire", "no start"}}, nil)
	for query, want := range map[string]string{"carb": "b", "carburators": "b", "no start": "a", "no starts": "a"} {
		if hits := ix.Find(query, ""); len(hits) == 0 || hits[0].Page.Key != want {
			t.Errorf("%q finds %v, want %s", query, hits, want)
		}
	}
	if hits := ix.Find("start ", ""); len(hits) != 0 {
		t.Errorf("half of a phrase finds %v", hits)
	}
}

func TestModelsAndPages(t *testing.T) {
	var pages []*Page
	for _, key := range []string{"a", "b"} {
		p := &Page{Path: key + ".html", Key: key, Title: "Sheet", Places: []Place{{Kind: Sheet, Title: "Sheet"}}}
		for i := range 5 {
			p.Places = append(p.Places, Place{Kind: Step, ID: fmt.Sprint(i), Title: "Fuse", Text: "relay"})
		}
		pages = append(pages, p)
	}
	pages[0].Models = []string{"m1"}
	ix := Build("en", pages, nil, []string{"m1", "m2"})
	var order []string
	for _, h := range ix.Find("fuse", "") {
		order = append(order, h.Page.Key)
	}
	if got := strings.Join(order, ""); got != "aaabbbaabb" {
		t.Errorf("the pages come in the order %s", got)
	}
	order = nil
	for _, h := range ix.Find("fuse", "m2") {
		order = append(order, h.Page.Key)
		if h.Not != (h.Page.Key == "a") {
			t.Errorf("%s holds for the model: %v", h.Page.Key, !h.Not)
		}
	}
	if got := strings.Join(order, ""); got != "bbbbbaaaaa" {
		t.Errorf("for a model they come in the order %s", got)
	}
}
