package remark

import (
	"cmp"
	"slices"
)

// Rules are the severities that a handbook gives to kinds, by id.
type Rules map[string]Severity

// Allowance lets remarks of a kind stand, at some lines of a file.
type Allowance struct {
	ID       string
	Block    string // the digest of the block that it is for, where remarks of the kind are about one
	Place    Place  // where it is written
	From, To int    // the first and the last line that it holds for
	Reason   string
}

// Settle applies what a handbook says of remarks: it returns those that stand, in the
// severities of the rules, and those that are allowed, with their reasons. An error stays
// one. What is wrong with an allowance is a remark of its own.
func (l List) Settle(rules Rules, allowances []Allowance) (stand, allowed List) {
	used := map[Place]bool{}
	for _, r := range l {
		settled := rules.settle(r)
		i := slices.IndexFunc(allowances, func(a Allowance) bool {
			return a.ID == r.ID && a.Block == r.Block && a.Place.File == r.Place.File && a.From <= r.Place.Line && r.Place.Line <= a.To
		})
		switch {
		case settled.Severity == Off:
		case i < 0 || r.Severity == Error:
			stand = append(stand, settled)
		default:
			used[allowances[i].Place] = true
			settled.Allowed = cmp.Or(allowances[i].Reason, "no reason is given")
			allowed = append(allowed, settled)
		}
	}
	hidden := stand.Count(Error) > 0 // a rule may have been silent because of it
	for _, a := range allowances {
		var r Remark
		name := a.ID
		if a.Block != "" {
			name += "-" + a.Block
		}
		switch {
		case a.Reason == "":
			r = AllowReason.At(a.Place, name)
		case !used[a.Place] && !hidden:
			r = AllowIdle.At(a.Place, name)
		default:
			continue
		}
		if r = rules.settle(r); r.Severity != Off {
			stand = append(stand, r)
		}
	}
	return stand, allowed
}

// settle gives a remark the severity of the rules, unless it is an error.
func (r Rules) settle(x Remark) Remark {
	if severity, ok := r[x.ID]; ok && x.Severity != Error {
		x.Severity = severity
	}
	return x
}
