package language

import (
	"math/rand/v2"
	"os"
	"path"
	"testing"
)

// However a text is spoilt, its sites lie in it.
func TestScanSpoilt(t *testing.T) {
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
