package field

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Report is what a Sum says, as tables that every form is made of.
type Report struct {
	Records int
	Notes   []string // what to know before the figures
	Tables  []Table
	Changes []Change
	sum     *Sum
}

// Refused adds a table of what was not taken.
func (r *Report) Refused(list []Refusal) {
	t := Table{Name: "refused", Title: "Files that were refused", Columns: columns("file=File", "reason=Reason")}
	for _, f := range list {
		t.Rows = append(t.Rows, []string{f.Name, f.Reason})
	}
	r.Tables = append(r.Tables, t)
}

// Table is one kind of figures.
type Table struct {
	Name, Title, About string
	Legend             string // of the pictures
	Columns            []Column
	// Group is how many of the first columns say what the rows of a section share.
	Group int
	Rows  [][]string
	// Pictures has a picture for each row, or is nil.
	Pictures []Picture
	// Figures is true for a table that pictures say more of than its rows: only CSV
	// has the rows.
	Figures bool
}

// Column is a column with its name in CSV and its head elsewhere.
type Column struct {
	Name, Head string
	Number     bool
}

// all is the model of rows that add up all models; none of those whose records
// do not say one.
const (
	all  = "all"
	none = "not given"
)

// columns makes columns from "name=Head"; "#" before a name is for numbers.
func columns(list ...string) []Column {
	var c []Column
	for _, entry := range list {
		name, head, _ := strings.Cut(entry, "=")
		number, isNumber := strings.CutPrefix(name, "#")
		c = append(c, Column{number, head, isNumber})
	}
	return c
}

// Report says what the sum is, with the author's frequencies worth as many
// records as weight.
func (s *Sum) Report(weight float64) *Report {
	r := &Report{Records: s.Records, sum: s}
	r.Tables = append(r.Tables, s.endsTable(), s.causesTable(weight))
	if s.book != nil {
		r.Changes = s.changes(weight)
		r.Tables = append(r.Tables, changesTable(r.Changes))
	} else {
		r.Notes = append(r.Notes, "Shares and new frequencies need the handbook: its causes, and what its author expects.")
	}
	r.Tables = append(r.Tables, s.stepsTable(), s.undecidedTable(), s.readingsTable(), s.binsTable(), s.partsTable(), s.editionsTable(), s.unknownTable())
	if s.Crowded > 0 {
		r.Notes = append(r.Notes, strconv.Itoa(s.Crowded)+" counts were left out: the records hold more names than there can be.")
	}
	return r
}

// pages lists the procedures, and models the models of one, both in order.
func (s *Sum) pages() []string {
	pages := map[string]bool{}
	for k := range s.jobs {
		pages[k.page] = true
	}
	return slices.Sorted(maps.Keys(pages))
}

// byModel returns the counts of a procedure, first all models together.
func (s *Sum) byModel(page string) (models []string, counts []*jobs) {
	whole := &jobs{proved: map[string]int{}, unproved: map[string]int{}}
	for k, j := range s.jobs {
		if k.page != page || j.seen == 0 {
			continue
		}
		models = append(models, k.model)
		whole.add(j)
	}
	slices.Sort(models)
	counts = append(counts, whole)
	for i, m := range models {
		counts = append(counts, s.jobs[jobsKey{page, m}])
		if m == "" {
			models[i] = none
		}
	}
	return append([]string{all}, models...), counts
}

func (j *jobs) add(other *jobs) {
	j.seen += other.seen
	for cause, n := range other.proved {
		j.proved[cause] += n
	}
	for cause, n := range other.unproved {
		j.unproved[cause] += n
	}
	j.refuted += other.refuted
	j.handOver += other.handOver
	j.notReproduced += other.notReproduced
	j.elsewhere += other.elsewhere
	j.open += other.open
}

func (j *jobs) found(cause string) int { return j.proved[cause] + j.unproved[cause] }

func (s *Sum) endsTable() Table {
	t := Table{
		Name: "ends", Title: "What became of the jobs", Group: 2,
		About: "Found and proved: the check after the repair was passed. Refuted: found, not proved, and another cause found after it. Elsewhere: the end is on another page.",
		Columns: columns("procedure=Procedure", "symptom=Symptom", "model=Model", "#jobs=Jobs", "#proved=Found and proved", "#unproved=Found, not proved",
			"#refuted=Refuted", "#handed_over=Handed over", "#not_reproduced=Not reproduced", "#elsewhere=Elsewhere", "#open=No end"),
	}
	for _, page := range s.pages() {
		models, counts := s.byModel(page)
		for i, j := range counts {
			t.Rows = append(t.Rows, append([]string{page, s.book.symptom(page), models[i]},
				figures(j.seen, sum(j.proved), sum(j.unproved), j.refuted, j.handOver, j.notReproduced, j.elsewhere, j.open)...))
		}
	}
	return t
}

func sum(counts map[string]int) (n int) {
	for _, c := range counts {
		n += c
	}
	return n
}

func figures(values ...int) []string {
	list := make([]string, len(values))
	for i, v := range values {
		list[i] = strconv.Itoa(v)
	}
	return list
}

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
		Name: "causes", Title: "Causes found", Group: 3, About: "Proved: the check after the repair was passed.",
		Columns: columns("procedure=Procedure", "symptom=Symptom", "model=Model", "cause=Cause", "title=Title", "#frequency=Frequency as written",
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
			if i == 0 || sum(j.proved)+sum(j.unproved) > 0 {
				s.causeRows(&t, []string{page, s.book.symptom(page), models[i]}, causes, j, weight)
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

func orBlank(v float64) string {
	if v == 0 {
		return ""
	}
	return trimmed(v)
}

// trimmed is a number with no more digits than it has, twelve at most.
func trimmed(v float64) string {
	if math.IsInf(v, 0) {
		return ""
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func percent(share float64) string { return strconv.FormatFloat(100*share, 'f', 1, 64) }

func minutes(seconds float64) string { return strconv.FormatFloat(seconds/60, 'f', 1, 64) }

// stepKeys lists the steps that were seen, as the procedures have them.
func (s *Sum) stepKeys() []stepKey {
	var keys []stepKey
	for k, c := range s.steps {
		if c.seen > 0 {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(a, b stepKey) int {
		return cmp.Or(cmp.Compare(a.page, b.page), cmp.Compare(s.steps[a].number, s.steps[b].number), cmp.Compare(a.step, b.step))
	})
	return keys
}

func (s *Sum) stepsTable() Table {
	t := Table{
		Name: "steps", Title: "Minutes of each step", Group: 1,
		About: "From when a step was shown to its answer. A time over an hour is a pause: it is counted apart, not in the minutes. Median, and what 10 % and 90 % of the times do not exceed.",
		Columns: columns("procedure=Procedure", "#number=No.", "step=Step", "title=Title", "#written_minutes=As written", "#seen=Seen", "#median_minutes=Median",
			"#tenth_minutes=10 %", "#ninetieth_minutes=90 %", "#pauses=Pauses"),
	}
	for _, k := range s.stepKeys() {
		c := s.steps[k]
		written := ""
		if known := s.book.step(k.page, k.step); known != nil {
			written = orBlank(known.Minutes)
		}
		row := []string{k.page, strconv.Itoa(c.number), k.step, s.stepTitle(k), written, strconv.Itoa(c.seen)}
		if c.idle < c.seen {
			row = append(row, minutes(c.quantile(0.5)), minutes(c.quantile(0.1)), minutes(c.quantile(0.9)))
		} else {
			row = append(row, "", "", "")
		}
		t.Rows = append(t.Rows, append(row, strconv.Itoa(c.idle)))
	}
	return t
}

func (s *Sum) stepTitle(k stepKey) string {
	if known := s.book.step(k.page, k.step); known != nil {
		return known.Title
	}
	return s.steps[k].title
}

func (s *Sum) undecidedTable() Table {
	t := Table{
		Name: "undecided", Title: "Steps that never decided anything", Group: 1,
		About:   "Every record, two at least, left the step to the same place, though it could have led elsewhere.",
		Columns: columns("procedure=Procedure", "step=Step", "title=Title", "#seen=Seen", "to=Always to"),
	}
	for _, k := range s.stepKeys() {
		c := s.steps[k]
		if known := s.book.step(k.page, k.step); known != nil && known.Ways < 2 {
			continue
		}
		if to, ok := c.only(); ok && c.seen > 1 {
			t.Rows = append(t.Rows, []string{k.page, k.step, s.stepTitle(k), strconv.Itoa(c.seen), to})
		}
	}
	return t
}

// readingKeys lists what was read.
func (s *Sum) readingKeys() []readingKey {
	var keys []readingKey
	for k, c := range s.readings {
		if c.seen() > 0 {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(a, b readingKey) int {
		return cmp.Or(cmp.Compare(a.spec, b.spec), cmp.Compare(a.model, b.model), cmp.Compare(a.unit, b.unit), cmp.Compare(a.min, b.min), cmp.Compare(a.max, b.max))
	})
	return keys
}

func (s *Sum) readingsTable() Table {
	t := Table{
		Name: "readings", Title: "Readings against the limits", Group: 2,
		About: "With the limits as the records have them: other limits are another row, with the editions that had them.",
		Columns: columns("specification=Specification", "title=Title", "model=Model", "#min=Lower limit", "#max=Upper limit", "unit=Unit", "editions=Editions",
			"#readings=Readings", "#low=Low", "#within=Within", "#high=High", "#close=Too close", "#none=No reading", "#other=Not judged"),
		Pictures: []Picture{},
	}
	for i, k := range s.readingKeys() {
		c := s.readings[k]
		t.Rows = append(t.Rows, append([]string{k.spec, s.specTitle(k), modelText(k.model), trimmed(k.min), trimmed(k.max), k.unit, editionsText(c.editions)},
			figures(c.seen(), c.low, c.within, c.high, c.close, c.none, c.others)...))
		t.Pictures = append(t.Pictures, s.histogram(i, k))
	}
	return t
}

func (s *Sum) specTitle(k readingKey) string {
	if s.book != nil {
		if title := s.book.specs[k.spec]; title != "" {
			return title
		}
	}
	return s.readings[k].measure
}

// editionsText lists editions with how many readings each has.
func editionsText(editions map[string]int) string {
	var list []string
	for _, e := range slices.Sorted(maps.Keys(editions)) {
		if editions[e] > 0 {
			list = append(list, cmp.Or(e, none)+" ("+strconv.Itoa(editions[e])+")")
		}
	}
	return strings.Join(list, ", ")
}

func (s *Sum) binsTable() Table {
	t := Table{
		Name: "histogram", Title: "Histogram of the readings", Figures: true,
		Columns: columns("specification=Specification", "model=Model", "#min=Lower limit", "#max=Upper limit", "unit=Unit", "#from=From", "#to=To", "#readings=Readings"),
	}
	for _, k := range s.readingKeys() {
		if !k.limited() {
			continue
		}
		for bin, n := range s.readings[k].bins {
			from, to := "", ""
			if bin > 0 {
				from = trimmed(k.edge(bin))
			}
			if bin < binCount-1 {
				to = trimmed(k.edge(bin + 1))
			}
			t.Rows = append(t.Rows, []string{k.spec, modelText(k.model), trimmed(k.min), trimmed(k.max), k.unit, from, to, strconv.Itoa(n)})
		}
	}
	return t
}

func (s *Sum) partsTable() Table {
	t := Table{
		Name: "parts", Title: "Parts replaced, and what the readings said",
		About: "Out of limits or not: the reading that condemns the part, or else the one that led to its cause. Not read: no reading led there.",
		Columns: columns("part=Part", "title=Title", "procedure=Procedure", "#replaced=Replaced", "#outside=Out of limits", "#close=Too close to call",
			"#within=Within limits", "#unread=Not read"),
	}
	for _, k := range slices.SortedFunc(maps.Keys(s.parts), func(a, b partKey) int {
		return cmp.Or(cmp.Compare(a.part, b.part), cmp.Compare(a.page, b.page))
	}) {
		p := s.parts[k]
		replaced := p.outside + p.close + p.within + p.unread
		if replaced == 0 {
			continue
		}
		title := ""
		if s.book != nil {
			title = s.book.parts[k.part]
		}
		t.Rows = append(t.Rows, append([]string{cmp.Or(k.part, none), title, k.page}, figures(replaced, p.outside, p.close, p.within, p.unread)...))
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

func (s *Sum) unknownTable() Table {
	t := Table{
		Name: "unknown", Title: "Names that the handbook does not have",
		About:   "Of another edition, or of another handbook. A procedure, step or cause that is not known counts in no other table but this.",
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

func (b *Book) symptom(page string) string {
	if b == nil || b.procedures[page] == nil {
		return ""
	}
	return b.procedures[page].Symptom
}
