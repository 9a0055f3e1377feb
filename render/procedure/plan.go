package procedure

import (
	"fmt"
	"math"
	"math/bits"
	"slices"
)

// Plan is a set of checks, done one after another until one shows the fault.
//
// It assumes what the rule of least minutes per probability assumes: one fault
// at a time, checks whose misses are independent of each other, and minutes
// that are fixed. A cause that no check shows costs all of them.
//
// Sources: J. B. Kadane and H. A. Simon, "Optimal strategies for a class of
// constrained sequential problems", Annals of Statistics 5(2), 1977;
// D. Heckerman, J. S. Breese and K. Rommelse, "Decision-theoretic
// troubleshooting", Communications of the ACM 38(3), 1995.
type Plan struct {
	Checks      []Check   // in the order that the author wrote; at most 64
	Frequencies []float64 // of each cause; only their ratios count
	// Change holds the minutes that bring the machine from one state to another.
	// Empty: there is one state.
	Change [][]float64
	Start  int // the machine's state before the first check
}

// Settings is a set of settings of the machine, a bit for each. None stands before
// the first check.
type Settings uint64

// maxSettings is as many as fit.
const maxSettings = 64

// Check is one check of a plan.
type Check struct {
	Minutes float64
	Needs   []int   // checks that must come before
	Any     [][]int // groups of checks: of each, one must come before
	State   int     // the machine state in which it is done
	Shows   []Show
	// Settings that must stand when it begins, and those that must not; then those
	// that it puts back, then those that it does.
	Requires, Forbids, Restores, Sets Settings
}

// Show is a cause that a check can show.
type Show struct {
	Cause int
	Power float64 // probability that the check shows the cause when it is there
	// Minutes are what it takes from the check on, where it shows only that the
	// cause is one of some.
	Minutes float64
}

// PlanError is what makes a plan or an order of its checks meaningless.
type PlanError struct {
	Check   int // where the mistake is, -1 when at no check
	Problem string
}

func (e *PlanError) Error() string {
	if e.Check < 0 {
		return e.Problem
	}
	return fmt.Sprintf("check %d: %s", e.Check, e.Problem)
}

// maxChecks is as many as fit a word, one bit a check.
const maxChecks = 64

// Validate returns the first mistake in a plan, a *PlanError, or nil.
func (p Plan) Validate() error {
	_, err := p.ranks()
	return err
}

// Expected returns the expected minutes until a check shows the cause, or the
// last check is done. The order holds every check once.
func (p Plan) Expected(order []int) (float64, error) {
	if _, err := p.ranks(); err != nil {
		return 0, err
	}
	if err := p.allows(order); err != nil {
		return 0, err
	}
	return p.minutes(order), nil
}

// allows returns why checks cannot be done in an order, a *PlanError, or nil.
func (p Plan) allows(order []int) error {
	if len(order) != len(p.Checks) {
		return &PlanError{-1, fmt.Sprintf("an order of %d checks for %d", len(order), len(p.Checks))}
	}
	var done uint64
	var standing Settings
	for _, k := range order {
		if k < 0 || k >= len(p.Checks) {
			return &PlanError{k, "no such check"}
		}
		if done>>k&1 != 0 {
			return &PlanError{k, "twice in the order"}
		}
		c := p.Checks[k]
		if !c.ready(done) {
			return &PlanError{k, "comes before a check that it needs"}
		}
		if !c.fits(standing) {
			return &PlanError{k, "does not find the settings that it needs"}
		}
		done |= 1 << k
		standing = c.leaves(standing)
	}
	return nil
}

// fits tells whether a check finds the settings that it needs.
func (c Check) fits(standing Settings) bool {
	return c.Requires&^standing == 0 && c.Forbids&standing == 0
}

// leaves returns the settings that stand after a check.
func (c Check) leaves(standing Settings) Settings { return standing&^c.Restores | c.Sets }

// minutes is Expected for an order known to be good. Every check costs its
// minutes, and those of the change of state before it, times the probability
// that no earlier check has shown the cause, and what follows on what it shows.
func (p Plan) minutes(order []int) float64 {
	left, state, sum := p.unshown(0), p.Start, 0.0
	for _, k := range order {
		sum += p.cost(state, k)*total(left) + p.after(k, left)
		state = p.Checks[k].State
		p.do(k, left)
	}
	return sum
}

// cost is what a check takes when the machine is in a state.
func (p Plan) cost(state, check int) float64 {
	c := p.Checks[check]
	if len(p.Change) == 0 {
		return c.Minutes
	}
	return p.Change[state][c.State] + c.Minutes
}

// after is what follows on what a check shows, with left as it is before the check.
func (p Plan) after(check int, left []float64) float64 {
	sum := 0.0
	for _, s := range p.Checks[check].Shows {
		sum += left[s.Cause] * s.Power * s.Minutes
	}
	return sum
}

// unshown returns the probability of each cause being there and not yet shown
// by a set of checks.
func (p Plan) unshown(done uint64) []float64 {
	sum := total(p.Frequencies)
	left := make([]float64, len(p.Frequencies))
	for i, f := range p.Frequencies {
		left[i] = f / sum
	}
	for rest := done; rest != 0; rest &= rest - 1 {
		p.do(bits.TrailingZeros64(rest), left)
	}
	return left
}

// do takes from left what a check shows.
func (p Plan) do(check int, left []float64) {
	for _, s := range p.Checks[check].Shows {
		left[s.Cause] *= 1 - s.Power
	}
}

func total(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum
}

// sound tells whether a number can be minutes or a frequency.
func sound(v float64) bool { return v >= 0 && !math.IsInf(v, 1) }

// ranks checks a plan, and returns the place of each check in an order that
// satisfies all needs.
func (p Plan) ranks() ([]int, error) {
	if len(p.Checks) > maxChecks {
		return nil, &PlanError{-1, fmt.Sprintf("more than %d checks", maxChecks)}
	}
	for _, f := range p.Frequencies {
		if !sound(f) {
			return nil, &PlanError{-1, "a frequency is negative, or no number"}
		}
	}
	if sum := total(p.Frequencies); sum == 0 || !sound(sum) {
		return nil, &PlanError{-1, "the frequencies have no sum"}
	}
	states := max(1, len(p.Change))
	longest := 0.0
	for from, row := range p.Change {
		if len(row) != states {
			return nil, &PlanError{-1, "the changes of state are no square"}
		}
		for to, minutes := range row {
			if !sound(minutes) || from == to && minutes != 0 {
				return nil, &PlanError{-1, "a change of state takes negative minutes, no number, or leads nowhere"}
			}
			longest = max(longest, minutes)
		}
	}
	if p.Start < 0 || p.Start >= states {
		return nil, &PlanError{-1, "no such state to start in"}
	}
	all := 0.0
	for k, c := range p.Checks {
		if problem := p.problem(c, states); problem != "" {
			return nil, &PlanError{k, problem}
		}
		all += longest + c.Minutes
		for _, s := range c.Shows {
			all += s.Minutes
		}
	}
	if !sound(2 * all) { // leaves room for rounding
		return nil, &PlanError{-1, "the minutes have no sum"}
	}
	rank := make([]int, len(p.Checks))
	var done uint64
	for n := range p.Checks {
		k := p.next(done)
		if k < 0 {
			return nil, &PlanError{p.ring(done), "needs itself, in the end"}
		}
		rank[k] = n
		done |= 1 << k
	}
	return rank, nil
}

func (p Plan) problem(c Check, states int) string {
	if !sound(c.Minutes) {
		return "minutes are negative, or no number"
	}
	if c.State < 0 || c.State >= states {
		return "no such state"
	}
	for _, needs := range append([][]int{c.Needs}, c.Any...) {
		for _, need := range needs {
			if need < 0 || need >= len(p.Checks) {
				return "needs a check that is not there"
			}
		}
	}
	shown := make([]bool, len(p.Frequencies))
	for _, s := range c.Shows {
		switch {
		case s.Cause < 0 || s.Cause >= len(shown):
			return "shows a cause that is not there"
		case shown[s.Cause]:
			return "shows a cause twice"
		case !(s.Power >= 0 && s.Power <= 1): // refuses what is no number, too
			return "power is no probability"
		case !sound(s.Minutes):
			return "minutes are negative, or no number"
		}
		shown[s.Cause] = true
	}
	return ""
}

// next returns the first check that may follow a set of them, -1 when none may.
func (p Plan) next(done uint64) int {
	for k, c := range p.Checks {
		if done>>k&1 == 0 && c.ready(done) {
			return k
		}
	}
	return -1
}

// ready tells whether the checks that one needs are among those done.
func (c Check) ready(done uint64) bool {
	for _, need := range c.Needs {
		if done>>need&1 == 0 {
			return false
		}
	}
	for _, group := range c.Any {
		if !slices.ContainsFunc(group, func(k int) bool { return done>>k&1 != 0 }) {
			return false
		}
	}
	return true
}

// ring returns the first check of a ring of needs, when none may follow those done.
func (p Plan) ring(done uint64) int {
	// From any check that is left, a need that is left leads to another; after
	// as many needs as there are checks one stands in a ring.
	k := bits.TrailingZeros64(^done)
	back := func(k int) int {
		for _, need := range p.Checks[k].Needs {
			if done>>need&1 == 0 {
				return need
			}
		}
		for _, group := range p.Checks[k].Any {
			if len(group) > 0 && !slices.ContainsFunc(group, func(k int) bool { return done>>k&1 != 0 }) {
				return group[0]
			}
		}
		return k
	}
	for range p.Checks {
		k = back(k)
	}
	first := k
	for to := back(k); to != k; to = back(to) {
		first = min(first, to)
	}
	return first
}
