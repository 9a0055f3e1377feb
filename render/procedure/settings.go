package procedure

import "slices"

// Course is a procedure as it changes the machine: its steps and its ends, the
// first step first. A setting is anything that can stand on the machine and is no
// part of how it is handed back, such as a fuse that is out; at first none stands.
type Course []Stop

// Stop is a step or an end. Settings are numbers of the caller's.
type Stop struct {
	To []int // the stops that a way leads to
	// What must stand when the stop begins, and what must not.
	Requires, Forbids []int
	// Then Restores is put back; of what still stands, nothing may be among Bars,
	// or nothing at all may be there where the stop is Bare; then Sets is done.
	Restores, Bars, Sets []int
	Bare                 bool
}

// ClashKind says what is wrong with a setting at a stop.
type ClashKind int

// The kinds of clash.
const (
	noClash   ClashKind = iota
	Lacking             // it is required and does not stand
	Forbidden           // it stands and is forbidden
	Barred              // it stands, or is done, where it is barred, or the stop is bare
	Idle                // it is put back and never stands
	Again               // it is done and always stands already
)

// Clash is something wrong with a setting at a stop.
type Clash struct {
	Kind ClashKind
	Stop int
	// Way is one on which it happens: the shortest, from where it began to this one.
	Way []int
}

// Flow is what is known of one setting on all ways through a course.
type Flow struct {
	// By stop: whether it stands on some way when the stop begins, and whether some
	// way leads there and it stands on every one.
	May, Surely []bool
	Clashes     []Clash // those of short ways first; Idle and Again last
}

// condition is that of a setting on a way.
type condition int

const (
	absent condition = iota
	stands
	told // there was a clash; until a stop changes the setting, no further one is told
)

// stand is a stop, and the condition of the setting when it begins.
type stand struct {
	stop int
	is   condition
}

// Follow follows one setting from the first stop on. Beyond a clash it tells no other one on that way
// until the setting is done or put back, so that one slip does not look like many.
//
// Nothing but the stops that are passed changes a setting, so that a search
// through the stops, with each condition, sees all that can happen.
func (c Course) Follow(setting int) Flow { return c.FollowFrom(setting, 0) }

// FollowFrom is Follow for a technician who begins at another stop.
func (c Course) FollowFrom(setting, begin int) Flow {
	f := Flow{May: make([]bool, len(c)), Surely: make([]bool, len(c))}
	if len(c) == 0 {
		return f
	}
	from := map[stand]stand{}
	reached := []stand{{begin, absent}}
	idle, again := make([]int, len(c)), make([]int, len(c)) // arrivals for which it is
	for n := 0; n < len(reached); n++ {
		here := reached[n]
		i := here.stop
		d := c[i].pass(setting, here.is)
		if d.clash != noClash {
			f.Clashes = append(f.Clashes, Clash{d.clash, i, wayTo(here, from)})
		}
		if d.idle {
			idle[i]++
		}
		if d.again {
			again[i]++
		}
		for _, to := range c[i].To {
			next := stand{to, d.is}
			if _, seen := from[next]; !seen && next != reached[0] {
				from[next] = here
				reached = append(reached, next)
			}
		}
	}
	arrivals := make([]int, len(c))
	for _, here := range reached {
		arrivals[here.stop]++
		f.May[here.stop] = f.May[here.stop] || here.is == stands
	}
	told := make([]bool, len(c))
	for _, here := range reached {
		i := here.stop
		if told[i] {
			continue
		}
		told[i] = true
		f.Surely[i] = f.May[i] && arrivals[i] == 1
		if idle[i] == arrivals[i] {
			f.Clashes = append(f.Clashes, Clash{Idle, i, wayTo(here, from)})
		}
		if again[i] == arrivals[i] {
			f.Clashes = append(f.Clashes, Clash{Again, i, wayTo(here, from)})
		}
	}
	return f
}

// wayTo returns the stops of the way that was found.
func wayTo(here stand, from map[stand]stand) []int {
	way := []int{here.stop}
	for {
		before, ok := from[here]
		if !ok {
			slices.Reverse(way)
			return way
		}
		way, here = append(way, before.stop), before
	}
}

// passing is what becomes of a setting at a stop.
type passing struct {
	is          condition // when the stop is left
	clash       ClashKind
	idle, again bool
}

// pass takes a setting through a stop, in the order that Stop gives.
func (s Stop) pass(setting int, is condition) (p passing) {
	p.is = is
	clash := func(kind ClashKind) {
		if p.clash == noClash {
			p.clash, p.is = kind, told
		}
	}
	if is == absent && slices.Contains(s.Requires, setting) {
		clash(Lacking)
	}
	if is == stands && slices.Contains(s.Forbids, setting) {
		clash(Forbidden)
	}
	if slices.Contains(s.Restores, setting) {
		p.idle = p.is == absent
		p.is = absent
	}
	barred := s.Bare || slices.Contains(s.Bars, setting)
	sets := slices.Contains(s.Sets, setting)
	if barred && (p.is == stands || sets) {
		clash(Barred)
	}
	if sets {
		p.again = p.is == stands
		if p.is = stands; barred {
			p.is = told
		}
	}
	return p
}
