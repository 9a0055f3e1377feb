package procedure

import "fmt"

// Route is what it takes to come to the ends of a graph as written.
type Route struct {
	Ends []Span // minutes to each end
	// Expected is the mean of the ends that are reached, by their frequencies.
	Expected Span
	// Forks are the steps where several answers lead on to an end. Without them
	// and with perfect checks, Least and Most are the same and exact.
	Forks []Fork
}

// Span is from the least minutes to the most.
type Span struct {
	Least, Most float64
	Reached     bool
}

// Fork is a step from which several others lead on to an end.
type Fork struct{ Step, End int }

// Route follows, for each end, a technician who has that fault. A step that
// ends at it shows it. Else the technician gives the answer from which the end
// can still be reached; ways back to a known outcome do not count. Where
// several answers are such, nothing says which one it is, and the minutes
// become a span over all of them.
//
// The plan holds a check for each step and a frequency for each end. What the
// checks show stands in the graph: their Shows are not looked at.
func (g Graph) Route(p Plan) (Route, error) {
	if err := g.fits(p); err != nil {
		return Route{}, err
	}
	w := walker{Plan: p, forward: g.forward(), graph: g}
	r := Route{Ends: make([]Span, g.Ends)}
	weights := 0.0
	for end, f := range p.Frequencies {
		if len(g.Steps) == 0 {
			break
		}
		w.end, w.spans = end, make([]*Span, len(g.Steps))
		span := w.from(0)
		if !span.Reached {
			continue
		}
		r.Ends[end] = span.after(p.cost(p.Start, 0))
		r.Expected.Least += f * r.Ends[end].Least
		r.Expected.Most += f * r.Ends[end].Most
		weights += f
		for step, ways := range w.on(0, make([]int, len(g.Steps))) {
			if ways > 1 {
				r.Forks = append(r.Forks, Fork{step, end})
			}
		}
	}
	if weights > 0 {
		r.Expected = Span{r.Expected.Least / weights, r.Expected.Most / weights, true}
	}
	return r, nil
}

// fits checks that a plan is one of this graph.
func (g Graph) fits(p Plan) error {
	if len(p.Checks) != len(g.Steps) {
		return &PlanError{-1, fmt.Sprintf("%d checks for %d steps", len(p.Checks), len(g.Steps))}
	}
	if len(p.Frequencies) != g.Ends {
		return &PlanError{-1, fmt.Sprintf("%d frequencies for %d ends", len(p.Frequencies), g.Ends)}
	}
	return p.Validate()
}

// forward returns the steps that each step leads on to, each once, without ways
// back to a known outcome. No way in it leads in a circle.
func (g Graph) forward() [][]int {
	on := g.ways()
	for _, w := range Repeats(g) {
		on[w.Step][w.To] = false
	}
	forward := make([][]int, len(on))
	for i := range on {
		for to, ok := range on[i] {
			if ok {
				forward[i] = append(forward[i], to)
			}
		}
	}
	return forward
}

// walker walks to one end.
type walker struct {
	Plan
	graph   Graph
	forward [][]int
	end     int
	spans   []*Span // of the steps that from has answered
}

// from returns the minutes from when a step is done until the end.
func (w *walker) from(step int) Span {
	if s := w.spans[step]; s != nil {
		return *s
	}
	var span Span
	if w.shows(step) {
		span.Reached = true
	} else {
		for _, to := range w.forward[step] {
			if s := w.from(to); s.Reached {
				span = span.or(s.after(w.cost(w.Checks[step].State, to)))
			}
		}
	}
	w.spans[step] = &span
	return span
}

func (w *walker) shows(step int) bool {
	for _, e := range w.graph.Steps[step].End {
		if e == w.end {
			return true
		}
	}
	return false
}

// on counts, for each step that a technician may come to, the ways that lead
// on to the end.
func (w *walker) on(step int, ways []int) []int {
	if w.shows(step) || ways[step] > 0 {
		return ways
	}
	for _, to := range w.forward[step] {
		if w.from(to).Reached {
			ways[step]++
			w.on(to, ways)
		}
	}
	return ways
}

func (s Span) after(minutes float64) Span {
	return Span{s.Least + minutes, s.Most + minutes, s.Reached}
}

func (s Span) or(other Span) Span {
	if !s.Reached {
		return other
	}
	return Span{min(s.Least, other.Least), max(s.Most, other.Most), true}
}
