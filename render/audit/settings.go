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
		lacking := false
		for _, clash := range c.Follow(k).Clashes {
			// What is put back and never stands may follow from what is not done.
			if lacking = lacking || clash.Kind == procedure.Lacking; lacking && clash.Kind == procedure.Idle {
				continue
			}
			s := slip{setting: k, clash: clash, from: slippedAt(c, k, clash)}
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
// follow from what one stop does not do, told at the first.
type slip struct {
	setting int
	clash   procedure.Clash
	from    int // the stop, -1 for none
	also    []int
}

// same tells whether another clash follows from the same slip: a setting that is
// not there where it should be, or one that is there where it should not.
func (s slip) same(other slip) bool {
	missing := func(k procedure.ClashKind) bool { return k == procedure.Lacking || k == procedure.Idle }
	return s.from == other.from && missing(s.clash.Kind) == missing(other.clash.Kind)
}

// slippedAt returns where a clash most likely comes from. Where the setting does
// not stand, it is the stop that put it back last, -1 for none. Where it does, it is
// the first stop since it was done after which nothing puts it back: if others do
// on their ways, that one forgot it.
func slippedAt(c handbook.Course, setting int, clash procedure.Clash) int {
	last := -1
	for n, i := range clash.Way[:len(clash.Way)-1] {
		if stop := c.Course[i]; slices.Contains(stop.Sets, setting) || slices.Contains(stop.Restores, setting) {
			last = n
		}
	}
	switch {
	case last < 0:
		return -1
	case clash.Kind == procedure.Lacking || clash.Kind == procedure.Idle:
		return clash.Way[last]
	}
	for _, i := range clash.Way[last:] {
		if !putBackAfter(c, setting, i) {
			return i
		}
	}
	return clash.Stop
}

// putBackAfter tells whether a way from a stop, not beyond an end or where the
// setting is done anew, comes to one that puts it back.
func putBackAfter(c handbook.Course, setting, from int) bool {
	seen := make([]bool, len(c.Course))
	next := []int{from}
	for len(next) > 0 {
		i := next[len(next)-1]
		next = next[:len(next)-1]
		if c.Course[i].Bare {
			continue
		}
		for _, to := range c.Course[i].To {
			if seen[to] {
				continue
			}
			if slices.Contains(c.Course[to].Restores, setting) {
				return true
			}
			seen[to] = true
			if !slices.Contains(c.Course[to].Sets, setting) {
				next = append(next, to)
			}
		}
	}
	return false
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
