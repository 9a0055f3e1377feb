package remark

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
)

// MostOfFile is how many remarks about one file are told. Who has as many mends those and asks
// again; a file of 2 MB could bring half a million, each with its line.
const MostOfFile = 200

// cut takes away what is too much about one file, the least grave first and then the last, and
// says how much that is. The list is in order and stays so.
func (l *List) cut() {
	of := map[string]List{}
	for _, r := range *l {
		of[r.Place.File] = append(of[r.Place.File], r)
	}
	told := (*l)[:0:0]
	for _, file := range slices.Sorted(maps.Keys(of)) {
		told = append(told, of[file].first(file)...)
	}
	*l = told
}

// first are the gravest remarks about a file, as many as are told.
func (l List) first(file string) List {
	if len(l) <= MostOfFile {
		return l
	}
	grave := slices.Clone(l)
	slices.SortStableFunc(grave, func(a, b Remark) int { return cmp.Compare(b.Severity, a.Severity) })
	told, rest := grave[:MostOfFile], grave[MostOfFile:]
	told.order()
	more := RemarkLimit.At(Place{File: file}, strconv.Itoa(len(rest)))
	more.Severity = rest[0].Severity // as grave as what it stands for
	return append(List{more}, told...)
}
