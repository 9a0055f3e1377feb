package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// proveSettings remarks on what a procedure says of settings and some way through
// it contradicts.
func proveSettings(p *handbook.Page, remarks *remark.List) {
	c := p.Procedure.Course()
	for k := range c.Settings {
		var groups []slip
		atEnds := slices.ContainsFunc(c.Course, func(s procedure.Stop) bool { return s.Bare && slices.Contains(s.Restores, k) })
		for _, clash := range c.Follow(k).Clashes {
			s := slip{setting: k, clash: clash, from: changedAt(c, k, clash)}
			s.apart = atEnds && clash.Kind == procedure.Barred && c.Course[clash.Stop].Bare
			if i := slices.IndexFunc(groups, s.same); i >= 0 {
				groups[i].also = append(groups[i].also, clash.Stop)
			} else {
				groups = append(groups, s)
			}
		}
		for _, s := range groups {
			s.tell(c, remarks)
		}
	}
}

// slip is what an author most likely got wrong once: clashes of one setting that
// follow from one stop's change of it, told at the first.
type slip struct {
	setting int
	clash   procedure.Clash
	from    int // the stop that changed the setting last; -1 for none
	also    []int
	apart   bool // an end that forgets what other ends put back
}

// same tells whether another clash follows from the same slip: a setting that is
// not there where it should be, or one that is there where it should not. What a
// stop has put back and a later one puts back again is a slip of its own.
func (s slip) same(other slip) bool {
	missing := func(k procedure.ClashKind) bool { return k == procedure.Lacking || k == procedure.Idle }
	return s.from == other.from && !s.apart && !other.apart && missing(s.clash.Kind) == missing(other.clash.Kind) &&
		(s.from < 0 || (s.clash.Kind == procedure.Idle) == (other.clash.Kind == procedure.Idle))
}

// changedAt returns the last stop before a clash that sets the setting, where it
// stands, or that puts it back, where it does not.
func changedAt(c handbook.Course, setting int, clash procedure.Clash) int {
	for i := len(clash.Way) - 2; i >= 0; i-- {
		stop := c.Course[clash.Way[i]]
		if slices.Contains(stop.Sets, setting) || slices.Contains(stop.Restores, setting) {
			return clash.Way[i]
		}
	}
	return -1
}

// tell adds the remark, at the word that is contradicted.
func (s slip) tell(c handbook.Course, remarks *remark.List) {
	stop := c.Stops[s.clash.Stop]
	setting := c.Settings[s.setting]
	kind, at := remark.SettingLeft, stop.Place
	named := func(list []handbook.SettingAt) {
		for _, x := range list {
			if x.Setting == setting {
				at = x.Place
			}
		}
	}
	var d handbook.Conduct
	if stop.Step != nil && stop.Step.Conduct != nil {
		d = *stop.Step.Conduct
	}
	switch s.clash.Kind {
	case procedure.Lacking:
		kind = remark.SettingMissing
		named(d.Requires)
	case procedure.Forbidden:
		kind = remark.SettingForbidden
		named(d.Forbids)
	case procedure.Barred:
		if stop.Step != nil {
			kind = remark.SettingState
			named(d.Sets)
		}
	case procedure.Idle:
		kind = remark.SettingIdle
		named(stop.Restores)
	case procedure.Again:
		kind = remark.SettingTwice
		named(d.Sets)
	}
	var way, also []string
	for _, i := range s.clash.Way {
		way = append(way, c.Stops[i].Name())
	}
	for _, i := range s.also {
		if name := "`" + c.Stops[i].Name() + "`"; !slices.Contains(also, name) {
			also = append(also, name)
		}
	}
	more := ""
	if also != nil {
		more = "; so too " + strings.Join(also, ", ")
	}
	remarks.Add(kind, at, setting.ID, "`"+stop.Name()+"`", strings.Join(way, ", "), more)
}
