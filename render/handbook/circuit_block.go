package handbook

import (
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// CircuitTable is a circuit block: the points of a circuit with the voltages to
// expect there, and what lies between them.
type CircuitTable struct{ *Circuit }

// circuitTable resolves a circuit block, which names its circuit beside it.
func (r *pageResolver) circuitTable(b *source.Block) {
	if b.Arg == "" {
		r.remarks.Add(remark.KeyMissing, b.Place, "name", "`circuit`")
		return
	}
	r.read(ReadCircuits, "")
	circuit := findIn(&r.remarks, r.whole.complete[kindCircuit], kindCircuit, r.whole.book.Circuits, source.Text{Value: b.Arg, Place: b.Place})
	if circuit != nil {
		r.page.Blocks[b] = &CircuitTable{circuit}
	}
}
