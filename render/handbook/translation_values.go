package handbook

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// valueName finds what a text shows by a name that no language changes.
var valueName = regexp.MustCompile(`\b(?:spec|part|calculator):[\w-]+`)

// measured finds a figure with what may be its unit.
var measured = regexp.MustCompile(`[-−]?\d[\d.,]*(?:[ \x{a0}\x{202f}]\d{3})*[ \x{a0}\x{202f}]?[A-Za-zΩµ°%][A-Za-zΩµ°²³·/%]*`)

// sameValues holds the text of a translation that is as new as its source against that: what it shows by name, and its
// figures with their units, are the same in every language. A language may write a figure as a word; of texts with as
// many figures each has its like.
func (r *pageResolver) sameValues(x, of piece, page *Page) {
	if b, ok := x.node.(*source.Block); ok && b.Name != "safety" {
		return // held against each other field by field
	}
	differs := func(mine, theirs string) {
		r.remarks.Add(remark.TranslationValues, x.place, mine, theirs, of.place)
	}
	mine, theirs := namesIn(x.says), namesIn(of.says)
	if !slices.Equal(mine, theirs) {
		mine, theirs = without(mine, theirs), without(theirs, mine)
		differs(orNothing(strings.Join(mine, "`, `")), orNothing(strings.Join(theirs, "`, `")))
		return
	}
	own, source := figuresIn(x.says, r.page.Lang), figuresIn(of.says, page.Lang)
	if len(own) != len(source) {
		return
	}
	for i, f := range own {
		if s := source[i]; f.kind != s.kind || math.Abs(f.si-s.si) > 1e-9*math.Abs(s.si) {
			differs(orNothing(f.text), orNothing(s.text))
			return
		}
	}
}

func namesIn(text string) []string {
	list := valueName.FindAllString(text, -1)
	slices.Sort(list)
	return slices.Compact(list)
}

func without(list, others []string) []string {
	return slices.DeleteFunc(slices.Clone(list), func(s string) bool { return slices.Contains(others, s) })
}

// figureIn is a figure of a text with its unit.
type figureIn struct {
	text string
	kind unit.Kind
	si   float64
}

// figuresIn are those of a text, in the order of their values: languages have another order of words.
func figuresIn(text, lang string) (list []figureIn) {
	for _, s := range measured.FindAllString(text, -1) {
		symbol := strings.TrimLeft(s, "-−0123456789., \u00a0\u202f")
		u, ok := unit.Lookup(symbol)
		if !ok {
			continue
		}
		if si, _, err := unit.Parse(s, u, lang); err == nil {
			list = append(list, figureIn{s, u.Kind, si})
		}
	}
	slices.SortFunc(list, func(a, b figureIn) int {
		if a.kind != b.kind {
			return strings.Compare(string(a.kind), string(b.kind))
		}
		switch {
		case a.si < b.si:
			return -1
		case a.si > b.si:
			return 1
		}
		return 0
	})
	return list
}
