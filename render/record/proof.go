package record

import "slices"

// Proved tells whether a cause is proved by the check after its repair. That a
// finding says so is not enough: each step of the check, the last time that it
// was taken, must prove it.
func (r *Record) Proved(f *Finding) bool {
	if f.Repaired.IsZero() {
		return false
	}
	checks := map[[2]string]*Entry{}
	for i := range r.Entries {
		if e := &r.Entries[i]; e.Verification && e.At.After(f.At) && !e.At.After(f.Repaired) {
			checks[[2]string{e.Page, e.Step}] = e
		}
	}
	for _, e := range checks {
		if !e.proves() {
			return false
		}
	}
	return len(checks) > 0
}

// proves tells whether a check proves a repair: by a reading that lies within its
// limits beyond doubt and was taken so, else by what is seen. Nothing to be read
// is seen too, where the sheet has an answer for it.
func (e *Entry) proves() bool {
	if e.Reading == nil {
		return e.Outcome == "" || e.Outcome == "none"
	}
	if e.Outcome == "" {
		return e.Reading.Verdict == "within"
	}
	return slices.Contains([]string{"within", "none"}, e.Outcome) && e.Reading.Verdict == e.Outcome
}
