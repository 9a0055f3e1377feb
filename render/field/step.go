package field

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"time"

	"benchleaf/render/record"
)

// longest is the time beyond which a step was not worked at but left.
const longest = time.Hour

type stepKey struct{ page, step string }

// step is how a step was used.
type step struct {
	title   string // as a record has it
	number  int
	seen    int
	idle    int            // times over an hour, which are left out of seconds
	seconds map[int]int    // how often the step took so many
	targets map[string]int // where it was left to
}

func (s *Sum) step(e *record.Entry, sign int) {
	c := row(s, s.steps, stepKey{e.Page, e.Step}, sign)
	if c == nil {
		return
	}
	if c.seconds == nil {
		c.seconds, c.targets = map[int]int{}, map[string]int{}
	}
	c.number = e.Number
	if e.Title != "" {
		c.title = e.Title
	}
	c.seen += sign
	bump(s, c.targets, e.To, sign)
	if took := e.At.Sub(e.Shown); took > longest {
		c.idle += sign
	} else {
		c.seconds[int(took.Round(time.Second).Seconds())] += sign
	}
}

// quantile returns the least number of seconds that the share q of the times
// does not exceed: the nearest rank, so that every figure is a time that was
// taken.
func (c *step) quantile(q float64) float64 {
	all := 0
	for _, n := range c.seconds {
		all += n
	}
	below := 0
	for _, seconds := range slices.Sorted(maps.Keys(c.seconds)) {
		if below += c.seconds[seconds]; float64(below) >= q*float64(all) && below > 0 {
			return float64(seconds)
		}
	}
	return 0
}

// only returns where every record left the step to; false if there were several
// places.
func (c *step) only() (to string, ok bool) {
	for target, n := range c.targets {
		switch {
		case n == 0: // of a record that was taken out again
		case ok:
			return "", false
		default:
			to, ok = target, true
		}
	}
	return to, ok
}

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
		Name: "steps", Title: "Minutes of each step", Group: 2,
		About: "From when a step was shown to its answer. A time over an hour is a pause: it is counted apart, not in the minutes. Median, and what 10 % and 90 % of the times do not exceed.",
		Columns: columns("!procedure=Procedure", "procedure_title=Procedure", "#number=No.", "step=Step", "title=Title", "#written_minutes=As written", "#seen=Seen", "#median_minutes=Median",
			"#tenth_minutes=10 %", "#ninetieth_minutes=90 %", "#pauses=Pauses"),
	}
	for _, k := range s.stepKeys() {
		c := s.steps[k]
		written := ""
		if known := s.book.step(k.page, k.step); known != nil {
			written = orBlank(known.Minutes)
		}
		row := []string{k.page, s.book.pageTitle(k.page), strconv.Itoa(c.number), k.step, s.stepTitle(k), written, strconv.Itoa(c.seen)}
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
		Name: "undecided", Title: "Steps that never decided anything", Group: 2,
		About:   "Every record, two at least, left the step to the same place, though it could have led elsewhere.",
		Columns: columns("!procedure=Procedure", "procedure_title=Procedure", "step=Step", "title=Title", "#seen=Seen", "to=Always to"),
	}
	for _, k := range s.stepKeys() {
		c := s.steps[k]
		if known := s.book.step(k.page, k.step); known != nil && known.Ways < 2 {
			continue
		}
		if to, ok := c.only(); ok && c.seen > 1 {
			t.Rows = append(t.Rows, []string{k.page, s.book.pageTitle(k.page), k.step, s.stepTitle(k), strconv.Itoa(c.seen), to})
		}
	}
	return t
}
