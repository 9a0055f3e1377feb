package remark

import (
	"fmt"
	"slices"
	"strings"
)

// Subject is something that a remark is about: a specification, a name that nothing
// has. Several remarks about one subject are one mistake, and one remark, at the place
// of the subject where it has one, else at the first of theirs.
type Subject struct {
	Name  string // "" for none
	Place Place
}

// About returns the remark with its subjects. Where several have it in common with
// others, it is told with the most of them.
func (r Remark) About(subjects ...Subject) Remark {
	copy(r.Subjects[:], subjects)
	return r
}

// gather makes one remark of those about one subject. The list is sorted.
func (l *List) gather() {
	for {
		about := map[string]int{}
		most := Subject{}
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
			return
		}
		l.gatherAbout(most)
	}
}

// gatherAbout makes one remark of those about a subject: the first error, else the
// first.
func (l *List) gatherAbout(s Subject) {
	has := func(r Remark) bool {
		return slices.ContainsFunc(r.Subjects[:], func(x Subject) bool { return x.Name == s.Name })
	}
	var same, others List
	for _, r := range *l {
		if has(r) {
			same = append(same, r)
		} else {
			others = append(others, r)
		}
	}
	one := same[max(0, slices.IndexFunc(same, func(r Remark) bool { return r.Severity == Error }))]
	var at []string
	for _, r := range same {
		if r != one || s.Place.File != "" {
			at = append(at, r.Place.String())
		}
	}
	if len(at) > 4 {
		at = append(at[:3], fmt.Sprintf("%d more places", len(at)-3))
	}
	if s.Place.File == "" {
		one.Message += "; so too at " + strings.Join(at, ", ")
	} else {
		one.Message += "; so at " + strings.Join(at, ", ")
		one.Place = s.Place
	}
	one.Subjects = [2]Subject{}
	*l = append(others, one)
}
