// Package circuit computes direct-current networks: voltages, currents, and what
// a meter shows between two points.
//
// In: a Network of branches. Out: a Solution, and Readings. It imports nothing of
// the project, and knows nothing of engines or pages. The theme's script
// circuit.ts computes the same by the same steps.
package circuit

import (
	"errors"
	"math"
)

// Network is a circuit. Nodes are numbered from 0; voltages count from Ground.
type Network struct {
	Nodes, Ground int
	Branches      []Branch
}

// Branch is what lies between two nodes: a source with the resistance within
// it, a wire, joint, contact, fuse, coil or load.
type Branch struct {
	From, To int
	Volts    float64 // by which From is above To while no current flows
	Ohms     float64 // infinite where it is open
	Fuse     float64 // the rated current at which it is a fuse, else 0
	// Coil is the branch whose voltage closes this one, a relay's contact; itself
	// (its own index) where nothing does. It closes at Pull volts and opens below Drop.
	Coil       int
	Pull, Drop float64
}

// Solution is the state that a network comes to.
type Solution struct {
	Volts  []float64 // of each node; a part that nothing ties to Ground floats, and counts from a node of its own
	Amps   []float64 // of each branch, from From to To through it
	Closed []bool    // of each branch, whether it can carry current
	Blown  []bool    // of each branch, whether its fuse has blown
}

// What a network may lack.
var (
	// ErrSingular: the network has no solution, or more than one: sources against
	// each other, or a ring of branches, with no resistance between them.
	ErrSingular = errors.New("sources or branches without any resistance stand against each other")
	// ErrUnsettled: a relay opens what makes it close, and closes what makes it open.
	ErrUnsettled = errors.New("a relay opens and closes without end")
)

// blows is the share of its rating at which a fuse opens sooner or later. ISO
// 8820 has 110 % carried for 100 h and 135 % broken within minutes (from memory).
const blows = 1.35

// Solve computes the state to which the network comes from rest: relays open, fuses
// whole. Each round moves every relay and the fuse with the greatest overload;
// a blown fuse stays blown, so that rounds come to an end unless a relay
// chatters.
func (n Network) Solve() (Solution, error) {
	s := Solution{Closed: make([]bool, len(n.Branches)), Blown: make([]bool, len(n.Branches))}
	for i, b := range n.Branches {
		s.Closed[i] = !math.IsInf(b.Ohms, 1) && b.Coil == i
	}
	for range 4*len(n.Branches) + 4 {
		if err := n.solve(&s); err != nil {
			return s, err
		}
		if !n.move(&s) {
			return s, nil
		}
	}
	return s, ErrUnsettled
}

// move lets relays and fuses follow what flows; it tells whether one did.
func (n Network) move(s *Solution) bool {
	moved, worst, load := false, -1, blows
	for i, b := range n.Branches {
		if b.Coil != i && !math.IsInf(b.Ohms, 1) && !s.Blown[i] {
			coil := n.Branches[b.Coil]
			v := math.Abs(s.Volts[coil.From] - s.Volts[coil.To])
			if !s.Closed[b.Coil] { // a broken coil pulls nothing
				v = 0
			}
			if closed := v >= b.Pull || s.Closed[i] && v >= b.Drop; closed != s.Closed[i] {
				s.Closed[i], moved = closed, true
			}
		}
		if b.Fuse > 0 && s.Closed[i] {
			if share := math.Abs(s.Amps[i]) / b.Fuse; share > load {
				worst, load = i, share
			}
		}
	}
	if worst >= 0 {
		s.Closed[worst], s.Blown[worst], moved = false, true, true
	}
	return moved
}

// solve computes voltages and currents with relays and fuses as they stand, by
// modified nodal analysis: a row for each node says that its currents add up to
// nothing (or, at the one that stands for its part, that its voltage is 0), a row for
// each branch that its voltage is that of its source less what its resistance takes.
func (n Network) solve(s *Solution) error {
	parts := n.parts(s.Closed)
	var live []int // the branches that can carry current
	for i, closed := range s.Closed {
		if closed {
			live = append(live, i)
		}
	}
	size := n.Nodes + len(live)
	rows := make([][]float64, size)
	for i := range rows {
		rows[i] = make([]float64, size+1)
	}
	for k, i := range live {
		b, j := n.Branches[i], n.Nodes+k
		rows[b.From][j]++
		rows[b.To][j]--
		rows[j][b.From]++
		rows[j][b.To]--
		rows[j][j] -= b.Ohms
		rows[j][size] = b.Volts
	}
	for i, part := range parts {
		if part == i {
			clear(rows[i])
			rows[i][i] = 1
		}
	}
	x, ok := eliminate(rows)
	if !ok {
		return ErrSingular
	}
	s.Volts, s.Amps = x[:n.Nodes:n.Nodes], make([]float64, len(n.Branches))
	for k, i := range live {
		s.Amps[i] = x[n.Nodes+k]
	}
	return nil
}

// parts returns for each node the one node that stands for the part which closed
// branches tie it to; of Ground's part that is Ground.
func (n Network) parts(closed []bool) []int {
	part := make([]int, n.Nodes)
	for i := range part {
		part[i] = i
	}
	for i, b := range n.Branches {
		from, to := part[b.From], part[b.To]
		if !closed[i] || from == to {
			continue
		}
		if to == part[n.Ground] {
			from, to = to, from
		}
		for k := range part {
			if part[k] == to {
				part[k] = from
			}
		}
	}
	return part
}

// slightest is the pivot, as a share of its row's greatest, below which rows count
// as the same.
const slightest = 1e-12

// eliminate solves rows of coefficients and right side by Gauss with scaled
// pivots; false where they have no single solution.
func eliminate(rows [][]float64) ([]float64, bool) {
	size := len(rows)
	scale := make([]float64, size)
	for i, row := range rows {
		for _, v := range row[:size] {
			scale[i] = max(scale[i], math.Abs(v))
		}
	}
	for k := range size {
		best, most := k, 0.0
		for i := k; i < size; i++ {
			if share := math.Abs(rows[i][k]) / scale[i]; share > most {
				best, most = i, share
			}
		}
		if !(most > slightest) {
			return nil, false
		}
		rows[k], rows[best] = rows[best], rows[k]
		scale[k], scale[best] = scale[best], scale[k]
		for i := k + 1; i < size; i++ {
			factor := rows[i][k] / rows[k][k]
			if factor == 0 {
				continue
			}
			for j := k; j <= size; j++ {
				rows[i][j] -= factor * rows[k][j]
			}
		}
	}
	x := make([]float64, size)
	for k := size - 1; k >= 0; k-- {
		sum := rows[k][size]
		for j := k + 1; j < size; j++ {
			sum -= rows[k][j] * x[j]
		}
		x[k] = sum / rows[k][k]
		if math.IsNaN(x[k]) || math.IsInf(x[k], 0) {
			return nil, false
		}
	}
	return x, true
}
