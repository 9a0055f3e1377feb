package procedure

import (
	"math"
	"math/bits"
	"slices"
)

// Order is an order of a plan's checks.
type Order struct {
	Checks  []int
	Minutes float64 // expected
	// Exact: no order that is allowed takes less. Else the search was cut
	// off, and this is the best order that it saw.
	Exact bool
}

const (
	// A plan of up to alwaysExact checks is searched to the end. A larger one is
	// given up after looking at some lookLimit beginnings of an order.
	alwaysExact = 16
	lookLimit   = 32_000

	// gain is the part of the minutes that an order must save to be the better
	// one: less is rounding.
	gain = 1e-9
)

// Best returns an order that takes the least expected minutes among those that
// the needs and the settings allow. It is the order as written where no other is
// better, and a *PlanError where none is found.
//
// If keeps is not nil, it is asked of an order whether it will do. One that was
// refused may have been preferred to others with the same beginning, so that what is
// found then is not Exact.
func (p Plan) Best(keeps func(order []int) bool) (Order, error) {
	rank, err := p.ranks()
	if err != nil {
		return Order{}, err
	}
	s := search{Plan: p, rank: rank, keeps: keeps}
	s.prepare()
	relaxed, _ := s.relax(0, p.unshown(0))
	s.best = Order{Minutes: math.Inf(1)}
	for _, order := range [][]int{s.asWritten(), s.greedy(), slices.Clone(relaxed)} {
		s.offer(order)
	}
	// A narrow search finds a good order soon, which then cuts most of what a
	// wider one would have to look at.
	for width, whole := 8, false; !whole && s.mayLook(); width *= 4 {
		s.refused = false // what was found before it has lost nothing
		whole = s.run(width)
		s.best.Exact = whole && !s.refused
	}
	if s.best.Checks == nil && len(p.Checks) > 0 {
		return Order{}, &PlanError{-1, "no order keeps the settings"}
	}
	return s.best, nil
}

// search looks for the best order: layer by layer, each layer holding the best
// way to have done a set of checks and left the machine in a state with what stands on it.
type search struct {
	Plan
	rank  []int
	in    []uint64  // the checks of each state
	enter []float64 // the least minutes that bring the machine to it
	floor float64   // probability that no check shows the cause
	// setting: some check depends on a setting.
	setting bool
	best    Order
	looks   int
	order   []int // of relax
	keeps   func(order []int) bool
	refused bool // keeps has refused an order that the search found
}

func (s *search) prepare() {
	all := uint64(1)<<len(s.Checks) - 1 // of 64 checks too: the shift gives 0
	s.floor = total(s.unshown(all))
	for _, c := range s.Checks {
		s.setting = s.setting || c.Requires|c.Forbids|c.Sets != 0
	}
	s.in = make([]uint64, len(s.Change))
	s.enter = make([]float64, len(s.Change))
	for state := range s.Change {
		for k, c := range s.Checks {
			if c.State == state {
				s.in[state] |= 1 << k
			}
		}
		least := math.Inf(1)
		for from := range s.Change {
			if from != state {
				least = min(least, s.Change[from][state])
			}
		}
		s.enter[state] = least
	}
}

func (s *search) asWritten() []int {
	order := make([]int, len(s.Checks))
	for k := range order {
		order[k] = k
	}
	return order
}

// greedy always takes the check that costs the least minutes per probability
// of showing the cause. It may end where no check finds the settings that it needs.
func (s *search) greedy() []int {
	var order []int
	var done uint64
	var standing Settings
	left, state := s.unshown(0), s.Start
	for range s.Checks {
		best, most := -1, 0.0
		for k, c := range s.Checks {
			if done>>k&1 == 0 && c.ready(done) && c.fits(standing) {
				if r := ratio(s.drop(k, left), s.cost(state, k)); best < 0 || r > most {
					best, most = k, r
				}
			}
		}
		if best < 0 {
			break
		}
		order = append(order, best)
		done |= 1 << best
		s.do(best, left)
		state, standing = s.Checks[best].State, s.Checks[best].leaves(standing)
	}
	return order
}

// offer takes an order as the best so far, if it is allowed and better.
func (s *search) offer(order []int) {
	if s.allows(order) != nil {
		return
	}
	if minutes := s.minutes(order); minutes < s.enough() {
		if s.keeps != nil && !s.keeps(order) {
			s.refused = true
			return
		}
		s.best = Order{Checks: order, Minutes: minutes}
	}
}

// enough is what an order must take less than to be better than the best.
func (s *search) enough() float64 { return s.best.Minutes * (1 - gain) }

func (s *search) mayLook() bool { return len(s.Checks) <= alwaysExact || s.looks < lookLimit }

// drop is the probability that a check shows the cause, when it is done now.
func (s *search) drop(check int, left []float64) float64 {
	sum := 0.0
	for _, show := range s.Checks[check].Shows {
		sum += left[show.Cause] * show.Power
	}
	return sum
}

// ratio is the probability of showing the cause per minute; what takes no time comes first.
func ratio(drop, minutes float64) float64 {
	if minutes == 0 {
		return math.Inf(1)
	}
	return drop / minutes
}

// relax orders the checks that are not done as if each showed as much later as
// it would now, needed one other check at most, found the settings that it needs,
// and changes of state and what follows a check cost nothing. It returns that order, good until the next call, and minutes that no
// order can fall below: a check never shows more after others than before them.
//
// Of such checks the best order is known: the one that shows most per minute is
// done right after the check that it needs, so the two become one (W. A. Horn,
// "Single-machine job sequencing with treelike precedence ordering and linear
// delay penalties", SIAM Journal on Applied Mathematics 23(2), 1972). Where
// none needs another it is the rule of least minutes per probability.
func (s *search) relax(done uint64, left []float64) (order []int, minutes float64) {
	var now, drop, takes, perMinute [maxChecks]float64
	var next, last, head [maxChecks]int // groups as lists; a check's head is in its group, or is the group
	groups := (uint64(1)<<len(s.Checks) - 1) &^ done
	all := 0.0
	for rest := groups; rest != 0; rest &= rest - 1 {
		k := bits.TrailingZeros64(rest)
		now[k], takes[k] = s.drop(k, left), s.Checks[k].Minutes
		drop[k] = now[k]
		perMinute[k] = ratio(drop[k], takes[k])
		next[k], last[k], head[k] = -1, k, k
		all += takes[k]
	}
	unplaced := groups
	order = s.order[:0]
	for groups != 0 {
		g, most := 0, -1.0
		for rest := groups; rest != 0; rest &= rest - 1 {
			if k := bits.TrailingZeros64(rest); perMinute[k] > most {
				g, most = k, perMinute[k]
			}
		}
		groups &^= 1 << g
		if need := s.lastNeed(g, unplaced); need >= 0 {
			into := need
			for head[into] != into {
				into = head[into]
			}
			head[g] = into
			next[last[into]], last[into] = g, last[g]
			drop[into] += drop[g]
			takes[into] += takes[g]
			perMinute[into] = ratio(drop[into], takes[into])
			continue
		}
		for k := g; k >= 0; k = next[k] {
			order = append(order, k)
			unplaced &^= 1 << k
		}
	}
	s.order = order

	unshown := total(left)
	least := s.floor * all
	for _, k := range order {
		minutes += s.Checks[k].Minutes * unshown
		unshown -= now[k]
	}
	return order, max(minutes, least)
}

// lastNeed returns the need of a check that is placed last among those not yet
// placed, -1 when all are.
func (s *search) lastNeed(check int, unplaced uint64) int {
	last := -1
	for _, need := range s.Checks[check].Needs {
		if unplaced>>need&1 != 0 && (last < 0 || s.rank[need] > s.rank[last]) {
			last = need
		}
	}
	return last
}

// bound returns minutes that the rest of an order cannot fall below.
func (s *search) bound(done uint64, state int, left []float64) float64 {
	_, minutes := s.relax(done, left)
	all := uint64(1)<<len(s.Checks) - 1
	for to, checks := range s.in {
		// The machine comes to this state before all its checks that are left,
		// and after the others at the latest.
		if due := checks &^ done; to != state && due != 0 {
			minutes += s.enter[to] * total(s.unshown(all&^due))
		}
	}
	return minutes
}
