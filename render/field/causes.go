package field

import (
	"maps"
	"slices"
	"strconv"
)

// causesOf returns the causes of a procedure, the author's if there is a book,
// else those that records name.
func (s *Sum) causesOf(page string, j *jobs) []Cause {
	if s.book != nil {
		return s.book.procedures[page].Causes
	}
	found := maps.Clone(j.proved)
	maps.Copy(found, j.unproved)
	var causes []Cause
	for _, id := range slices.Sorted(maps.Keys(found)) {
		if j.found(id) > 0 {
			causes = append(causes, Cause{ID: id})
		}
	}
	return causes
}

// sharesOf returns how often each of the causes was found, and its share.
func sharesOf(causes []Cause, j *jobs, weight float64) (counts []int, shares []Share) {
	frequencies := make([]float64, len(causes))
	counts = make([]int, len(causes))
	for i, c := range causes {
		frequencies[i], counts[i] = c.Frequency, j.found(c.ID)
	}
	return counts, Shares(frequencies, weight, counts)
}

func (s *Sum) causesTable(weight float64) Table {
	t := Table{
		Name: "causes", Title: "Causes found", Group: 5, About: "Proved: the check after the repair was passed, each of its readings within limits beyond doubt.",
		Columns: columns("!procedure=Procedure", "procedure_title=Procedure", "symptom=Symptom", "!model=Model", "model_title=Model", "cause=Cause", "title=Title", "#frequency=Frequency as written",
			"#found=Found", "#proved=of them proved", "#share_percent=Share, %", "#low_percent=from", "#high_percent=to"),
	}
	if s.book != nil {
		t.About += " Share: mean of the posterior and the interval that holds the share with a probability of 95 %. The author's frequencies count as " +
			trimmed(weight) + " findings."
		t.Legend = "In the picture the dot is the mean, the bar the interval, the dashed stroke the frequency as written."
	}
	for _, page := range s.pages() {
		models, counts := s.byModel(page)
		causes := s.causesOf(page, counts[0])
		for i, j := range counts {
			if i == 0 || j.findings() > 0 {
				s.causeRows(&t, []string{page, s.book.pageTitle(page), s.book.symptom(page), models[i], s.book.modelTitle(models[i])}, causes, j, weight)
			}
		}
	}
	return t
}

// causeRows adds a row for each cause. Without a handbook nobody knows which
// causes were not found, and a share of those that were would say too much.
func (s *Sum) causeRows(t *Table, group []string, causes []Cause, j *jobs, weight float64) {
	found, shares := sharesOf(causes, j, weight)
	written := filled(frequenciesOf(causes))
	total := 0.0
	for _, f := range written {
		total += f
	}
	for i := range written {
		written[i] /= total
	}
	end := scaleOf(shares, written)
	for i, c := range causes {
		row := append(slices.Clone(group), c.ID, c.Title, orBlank(c.Frequency), strconv.Itoa(found[i]), strconv.Itoa(j.proved[c.ID]))
		if s.book == nil {
			t.Rows = append(t.Rows, append(row, "", "", ""))
			continue
		}
		t.Rows = append(t.Rows, append(row, percent(shares[i].Mean), percent(shares[i].Low), percent(shares[i].High)))
		t.Pictures = append(t.Pictures, whisker(shares[i], written[i], end))
	}
}

func frequenciesOf(causes []Cause) []float64 {
	list := make([]float64, len(causes))
	for i, c := range causes {
		list[i] = c.Frequency
	}
	return list
}
