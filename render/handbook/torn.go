package handbook

import (
	"slices"

	"benchleaf/render/remark"
)

// torn notes that a line of a data file is lost. What stands beneath it went to something
// else, and nobody knows what the handbook says.
func (r *resolver) torn() {
	for _, y := range r.tree.Data {
		r.book.Torn = r.book.Torn || y.Torn
	}
}

// told are those of some remarks that can be told.
func (r *resolver) told(list remark.List) remark.List {
	untold := r.untold()
	if untold == nil {
		return list
	}
	return slices.DeleteFunc(slices.Clone(list), func(x remark.Remark) bool {
		return slices.ContainsFunc(untold, func(k *remark.Kind) bool { return k.ID == x.ID })
	})
}

// untold are the kinds of remarks of which nothing is known. Where a line of a data file is
// lost, only how the files are written is told; where a file of figures could not be read,
// nothing of what is computed with them.
func (r *resolver) untold() []*remark.Kind {
	switch {
	case r.book.Torn:
		return slices.Concat(computed, figures)
	case !r.complete[kindSpec] || !r.complete[kindModel]:
		return computed
	}
	return nil
}

// computed are remarks on what the build computes with the handbook's figures; figures are those
// on what its data files say.
var (
	computed = []*remark.Kind{remark.ExampleWrong, remark.TimingUnread, remark.TimingMark, remark.ReadingLimit, remark.FormulaDomain, remark.FormulaDoubt}
	figures  = []*remark.Kind{remark.QuantityWrong, remark.LimitMissing, remark.LimitOrder, remark.LimitNegative, remark.ReferenceUnknown,
		remark.LinkNowhere, remark.SynonymIdle, remark.MeterMissing, remark.SettingIdle, remark.CircuitUnsolved, remark.FaultForm, remark.ProbeUnit, remark.ProbeName,
		remark.HistoryOrder, remark.HistoryOverlap, remark.HistoryGap, remark.HistorySerial,
		remark.SupersededCurrent, remark.BulletinDay, remark.BulletinEarly, remark.BulletinSilent}
)
