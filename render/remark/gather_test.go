package remark

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// TestGather holds the remarks that become one against what is meant by it: again and again the
// subject with the most remarks, the first of several, is looked for among all and told in one.
func TestGather(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		var list List
		for i := range random.IntN(40) {
			r := KeyUnknown.At(Place{"a.md", i, 1}, fmt.Sprint(i), "x", "y")
			r.Severity = Severity(1 + random.IntN(3))
			for k := range r.Subjects {
				if n := random.IntN(12); n < 8 {
					r.Subjects[k].Name = fmt.Sprint(k, n)
					if n%3 == 0 {
						r.Subjects[k].Place = Place{"b.yaml", n, 1}
					}
				}
			}
			list = append(list, r)
		}
		want := slices.Clone(list)
		for plainly(&want) {
		}
		list.gather()
		if !slices.Equal(list, want) {
			t.Fatalf("got\n%v\nwant\n%v", list, want)
		}
	}
}

// plainly makes one remark of those about one subject; false where there is none.
func plainly(l *List) bool {
	about, most := map[string]int{}, Subject{}
	for _, r := range *l {
		for _, s := range r.Subjects {
			if s.Name == "" {
				continue
			}
			if about[s.Name]++; about[s.Name] > max(1, about[most.Name]) {
				most = s
			}
		}
	}
	if most.Name == "" {
		return false
	}
	var same, others List
	for _, r := range *l {
		if r.Subjects[0].Name == most.Name || r.Subjects[1].Name == most.Name {
			same = append(same, r)
		} else {
			others = append(others, r)
		}
	}
	one := same[max(0, slices.IndexFunc(same, func(r Remark) bool { return r.Severity == Error }))]
	var at []string
	for _, r := range same {
		if r != one || most.Place.File != "" {
			at = append(at, r.Place.String())
		}
	}
	if len(at) > 4 {
		at = append(at[:3], fmt.Sprintf("%d more places", len(at)-3))
	}
	if one.Message += "; so too at "; most.Place.File != "" {
		one.Message, one.Place = strings.Replace(one.Message, "so too at", "so at", 1), most.Place
	}
	one.Message += strings.Join(at, ", ")
	one.Subjects = [2]Subject{}
	*l = append(others, one)
	return true
}

// TestCut: of one file the gravest are told, and how many are not.
func TestCut(t *testing.T) {
	var list List
	for i := range MostOfFile + 10 {
		list.Add(FileUnknown, Place{"a.md", 1 + i, 1})
	}
	list.Add(KeyUnknown, Place{"a.md", 9_999, 1}, "a", "b", "c")
	list.Add(FileUnknown, Place{"b.md", 1, 1})
	list.Sort()
	if len(list) != MostOfFile+2 {
		t.Fatalf("%d remarks", len(list))
	}
	first, last := list[0], list[MostOfFile]
	if first.ID != RemarkLimit.ID || first.Severity != Advice || !strings.Contains(first.Message, " 11 more ") {
		t.Error(first)
	}
	if last.Place.Line != 9_999 || list[MostOfFile+1].Place.File != "b.md" {
		t.Error(last, list[MostOfFile+1])
	}
}
