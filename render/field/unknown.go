package field

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
)

// unknown is a name in records that the handbook does not have.
type unknown struct{ kind, page, name string }

func (s *Sum) stranger(kind, page, name string, sign int) {
	bump(s, s.unknown, unknown{kind, page, name}, sign)
}

// strange counts the findings of causes that the handbook does not have.
func (s *Sum) strange() (n int) {
	for _, j := range s.jobs {
		n += j.strange
	}
	return n
}

func (s *Sum) unknownTable() Table {
	t := Table{
		Name: "unknown", Title: "Names that the handbook does not have",
		About:   "Of another edition, or of another handbook. Findings, steps and replaced parts of what is not known are in no share, time or sum of others.",
		Columns: columns("kind=Kind", "procedure=Procedure", "name=Name", "#times=Times"),
	}
	for _, u := range slices.SortedFunc(maps.Keys(s.unknown), func(a, b unknown) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.page, b.page), cmp.Compare(a.name, b.name))
	}) {
		if n := s.unknown[u]; n > 0 {
			t.Rows = append(t.Rows, []string{u.kind, u.page, u.name, strconv.Itoa(n)})
		}
	}
	return t
}

func (s *Sum) editionsTable() Table {
	t := Table{Name: "editions", Title: "Editions of the handbook", Columns: columns("edition=Edition", "#records=Records")}
	for _, e := range slices.Sorted(maps.Keys(s.editions)) {
		if n := s.editions[e]; n > 0 {
			t.Rows = append(t.Rows, []string{cmp.Or(e, none), strconv.Itoa(n)})
		}
	}
	return t
}
