package compare

import "testing"

// TestRepeatedPiece: of a piece that stands in several sections the one of the section is told that lost it, also where
// its neighbours were written anew.
func TestRepeatedPiece(t *testing.T) {
	section := func(id, title, text string, panel bool) (list []Block) {
		list = append(list, Block{Kind: kindHeading, In: id, Text: title})
		if panel {
			list = append(list, Block{Kind: "safety", In: id, Text: "warning heat: Let it cool."})
		}
		return append(list, Block{Kind: kindParagraph, In: id, Text: text})
	}
	join := func(parts ...[]Block) (list []Block) {
		for _, p := range parts {
			list = append(list, p...)
		}
		return list
	}
	a, b := section("a", "Open the lid", "The lid is hinged", true), section("b", "Feel the hose", "The hose is soft", true)
	c := section("c", "Close it", "It clicks", true)
	for name, x := range map[string]struct {
		new  []Block
		gone string // the sections of the panels that are told as gone
	}{
		"taken out with its step, the next written anew": {join(section("b", "Pinch another thing", "Nothing like that", true), c), "a"},
		"taken out of the first":                         {join(section("a", "Lift a cover", "Quite other words", false), section("b", "Pinch another thing", "Nothing like that", true), c), "a"},
		"taken out of the second":                        {join(section("a", "Lift a cover", "Quite other words", true), section("b", "Pinch another thing", "Nothing like that", false), c), "b"},
		"sections in another order":                      {join(b, section("a", "Open the lid", "The lid is hinged", false), c), "a"},
	} {
		gone := ""
		for _, change := range compareBlocks(join(a, b, c), x.new) {
			if change.Kind == "safety" && change.Change == Removed {
				gone += change.In
			}
			if change.Kind == "safety" && change.Change == Changed {
				t.Errorf("%s: a panel was written anew: %v", name, change)
			}
		}
		if gone != x.gone {
			t.Errorf("%s: panels are gone in %q, want %q", name, gone, x.gone)
		}
	}
}
