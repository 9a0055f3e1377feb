package procedure

import (
	"cmp"
	"math/bits"
	"slices"
)

// begun is the beginning of an order.
type begun struct {
	done     uint64
	state    int
	standing Settings
	minutes  float64 // so far
	atLeast  float64 // in the end
	check    int     // the last one
	before   *begun
}

func (b *begun) order() []int {
	var order []int
	for ; b.before != nil; b = b.before {
		order = append(order, b.check)
	}
	slices.Reverse(order)
	return order
}

// run searches with layers of at most width beginnings. It tells whether no layer
// had more, so that the best order is known.
func (s *search) run(width int) bool {
	layer := []*begun{{state: s.Start}}
	whole := true
	for len(layer) > 0 {
		if !s.mayLook() {
			return false
		}
		layer = s.extend(layer)
		if len(layer) > width {
			whole = false
			slices.SortFunc(layer, func(a, b *begun) int {
				return cmp.Or(cmp.Compare(a.atLeast, b.atLeast), cmp.Compare(a.done, b.done), cmp.Compare(a.state, b.state), cmp.Compare(a.standing, b.standing))
			})
			layer = layer[:width]
		}
	}
	return whole
}

// extend adds a check to beginnings, in every way that can still lead to a
// better order. It offers those that nothing is left to do for.
func (s *search) extend(layer []*begun) []*begun {
	type end struct {
		done     uint64
		state    int
		standing Settings
	}
	reached := map[end]*begun{}
	var longer []*begun
	for _, b := range layer {
		left := s.unshown(b.done)
		unshown := total(left)
		for k, c := range s.Checks {
			if b.done>>k&1 != 0 || !c.ready(b.done) || !c.fits(b.standing) {
				continue
			}
			s.looks++
			n := begun{
				done: b.done | 1<<k, state: c.State, standing: c.leaves(b.standing),
				minutes: b.minutes + s.cost(b.state, k)*unshown + s.after(k, left), check: k, before: b,
			}
			at := end{n.done, n.state, n.standing}
			if other := reached[at]; other == nil {
				reached[at] = &n
				longer = append(longer, &n)
			} else if n.minutes < other.minutes {
				*other = n
			}
		}
	}
	kept := longer[:0]
	for _, b := range longer {
		left := s.unshown(b.done)
		if total(left) == 0 && !s.setting { // what comes after is free, in any order
			if b.minutes < s.enough() {
				s.offer(s.finish(b))
			}
			continue
		}
		b.atLeast = b.minutes + s.bound(b.done, b.state, left)
		if b.atLeast < s.enough() {
			if bits.OnesCount64(b.done) == len(s.Checks) {
				s.offer(b.order())
				continue
			}
			kept = append(kept, b)
		}
	}
	return kept
}

// finish adds the checks that are left, as the needs allow.
func (s *search) finish(b *begun) []int {
	order, done := b.order(), b.done
	for k := s.next(done); k >= 0; k = s.next(done) {
		order = append(order, k)
		done |= 1 << k
	}
	return order
}
