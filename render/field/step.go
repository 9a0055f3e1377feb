package field

import (
	"maps"
	"slices"
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
