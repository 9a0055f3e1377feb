package procedure

import "slices"

// needs returns the places on the line that must come before the k-th: what it
// and its branches need, the first step, and every other before a last step that
// leads to no exit. For what they meet, some place that warns of it will do.
func (l *liner) needs(k int) (needs []int, groups [][]int) {
	add := func(place int) {
		if place >= 0 && place != k && !slices.Contains(needs, place) {
			needs = append(needs, place)
		}
	}
	if k > 0 {
		add(0)
	}
	if k == len(l.line)-1 && !l.graph.Steps[l.line[k]].Exit {
		for place := range k {
			add(place)
		}
	}
	for _, i := range region(l.off, l.line[k]) {
		s := l.graph.Steps[i]
		for _, need := range l.plan.Checks[i].Needs {
			add(l.owner[need])
		}
		for _, h := range s.Meets {
			if !l.unwarned(k, i, h) {
				continue
			}
			var group []int
			for place, step := range l.line {
				if slices.Contains(l.graph.Steps[step].Guards, h) {
					group = append(group, place)
				}
			}
			switch len(group) {
			case 0: // nothing on the line warns, in any order
			case 1:
				add(group[0])
			default:
				groups = append(groups, group)
			}
		}
	}
	slices.Sort(needs)
	return needs, groups
}

// unwarned tells whether the k-th step of the line, or a step of its branches, is
// reached from there without a warning of a hazard.
func (l *liner) unwarned(k, step, hazard int) bool {
	past := slices.Clone(l.off)
	for i, s := range l.graph.Steps {
		if slices.Contains(s.Guards, hazard) {
			if i == step || i == l.line[k] {
				return false
			}
			past[i] = nil
		}
	}
	return slices.Contains(region(past, l.line[k]), step)
}

// addSettings adds what each check of the line, with its branches, finds and
// leaves on the machine. Who changes a setting finds it as it was written, so that
// what stands after the last is the same in every order.
func (l *liner) addSettings(p *Plan) {
	var standing Settings
	for k, step := range l.line {
		c := &p.Checks[k]
		for s := range l.settings {
			bit := Settings(1) << s
			stop := l.course[step]
			if slices.Contains(stop.Restores, s) {
				c.Restores |= bit
			}
			if slices.Contains(stop.Sets, s) {
				c.Sets |= bit
			}
			as := standing&bit != 0
			if !l.passes(k, s, stands, as) {
				c.Forbids |= bit
			}
			if !l.passes(k, s, absent, as) {
				c.Requires |= bit
			}
		}
		standing = c.leaves(standing)
	}
}

// passes tells whether the k-th step of the line and its branches keep what they
// say of a setting when it is in a condition. What is done although it stands, or put
// back although it does not, is a contradiction at a step unless it is so as written;
// an end may put back what does not stand.
func (l *liner) passes(k, setting int, is condition, written bool) bool {
	asWritten := written == (is == stands)
	reached := []stand{{l.line[k], is}}
	for n := 0; n < len(reached); n++ {
		here := reached[n]
		stop := l.course[here.stop]
		d := stop.pass(setting, here.is)
		if d.clash != noClash || !asWritten && !stop.Bare && (d.idle || d.again) {
			return false
		}
		if stop.Bare {
			continue
		}
		for _, to := range stop.To {
			if to < len(l.graph.Steps) && !slices.Contains(l.off[here.stop], to) {
				continue
			}
			if next := (stand{to, d.is}); !slices.Contains(reached, next) {
				reached = append(reached, next)
			}
		}
	}
	return true
}
