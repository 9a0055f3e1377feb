package render

import (
	"fmt"
	"strings"
	"testing"
)

// TestSupersededValue has a bulletin supersede a value that stands on eleven pages: each says so at its head and at the
// value, and the value before stands nowhere but in the bulletin, as an earlier one.
func TestSupersededValue(t *testing.T) {
	files := madeUp(4)
	files["specs/coil.yaml"] = `coil:
  title: Coil
  unit: Ω
  conditions: Cold
  models:
    ash: {min: 41.7, max: 43.3}
    elm: {min: 51.1, max: 52.2}
  history:
    - {until: 2026-10-20, bulletin: coils, models: {ash: {min: 37.9, max: 39.1}}}
`
	files["en/coils.md"] = "---\nsheet: bulletin\ntitle: Coils of the Ash\nsupersedes:\n  - {spec: coil, from: 2026-10-20, models: [ash]}\n---\n\nThey have another wire.\n"
	var shows []string
	for i := range 9 {
		name := fmt.Sprintf("en/c%d", i)
		files[name+".md"] = "# Coils\n\n| Coil | Value |\n|---|---|\n| of the choke | <spec:coil> |\n"
		shows = append(shows, name)
	}
	// In a reading, in a remedy and in the other language.
	files["en/p00.md"] = strings.ReplaceAll(files["en/p00.md"], "spec: feed-a", "spec: coil")
	files["en/p00.md"] = strings.Replace(files["en/p00.md"], "meter: A voltmeter", "meter: An ohmmeter", 1)
	files["es/c0.md"] = "# Bobinas\n\nLa bobina tiene <spec:coil>.\n"
	shows = append(shows, "en/p00", "es/c0")
	// A page of the other model alone has nothing to say.
	files["en/elm.md"] = "---\napplicability: [elm]\n---\n\n# Elm\n\nIt has <spec:coil>.\n"
	f := newFolder(t, files)
	o := build(t, fresh(), f.dir)
	if o.result.Failed() {
		t.Fatal(o.result.Remarks)
	}
	if len(shows) != 11 {
		t.Fatalf("the value stands on %d pages", len(shows))
	}
	text := func(name string) string {
		data, err := o.files[name].Load()
		if err != nil {
			t.Fatal(name, err)
		}
		return string(data)
	}
	for _, name := range shows {
		page := text(name + ".html")
		head, body, _ := strings.Cut(page, `class="script-note"`)
		if !strings.Contains(head, `class="bulletins"`) || !strings.Contains(head, "Coils of the Ash</a>") {
			t.Errorf("%s does not say so at its head", name)
		}
		if !strings.Contains(body, `class="amended"`) || !strings.Contains(body, "2026-10-20") {
			t.Errorf("%s does not say so at the value", name)
		}
	}
	if page := text("en/elm.html"); strings.Contains(page, "2026-10-20") {
		t.Error("the page of the other model says something")
	}
	for name := range o.files {
		if !strings.HasSuffix(name, ".html") {
			continue
		}
		page := text(name)
		if name == "en/coils.html" {
			if page = strings.Replace(page, "<s>37.9 to 39.1\u00a0Ω</s>", "", 1); !strings.Contains(page, "<b>41.7 to 43.3\u00a0Ω</b>") {
				t.Error("the bulletin does not show the value that holds")
			}
		}
		if strings.Contains(page, "37.9") || strings.Contains(page, "39.1") {
			t.Errorf("%s shows the superseded value", name)
		}
	}
}
