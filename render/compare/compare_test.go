package compare_test

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"benchleaf/calc"
	"benchleaf/render/compare"
	"benchleaf/render/edition"
	"benchleaf/render/handbook"
	"benchleaf/render/source"
)

// book resolves the handbook of a text archive, without remarks that are errors.
func book(t testing.TB, archive string) *handbook.Handbook {
	t.Helper()
	dir := t.TempDir()
	for _, f := range txtar.Parse([]byte(archive)).Files {
		name := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(name), 0o755), os.WriteFile(name, f.Data, 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	tree, remarks, err := source.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer tree.Close()
	h, more := handbook.Resolve(tree)
	for _, r := range append(remarks, more...) {
		if r.Severity.String() == "error" {
			t.Fatal(r)
		}
	}
	return h
}

// facts are those of a handbook, as they come back from an edition on the disk.
func facts(t *testing.T, h *handbook.Handbook) *compare.Edition {
	t.Helper()
	e, err := compare.Open(written(t, h))
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// written is the folder of an edition that has the facts of a handbook and nothing else.
func written(t *testing.T, h *handbook.Handbook) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "edition")
	w, err := edition.Begin(out, edition.Manifest{Title: h.Title.In("en"), Edition: h.Edition, Date: h.Date})
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	put := func(name string, facts interface{ Pack() ([]byte, error) }) {
		text, err := facts.Pack()
		if err == nil {
			err = w.Add(edition.File{Name: name, Digest: edition.Digest(text), Size: len(text), Facts: true, Load: func() ([]byte, error) { return text, nil }})
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	put(compare.BookFile, compare.OfBook(h))
	for _, p := range h.Pages {
		put(compare.PageFile(p.Path), compare.Of(p, nil))
	}
	if err := w.Commit(); err != nil {
		t.Fatal(err)
	}
	return out
}

const common = `
-- handbook.yaml --
title: Test
publisher: Example
edition: "EDITION"
date: DAY
languages: [en]
states:
  idling: {title: Idling}
-- models.yaml --
a1: {title: Model A}
b2: {title: Model B}
-- en/left.md --
---
sheet: reference
title: Left as it is
---

# Left as it is

Nothing in here changes. It says <spec:still>.
`

var old = strings.NewReplacer("EDITION", "1", "DAY", "2026-01-01").Replace(common) + `
-- specs/all.yaml --
idle-speed:
  title: Idle speed
  unit: rpm
  revised: 2026-01-01
  models:
    a1: {nominal: 1750, tolerance: 50}
    b2: {nominal: 1800, tolerance: 50}
still: {title: Still, unit: V, max: 0.5}
gone: {title: Gone, unit: V, min: 11}
-- parts.yaml --
spring: {title: Spring, system: choke, number: 100-1}
-- en/idle.md --
---
sheet: procedure
title: Idle hunts
symptom: It hunts at idle
states: [idling]
causes:
  link: {title: Link worn, remedy: Fit a link.}
  valve: {title: Valve leaks, remedy: Lap it.}
---

Before anything else, look at the link.

This paragraph will go away altogether.

## Look <id:look>

Turn the stop screw. It is to be <spec:idle-speed>, with <part:spring>.

` + "```answers\n- [Free](#measure)\n- [Worn](cause:link)\n```" + `

## Measure <id:measure>

` + "```reading\nspec: idle-speed\nlow: cause:valve\nwithin: end:hand-over\nhigh: cause:link\n```" + `
-- en/table.md --
---
sheet: reference
title: Figures
---

# Figures

| Part | Torque |
|---|---|
| Plug | 20 |
| Nut | 30 |

- first
- second
-- en/was.md --
---
sheet: theory
title: How it breathes
---

# How it breathes

One sentence about air.

Another about fuel, which stays.
-- en/calc.md --
---
sheet: reference
title: Power
---

# Power

` + "```calculator\nname: power\ntitle: Power\ninputs:\n  volts: {unit: V, start: 12 V, range: 1 to 20}\n  amps: {unit: A, start: 2 A, range: 1 to 20}\nresults:\n  power: {label: Power, unit: W, formula: volts * amps}\n```" + `
-- en/dropped.md --
---
sheet: theory
title: Dropped
---

# Dropped

Nobody needed it.
`

var new = strings.NewReplacer("EDITION", "2", "DAY", "2026-02-01").Replace(common) + `
-- specs/all.yaml --
idle-speed:
  title: Idle speed
  unit: rpm
  revised: 2026-02-01
  models:
    a1: {nominal: 1800, tolerance: 50}
    b2: {nominal: 1800, tolerance: 50}
still: {title: Still, unit: V, max: 0.5}
come: {title: Come, unit: V, min: 12}
-- parts.yaml --
spring: {title: Spring, system: choke, number: 100-2}
-- en/idle.md --
---
sheet: procedure
title: Idle hunts
symptom: It hunts at idle
states: [idling]
causes:
  link: {title: Link worn, remedy: Fit a link and grease it.}
  screw: {title: Screw loose, remedy: Tighten it.}
  valve: {title: Valve leaks, remedy: Lap it.}
---

Before anything else,
look at the link.

## Look <id:look>

Turn the stop screw. It is to be <spec:idle-speed>, with <part:spring>.

` + "```answers\n- [Free](#measure)\n- [Loose](cause:screw)\n- [Worn](cause:link)\n```" + `

## Measure <id:measure>

` + "```reading\nspec: idle-speed\nlow: cause:valve\nwithin: end:hand-over\nhigh: cause:link\n```" + `
-- en/table.md --
---
sheet: reference
title: Figures
---

# Figures

| Part | Torque |
|---|---|
| Plug | 25 |
| Nut | 30 |

- first
- between the two
- second
-- en/now.md --
---
sheet: theory
title: How it breathes
---

# How it breathes

One sentence about air.

Another about fuel, which stays.

And a third.
-- en/calc.md --
---
sheet: reference
title: Power
---

# Power

` + "```calculator\nname: power\ntitle: Power\ninputs:\n  volts: {unit: V, start: 13 V, range: 1 to 20}\n  amps: {unit: A, start: 2 A, range: 1 to 20}\nresults:\n  power: {label: Power, unit: W, formula: volts * amps / 2}\n```" + `
-- en/extra.md --
---
sheet: reference
title: Extra
---

# Extra

A page that was not there.
`

// TestCompare tells the differences between two handbooks, which stand above, each by hand.
func TestCompare(t *testing.T) {
	c := compare.Compare(facts(t, book(t, old)), facts(t, book(t, new)))
	var b bytes.Buffer
	if err := c.WriteText(&b); err != nil {
		t.Fatal(err)
	}
	want := `Test
From edition 1 (2026-01-01) to edition 2 (2026-02-01).

Specifications: 3
  added  come  Come
    Model A: none -> at least 12 V
    Model B: none -> at least 12 V
  removed  gone  Gone
    Model A: at least 11 V -> none
    Model B: at least 11 V -> none
  changed  idle-speed  Idle speed
    Model A: 1750 ± 50 rpm -> 1800 ± 50 rpm
    revised:
      - 2026-01-01
      + 2026-02-01

Parts: 1
    spring changed  Spring
      number:
        - 100-1
        + 100-2

Pages added: 1
  en/extra.html  Extra

Pages removed: 1
  en/dropped.html  Dropped

Pages renamed: 1
  en/was.html -> en/now.html  How it breathes

Pages changed: 4
  en/calc.html  Power
    calculator calculator-power changed  Power
      it reckons otherwise
      formula:
        - power = volts · amps
        + power = volts · amps / 2
      inputs:
        - volts "Volts" = 12 V (1 to 20 V)
        + volts "Volts" = 13 V (1 to 20 V)
  en/idle.html  Idle hunts
    step look changed  Look
      answers:
        + Loose -> cause:screw
    cause link changed  Link worn
      remedy:
        - Fit a link.
        + Fit a link and grease it.
    cause screw added  Screw loose
    paragraph removed
      - This paragraph will go away altogether.
    changed elsewhere: part:spring, spec:idle-speed
  en/was.html -> en/now.html  How it breathes
    paragraph added in how-it-breathes
      + And a third.
  en/table.html  Figures
    row changed in figures
      - Plug | 20
      + Plug | 25
    item added in figures
      + between the two
`
	if got := b.String(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestOfModel asks for what concerns one model: the other's idle speed is the same as before.
func TestOfModel(t *testing.T) {
	c := compare.Compare(facts(t, book(t, old)), facts(t, book(t, new)))
	for model, want := range map[string][]string{"a1": {"part:spring", "spec:idle-speed"}, "b2": {"part:spring"}} {
		one := c.Of(model)
		i := slices.IndexFunc(one.Changed, func(p compare.PageChange) bool { return p.Path == "en/idle.html" })
		if i < 0 || !slices.Equal(one.Changed[i].Values, want) {
			t.Errorf("%s: %+v", model, one.Changed)
		}
		speed := slices.ContainsFunc(one.Specs, func(s compare.SpecChange) bool { return s.ID == "idle-speed" })
		if speed != (model == "a1") {
			t.Errorf("%s: idle speed among its values: %v", model, speed)
		}
	}
}

// TestSame asks that a handbook has not changed from itself.
func TestSame(t *testing.T) {
	for _, archive := range []string{old, new} {
		e := facts(t, book(t, archive))
		if c := compare.Compare(e, e); !c.Empty() {
			t.Errorf("%+v", c)
		}
	}
}

// TestMirror asks that the way back tells the same with old and new exchanged.
func TestMirror(t *testing.T) {
	a, b := facts(t, book(t, old)), facts(t, book(t, new))
	there, back := compare.Compare(a, b), mirrored(compare.Compare(b, a))
	got, want := asText(t, there), asText(t, back)
	if got != want {
		t.Errorf("there\n%s\nback\n%s", got, want)
	}
}

// asText is a comparison with its lists in an order that hangs on no direction.
func asText(t *testing.T, c *compare.Comparison) string {
	t.Helper()
	sortAs := func(list any) {
		v := reflect.ValueOf(list)
		keys := make([]string, v.Len())
		for i := range keys {
			text, err := json.Marshal(v.Index(i).Interface())
			if err != nil {
				t.Fatal(err)
			}
			keys[i] = string(text)
		}
		order := make([]int, len(keys))
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(i, j int) int { return cmp.Compare(keys[i], keys[j]) })
		sorted := reflect.MakeSlice(v.Type(), 0, v.Len())
		for _, i := range order {
			sorted = reflect.Append(sorted, v.Index(i))
		}
		reflect.Copy(v, sorted)
	}
	for i := range c.Changed {
		sortAs(c.Changed[i].Blocks)
	}
	for i := range c.Specs {
		c.Specs[i].Renewed = false // it is not the same both ways
		sortAs(c.Specs[i].Values)
	}
	sortAs(c.Changed)
	sortAs(c.Renamed)
	text, err := json.MarshalIndent(c, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func mirrored(c *compare.Comparison) *compare.Comparison {
	m := *c
	m.Old, m.New, m.Added, m.Removed = c.New, c.Old, c.Removed, c.Added
	turn := func(change *string) {
		switch *change {
		case compare.Added:
			*change = compare.Removed
		case compare.Removed:
			*change = compare.Added
		}
	}
	fields := func(list []compare.FieldChange) {
		for i, f := range list {
			list[i].Old, list[i].New = f.New, f.Old
		}
	}
	things := func(list []compare.ThingChange) {
		for i := range list {
			turn(&list[i].Change)
			fields(list[i].Fields)
		}
	}
	for i, r := range m.Renamed {
		m.Renamed[i] = compare.Renaming{Old: r.New, New: r.Old}
	}
	for i := range m.Changed {
		p := &m.Changed[i]
		p.Path, p.OldPath = p.OldPath, p.Path
		fields(p.Fields)
		things(p.Steps)
		things(p.Causes)
		things(p.Ends)
		things(p.Forms)
		for j, b := range p.Blocks {
			p.Blocks[j].Old, p.Blocks[j].New = b.New, b.Old
			turn(&p.Blocks[j].Change)
		}
	}
	for i := range m.Specs {
		turn(&m.Specs[i].Change)
		fields(m.Specs[i].Fields)
		for j, v := range m.Specs[i].Values {
			m.Specs[i].Values[j].Old, m.Specs[i].Values[j].New = v.New, v.Old
		}
	}
	things(m.Parts)
	return &m
}

// TestForeign asks for a clear refusal of what is no edition, or not the one of its manifest.
func TestForeign(t *testing.T) {
	h := book(t, old)
	for _, c := range []struct {
		name  string
		spoil func(dir string) error
		want  error
	}{
		{"no manifest", func(dir string) error { return os.Remove(filepath.Join(dir, edition.ManifestName)) }, edition.ErrForeign},
		{"an empty manifest", func(dir string) error { return os.WriteFile(filepath.Join(dir, edition.ManifestName), nil, 0o644) }, edition.ErrForeign},
		{"a manifest of something else", func(dir string) error {
			return os.WriteFile(filepath.Join(dir, edition.ManifestName), []byte(`{"format": 2, "parts": 7}`), 0o644)
		}, edition.ErrForeign},
		{"an edition of a time before facts", func(dir string) error {
			text := `{"format": 2, "title": "T", "edition": "1", "parts": ["a"], "packs": ["a"], "shell": {"part": "a", "pack": "a"}}`
			return os.WriteFile(filepath.Join(dir, edition.ManifestName), []byte(text), 0o644)
		}, edition.ErrNoFacts},
		{"another list of facts", func(dir string) error {
			return os.WriteFile(filepath.Join(dir, filepath.FromSlash(edition.FactsPart)), []byte("{}"), 0o644)
		}, edition.ErrForeign},
		{"a changed page", func(dir string) error {
			return os.WriteFile(filepath.Join(dir, filepath.FromSlash(compare.PageFile("en/idle.html"))), []byte(`{"format": 2}`), 0o644)
		}, edition.ErrForeign},
		{"a page that is missing", func(dir string) error {
			return os.Remove(filepath.Join(dir, filepath.FromSlash(compare.PageFile("en/idle.html"))))
		}, edition.ErrForeign},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := written(t, h)
			if err := c.spoil(dir); err != nil {
				t.Fatal(err)
			}
			if e, err := compare.Open(dir); !errors.Is(err, c.want) || e != nil {
				t.Errorf("%v, %v; want %v", e, err, c.want)
			}
		})
	}
	if _, err := compare.Open(filepath.Join(t.TempDir(), "nothing")); !errors.Is(err, os.ErrNotExist) {
		t.Error(err)
	}
}

// TestManifest asks that an edition can be named by its manifest.
func TestManifest(t *testing.T) {
	dir := written(t, book(t, old))
	e, err := compare.Open(filepath.Join(dir, edition.ManifestName))
	if err != nil || len(e.Pages) != 6 {
		t.Error(e, err)
	}
}

// TestReckoned asks that a built-in calculator whose function gives other results is told, under the
// same name and formula.
func TestReckoned(t *testing.T) {
	page := func(function string) *compare.Edition {
		h := book(t, strings.NewReplacer("EDITION", "1", "DAY", "2026-01-01", "<spec:still>", "nothing").Replace(common)+"\n-- en/a.md --\n---\nsheet: reference\ntitle: A\n---\n\n# A\n\n```calculator voltage-drop\n```\n")
		for _, p := range h.Pages {
			for _, c := range p.Calculators {
				other, ok := calc.Find(function)
				if !ok {
					t.Fatal(function)
				}
				c.Module = handbook.BuiltinModule(other)
			}
		}
		return facts(t, h)
	}
	for _, c := range []struct{ function, want string }{{"voltage-drop", ""}, {"circuit-drop", "code"}} {
		got := ""
		for _, p := range compare.Compare(page("voltage-drop"), page(c.function)).Changed {
			for _, f := range p.Forms[0].Fields {
				got += f.Name
			}
		}
		if got != c.want {
			t.Errorf("%s: changed %q, want %q", c.function, got, c.want)
		}
	}
}
