package formula

import (
	"fmt"

	"benchleaf/calc/unit"
)

// rotation tells revolutions from angles, neither of which has a dimension: rpm
// counts revolutions, and 1 rad/s is 1/2π of one in a second. It is known of
// products and quotients of what has a unit. A number that the author writes may
// be the 2π that turns one into the other, or belong to it, as the 9.55 in
// 9.55 * power / speed does: what comes after is not known, and nothing is said
// of it. A torque is a work per angle.
type rotation struct {
	known               bool
	revolutions, angles int
}

// rotationOf is the rotation of what has a unit.
func rotationOf(u unit.Unit) rotation {
	revolutions, angles := u.Kind.Rotation()
	return rotation{true, revolutions, angles}
}

// times is the rotation of a product with the nth power of another.
func (r rotation) times(o rotation, n int) rotation {
	r = rotation{r.known && o.known, r.revolutions + n*o.revolutions, r.angles + n*o.angles}
	r.known = r.known && max(r.revolutions, -r.revolutions, r.angles, -r.angles) <= maxExponent
	return r
}

// lacks2Pi reports whether two quantities of one dimension are apart by
// revolutions that stand for angles: torque * rpm, which is no power. A count of
// revolutions alone is a plain number, and pulses = speed * teeth is right.
func (r rotation) lacks2Pi(o rotation) bool {
	apart := r.times(o, -1)
	return apart.known && apart.revolutions != 0 && apart.revolutions == -apart.angles
}

// declaredRotation is that of an input, or of a constant: one without a
// dimension may be 2π, as a number in a formula may.
func declaredRotation(s *symbol) rotation {
	r := rotationOf(s.unit)
	if s.section == InConstants && s.unit.Kind == unit.Number {
		r.known = false
	}
	return r
}

// rotationOfResult is what the unit says of a result, if the unit tells or the
// formula is known: a result without a unit may be 2π too.
func rotationOfResult(u unit.Unit, got rotation) rotation {
	r := rotationOf(u)
	r.known = got.known || r.revolutions != 0 || r.angles != 0
	return r
}

// turns reports whether a result whose unit tells revolutions from angles has
// its 2π.
func (j *judge) turns(f *formula, got quantity) bool {
	if !got.rotation.lacks2Pi(rotationOf(f.unit)) {
		return true
	}
	var mend string
	if got.rotation.revolutions != 0 {
		mend = j.mendRotation(f.tree)
	} else {
		mend = fmt.Sprintf("rpm counts revolutions: divide the angular speed by 2 * pi for `%s`.", f.name)
	}
	return j.refuse(f.tree, fmt.Sprintf("%s lacks a factor of 2 * pi; `%s` says %s", j.quote(f.tree), f.name, f.unit.Symbol), mend)
}

// mendRotation says how the first name that counts revolutions becomes an angle;
// there is one.
func (j *judge) mendRotation(n *node) string {
	speed := n.first(func(s *symbol) bool { return j.named(s).rotation.revolutions != 0 })
	name := j.f.text[speed.start:speed.end]
	switch got := j.named(speed.symbol); {
	case got.declared != "":
		return fmt.Sprintf("rpm counts revolutions: write 2 * pi * %s for the angular speed.", name)
	case got.rotation.revolutions > 0:
		return fmt.Sprintf("rpm counts revolutions: write 2 * pi * %s.", name)
	}
	return fmt.Sprintf("rpm counts revolutions: write %s / (2 * pi).", name)
}

// first returns the first name in a step that is wanted, or the step itself.
func (n *node) first(wanted func(*symbol) bool) *node {
	if n.op == "name" && wanted(n.symbol) {
		return n
	}
	for _, x := range n.args {
		if found := x.first(wanted); found.op == "name" && wanted(found.symbol) {
			return found
		}
	}
	return n
}
