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
	var all []slip
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
			if i := slices.IndexFunc(all, s.alike); i >= 0 {
				all[i].others = append(all[i].others, k)
			} else {
				all = append(all, s)
			}
		}
	}
	for _, s := range all {
		s.tell(c, remarks)
	}
}

// slip is what an author most likely got wrong once: clashes of one setting that
// follow from what one stop does or does not do, told at the first.
type slip struct {
	setting int
	clash   procedure.Clash
	from    int // the stop, -1 for none
	also    []int
	others  []int // settings of which the same is true
}

// alike tells whether the same is true of another setting.
func (s slip) alike(other slip) bool {
	return s.clash.Kind == other.clash.Kind && s.clash.Stop == other.clash.Stop && slices.Equal(s.also, other.also) && (s.also == nil || s.from == other.from)
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

// leftBy tells whether what stands at several places too long was done in one step:
// that one, most likely, is not to do it, or is to be followed by one that puts it back.
func (s slip) leftBy(c handbook.Course) bool {
	return s.from >= 0 && s.also != nil && s.clash.Kind != procedure.Lacking && s.clash.Kind != procedure.Idle && c.Stops[s.from].Step != nil
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
	if s.leftBy(c) {
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
	for _, k := range s.others {
		also = append(also, "setting `"+c.Settings[k].ID+"`")
	}
	remarks.Add(kind, at, setting.ID, "`"+stop.Name()+"`", strings.Join(way, ", "), soToo(also))
}
