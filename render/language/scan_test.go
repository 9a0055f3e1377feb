package language

import (
	"math/rand/v2"
	"os"
	"path"
	"strings"
	"testing"
)

// However a text is spoilt, its sites lie in it.
func TestScanSpoilt(t *testing.T) {
	if testing.Short() {
		t.Skip("a thousand texts")
	}
	pieces := []string{"[", "{", "]", "}", "\n", "\r\n", "\r", ":", ": ", "- ", "|", ">", "\"", "'", "#", "```", "---", "<spec:", "](#", "`", "é", "\x00", "\xff", "  "}
	random := rand.New(rand.NewPCG(1, 2))
	for _, name := range []string{"en/procedures/black-smoke.md", "en/bench/choke-times.md", "handbook.yaml", "models.yaml", "parts.yaml", "specs/choke.yaml", "circuits/heater.yaml"} {
		data, err := os.ReadFile(path.Join("../../content", name))
		if err != nil {
			t.Fatal(err)
		}
		for range 150 {
			text := string(data)
			for range 1 + random.IntN(20) {
				at := random.IntN(len(text))
				text = text[:at] + pieces[random.IntN(len(pieces))] + text[min(len(text), at+random.IntN(9)):]
			}
			for _, x := range scan(name, []byte(text), []string{"en", "es"}) {
				if x.start < 0 || x.start > x.end || x.end > len(text) || !x.made && x.name != text[x.start:x.end] {
					t.Fatalf("%s: %+v in %q", name, x, text)
				}
			}
		}
	}
}

// However long a text is and of whatever it is made, the work on it is in proportion to its length.
func TestScanHostile(t *testing.T) {
	if testing.Short() {
		t.Skip("a thousand texts")
	}
	pieces := []string{
		"](", "[a](", "a:\n ", "a:\n", "  a:\n a:\n", "<spec:", "# <", "](#", "[", "{", "[\n", "{\n", "a: [\n ", "a: {a: ", "{a: [b], ", "- ", "- a: ", "a: |\n  b\n",
		"`", "```step\n", "```plot a\n```\n", "~~~\n", "<!--", "<id:", "\r", "\n", "a: \"", "a: [\"", "a: ['\n", "a: {'", "[#\n", ", \n", "][]\n", "a: []\n]\n", "é",
	}
	heads := map[string]string{
		"en/a.md": "", "en/front.md": "---\n", "en/causes.md": "---\ncauses:\n", "en/step.md": "```step\n", "en/calculator.md": "```calculator\n",
		"handbook.yaml": "", "specs/a.yaml": "", "circuits/c.yaml": "",
	}
	work := func(name, text string) float64 {
		return float64(scanned(name, []byte(text), []string{"en", "es"}, -1).looked) / float64(len(text))
	}
	for name, head := range heads {
		for _, p := range pieces {
			few, many := work(name, head+strings.Repeat(p, 300)), work(name, head+strings.Repeat(p, 1200))
			if many > 1.2*few+1 {
				t.Errorf("%s: %q 300 times takes %.1f looks at each byte, 1200 times %.1f", name, p, few, many)
			}
		}
		deep := func(n int) string { // each line is set in further, with brackets that end on it
			var b strings.Builder
			for i := range n {
				b.WriteString(strings.Repeat(" ", i) + "a: []\n")
			}
			return head + b.String()
		}
		if few, many := work(name, deep(50)), work(name, deep(200)); many > 1.2*few+1 {
			t.Errorf("%s: 50 lines, each deeper, take %.1f looks at each byte, 200 take %.1f", name, few, many)
		}
	}
}
