package compare

import (
	"slices"
	"testing"

	"benchleaf/calc"
	"benchleaf/render/handbook"
)

// TestReckonedOfAnyBlock: what a built-in calculator reckons hangs on no block, whichever is asked first.
func TestReckonedOfAnyBlock(t *testing.T) {
	whole, ok := calc.Find("voltage-drop")
	if !ok {
		t.Fatal("there is no such calculator")
	}
	narrow := *whole
	narrow.Inputs = slices.Clone(whole.Inputs)
	for i := range narrow.Inputs {
		q := &narrow.Inputs[i]
		q.Max = (q.Min + q.Max) / 2
		q.Start = q.Max
	}
	var digests []string
	for _, c := range []*calc.Calculator{whole, &narrow} {
		tried.Clear()
		digests = append(digests, reckoned(&handbook.Calculator{Calc: c, Module: handbook.BuiltinModule(whole)}))
	}
	if digests[0] != digests[1] {
		t.Errorf("the function reckons otherwise in a block with other ranges: %q", digests)
	}
}
