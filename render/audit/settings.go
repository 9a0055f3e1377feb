package audit

import (
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/procedure"
	"benchleaf/render/remark"
)

// proveSettings remarks on what a procedure says of settings and some way through
// it contradicts. Of steps whose engine state is unclear it says nothing about that.
func proveSettings(p *handbook.Page, unclear map[*handbook.Step]bool, remarks *remark.List) {
	c := p.Procedure.Course()
	for k := range c.Settings {
		var groups []slip
		lacking := false
		for _, clash := range c.Follow(k).Clashes {
			// What is put back and never stands may follow from what is not done.
			if lacking = lacking || clash.Kind == procedure.Lacking; lacking && clash.Kind == procedure.Idle {
				continue
			}
			if clash.Kind == procedure.Barred && unclear[c.Stops[clash.Stop].Step] {
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
// follow from what one stop does or does not do, told at the first.
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

// slippedAt returns where a clash most likely comes from: the stop on its way that
// changed the setting last, -1 for none.
func slippedAt(c handbook.Course, setting int, clash procedure.Clash) int {
	for _, i := range slices.Backward(clash.Way[:len(clash.Way)-1]) {
		if stop := c.Course[i]; slices.Contains(stop.Sets, setting) || slices.Contains(stop.Restores, setting) {
			return i
		}
	}
	return -1
}

// leftByCheck tells whether what stands at several places too long was done in a
// check after the repair: that one is to put it back, before the search begins anew.
func (s slip) leftByCheck(c handbook.Course) bool {
	if s.from < 0 || s.also == nil || s.clash.Kind == procedure.Lacking || s.clash.Kind == procedure.Idle {
		return false
	}
	step := c.Stops[s.from].Step
	return step != nil && step.Verification()
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
	if s.leftByCheck(c) {
		named(c.Stops[s.from].Step.Conduct.Sets)
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
	remarks.Add(kind, at, setting.ID, "`"+stop.Name()+"`", strings.Join(way, ", "), soToo(also))
}
