package handbook

import (
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Setting is a departure of the machine from how it is handed back: a fuse that
// is out, a lead that is off, a lamp that is fitted.
type Setting struct {
	ID      string
	Title   Words
	Restore Words    // what puts it back
	States  []*State // in which it may stand; nil: in all
	Place   remark.Place
}

// SettingAt is a setting where an author named it.
type SettingAt struct {
	*Setting
	Place remark.Place
}

type settingYAML struct {
	Title   Words         `yaml:"title,needed"`
	Restore Words         `yaml:"restore,needed"`
	States  []source.Text `yaml:"states"`
}

// settings takes the settings of the front file; its engine states are known.
func (r *resolver) settings(list source.Map[settingYAML]) {
	for _, e := range list {
		s := &Setting{ID: e.ID.Value, Title: e.Value.Title, Restore: e.Value.Restore, Place: e.ID.Place}
		for _, name := range distinct(&r.remarks, e.Value.States) {
			if state := find(r, kindState, r.book.States, name); state != nil {
				s.States = append(s.States, state)
			}
		}
		if len(s.States) < len(e.Value.States) { // nobody knows where it may not stand
			s.States = nil
		}
		r.book.Settings = append(r.book.Settings, s)
	}
}

// MayStand tells whether the setting may stand in an engine state; a nil state is
// unknown.
func (s *Setting) MayStand(in *State) bool {
	if in == nil || s.States == nil {
		return true
	}
	for _, state := range s.States {
		if state == in {
			return true
		}
	}
	return false
}

// settingsNamed looks settings up. Where one is not known, nothing can be said of
// what stands on the machine.
func (r *pageResolver) settingsNamed(names []source.Text) (found []SettingAt) {
	before := len(r.remarks)
	for _, name := range distinct(&r.remarks, names) {
		s := findIn(&r.remarks, r.whole.complete[kindSetting], kindSetting, r.whole.book.Settings, name)
		if s == nil {
			r.page.Procedure.ConductUnknown = true
			continue
		}
		found = append(found, SettingAt{s, name.Place})
	}
	r.conductSince(before)
	return found
}
