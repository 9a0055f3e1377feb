package procedure

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// perfect makes a check that shows one cause for certain.
func perfect(minutes float64, cause int, needs ...int) Check {
	return Check{Minutes: minutes, Needs: needs, Shows: []Show{{Cause: cause, Power: 1}}}
}

func TestExpected(t *testing.T) {
	three := Plan{
		Checks:      []Check{perfect(10, 0), perfect(4, 1), perfect(3, 2)},
		Frequencies: []float64{5, 4, 1},
	}
	cold := Plan{ // states: 0 cold, 1 warm
		Checks: []Check{
			{Minutes: 5, State: 1, Shows: []Show{{Cause: 0, Power: 0.8}}},
			{Minutes: 2, Shows: []Show{{Cause: 1, Power: 1}, {Cause: 0, Power: 0.5}}},
		},
		Frequencies: []float64{6, 3, 1}, // nothing shows the last cause
		Change:      [][]float64{{0, 10}, {240, 0}},
	}
	for _, c := range []struct {
		name  string
		plan  Plan
		order []int
		want  float64
	}{
		// Shares 0.5, 0.4, 0.1. Found after 10, 14 and 17 minutes:
		// 0.5*10 + 0.4*14 + 0.1*17 = 5 + 5.6 + 1.7 = 12.3.
		{"as written", three, []int{0, 1, 2}, 12.3},
		// Minutes per probability 20, 10, 30: the second first, then 4, 14, 17 minutes:
		// 0.4*4 + 0.5*14 + 0.1*17 = 1.6 + 7 + 1.7 = 10.3.
		{"least minutes per probability first", three, []int{1, 0, 2}, 10.3},
		// Warm first: 10 + 5 = 15 for all, then 240 + 2 = 242 for those not shown.
		// Not shown: 0.6*0.2 + 0.3 + 0.1 = 0.52. 15 + 0.52*242 = 140.84.
		{"warm before cold", cold, []int{0, 1}, 140.84},
		// Cold first: 2 for all; not shown 0.6*0.5 + 0 + 0.1 = 0.4. 2 + 0.4*15 = 8.
		{"cold before warm", cold, []int{1, 0}, 8},
		{"no checks", Plan{Frequencies: []float64{1}}, nil, 0},
	} {
		got, err := c.plan.Expected(c.order)
		if err != nil || !near(got, c.want) {
			t.Errorf("%s: %v %v, want %v", c.name, got, err, c.want)
		}
	}
}

// TestChains is the example of two chains of jobs in M. Pinedo, "Scheduling:
// Theory, Algorithms, and Systems", on total weighted completion time (cited
// from memory): 1-2-3-4 with weights 6, 18, 12, 8 and times 3, 6, 6, 5; 5-6-7 with
// weights 8, 17, 18 and times 4, 8, 10. A perfect check is such a job: its cause
// waits for the sum of minutes up to it.
//
// By hand: 24/9 of jobs 1 and 2 is over 25/12 of 5 and 6; then 12/6 of 3 is
// under 25/12; 18/10 of 7 is under 12/6, and 8/5 of 4 comes last. Ends of 1, 2, 5, 6, 3, 7,
// 4: 3, 9, 13, 21, 27, 37, 42. Sum of weight times end:
// 18 + 162 + 104 + 357 + 324 + 666 + 336 = 1967, over the weights' sum of 87.
func TestChains(t *testing.T) {
	p := Plan{
		Checks: []Check{
			perfect(3, 0), perfect(6, 1, 0), perfect(6, 2, 1), perfect(5, 3, 2),
			perfect(4, 4), perfect(8, 5, 4), perfect(10, 6, 5),
		},
		Frequencies: []float64{6, 18, 12, 8, 8, 17, 18},
	}
	got, err := p.Best(nil)
	if err != nil || !slices.Equal(got.Checks, []int{0, 1, 4, 5, 2, 6, 3}) || !near(got.Minutes, 1967.0/87) || !got.Exact {
		t.Errorf("%+v %v", got, err)
	}
}

// TestBestAgainstAllOrders holds the search against every order of random plans.
func TestBestAgainstAllOrders(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	impossible, constrained := 0, 0
	for n := range 6000 {
		checks := 1 + r.IntN(6)
		if n%100 == 0 {
			checks = 7 + r.IntN(2)
		}
		p := randomPlan(r, checks)
		if n%2 == 1 {
			addSettings(r, &p)
		}
		got, err := p.Best(nil)
		if err != nil {
			impossible++
			eachOrder(checks, func(order []int) {
				if needsKept(p, order) {
					t.Fatalf("%+v: %v, but %v is possible", p, err, order)
				}
			})
			continue
		}
		if !got.Exact || !near(got.Minutes, byDefinition(p, got.Checks)) {
			t.Fatalf("%+v\n%+v takes %v", p, got, byDefinition(p, got.Checks))
		}
		if !needsKept(p, got.Checks) {
			t.Fatalf("%+v\n%+v breaks a need", p, got)
		}
		least := math.Inf(1)
		eachOrder(checks, func(order []int) {
			if !needsKept(p, order) {
				if _, err := p.Expected(order); checks < 5 && err == nil {
					t.Fatalf("%+v\n%v is no possible order", p, order)
				}
				constrained++
				return
			}
			minutes := byDefinition(p, order)
			least = min(least, minutes)
			if checks < 5 {
				if e, err := p.Expected(order); err != nil || !near(e, minutes) {
					t.Fatalf("%+v\n%v takes %v %v, want %v", p, order, e, err, minutes)
				}
			}
		})
		if !near(got.Minutes, least) {
			t.Fatalf("%+v\n%+v, but %v is possible", p, got, least)
		}
	}
	if impossible < 100 || constrained < 10_000 {
		t.Errorf("only %d plans without an order, %d orders that are not allowed", impossible, constrained)
	}
}

// TestBounds holds what the search cuts off by against every way to go on.
func TestBounds(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 600 {
		p := randomPlan(r, 1+r.IntN(6))
		addSettings(r, &p)
		rank, err := p.ranks()
		if err != nil {
			t.Fatal(err)
		}
		s := search{Plan: p, rank: rank}
		s.prepare()
		eachOrder(len(p.Checks), func(order []int) {
			if !needsKept(p, order) {
				return
			}
			state, done := p.Start, uint64(0)
			for i, k := range order {
				left := p.unshown(done)
				rest := Plan{Checks: p.Checks, Frequencies: left, Change: p.Change, Start: state}
				if total(left) > 0 {
					minutes := rest.minutes(order[i:]) * total(left)
					if bound := s.bound(done, state, left); bound > minutes*(1+1e-12)+1e-12 {
						t.Fatalf("%+v\nafter %v: bound %v, but %v takes %v", p, order[:i], bound, order[i:], minutes)
					}
				}
				state = p.Checks[k].State
				done |= 1 << k
			}
		})
	}
}

func TestBestScales(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		p := randomPlan(r, 1+r.IntN(9))
		q := p
		q.Frequencies = nil
		for _, f := range p.Frequencies {
			q.Frequencies = append(q.Frequencies, f*1024) // a power of two: no rounding
		}
		a, _ := p.Best(nil)
		b, _ := q.Best(nil)
		if !slices.Equal(a.Checks, b.Checks) || a.Minutes != b.Minutes {
			t.Fatalf("%+v\n%+v\n%+v", p, a, b)
		}
	}
}

// TestWrittenOrderStays: what saves nothing does not move a check.
func TestWrittenOrderStays(t *testing.T) {
	p := Plan{
		// The first two take the same per probability; the third is free, and shows nothing.
		Checks:      []Check{perfect(2, 0), perfect(1, 1), {}},
		Frequencies: []float64{2, 1},
	}
	got, err := p.Best(nil)
	if err != nil || !slices.Equal(got.Checks, []int{0, 1, 2}) || !got.Exact {
		t.Errorf("%+v %v", got, err)
	}
}

// TestBestAgainstSubsets holds the search, where it is wide enough to cut, against
// one that cuts nothing: the least minutes to have done each set of checks, with
// each of them as the last.
func TestBestAgainstSubsets(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for range 60 {
		p := randomPlan(r, 9+r.IntN(3))
		n := len(p.Checks)
		least := make([][]float64, 1<<n)
		for done := range least {
			least[done] = slices.Repeat([]float64{math.Inf(1)}, n)
		}
		for done := range least {
			left := 0.0
			for cause, f := range p.Frequencies {
				missed := f
				for k := range n {
					for _, s := range p.Checks[k].Shows {
						if done>>k&1 == 1 && s.Cause == cause {
							missed *= 1 - s.Power
						}
					}
				}
				left += missed / total(p.Frequencies)
			}
			for k, c := range p.Checks {
				if done>>k&1 == 1 || !c.ready(uint64(done)) {
					continue
				}
				follows := 0.0
				for _, s := range c.Shows {
					there := p.Frequencies[s.Cause] / total(p.Frequencies)
					for other := range n {
						if done>>other&1 == 1 {
							there *= 1 - p.Checks[other].power0(s.Cause)
						}
					}
					follows += there * s.Power * s.Minutes
				}
				after := &least[done|1<<k][k]
				if done == 0 {
					*after = p.cost(p.Start, k) + follows
				}
				for last := range n {
					if done>>last&1 == 1 {
						*after = min(*after, least[done][last]+left*p.cost(p.Checks[last].State, k)+follows)
					}
				}
			}
		}
		want := slices.Min(least[len(least)-1])
		if got, err := p.Best(nil); err != nil || !got.Exact || !near(got.Minutes, want) {
			t.Fatalf("%+v\n%+v %v, want %v", p, got, err, want)
		}
	}
}

// TestManyChecks: independent checks with needs in a tree are exact at any
// number; others are never worse than as written or as greed takes them.
func TestManyChecks(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 3 {
		tree := Plan{}
		for k := range maxChecks {
			c := perfect(float64(1+r.IntN(20)), k)
			if k > 0 && r.IntN(2) == 0 {
				need := r.IntN(k)
				c.Needs = append([]int{need}, tree.Checks[need].Needs...) // that of the need is needed anyway
			}
			tree.Checks = append(tree.Checks, c)
			tree.Frequencies = append(tree.Frequencies, float64(1+r.IntN(30)))
		}
		got, err := tree.Best(nil)
		if err != nil || !got.Exact {
			t.Fatalf("%+v: %+v %v", tree, got, err)
		}

		p := randomPlan(r, 40)
		got, err = p.Best(nil)
		if err != nil {
			t.Fatal(err)
		}
		if e, err := p.Expected(got.Checks); err != nil || !near(e, got.Minutes) {
			t.Fatalf("%v %v, want %v", e, err, got.Minutes)
		}
		s := search{Plan: p}
		if greedy := p.minutes(s.greedy()); got.Minutes > greedy*(1+1e-12) {
			t.Errorf("%v minutes, greedy takes %v", got.Minutes, greedy)
		}
		if written, err := p.Expected(s.asWritten()); err == nil && got.Minutes > written*(1+1e-12) {
			t.Errorf("%v minutes, as written %v", got.Minutes, written)
		}
	}
}

func TestPlanMistakes(t *testing.T) {
	good := func() Plan {
		return Plan{
			Checks:      []Check{perfect(1, 0), perfect(1, 1, 0), perfect(1, 0, 1)},
			Frequencies: []float64{1, 2},
			Change:      [][]float64{{0, 1}, {2, 0}},
		}
	}
	if err := good().Validate(); err != nil {
		t.Fatal(err)
	}
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		check int
		spoil func(*Plan)
	}{
		"minutes NaN":         {1, func(p *Plan) { p.Checks[1].Minutes = nan }},
		"minutes negative":    {1, func(p *Plan) { p.Checks[1].Minutes = -1 }},
		"minutes endless":     {1, func(p *Plan) { p.Checks[1].Minutes = inf }},
		"minutes too many":    {-1, func(p *Plan) { p.Checks[0].Minutes, p.Checks[1].Minutes = 1e308, 1e308 }},
		"need out of range":   {2, func(p *Plan) { p.Checks[2].Needs = []int{3} }},
		"need negative":       {2, func(p *Plan) { p.Checks[2].Needs = []int{-1} }},
		"needs itself":        {2, func(p *Plan) { p.Checks[2].Needs = []int{2} }},
		"a ring":              {1, func(p *Plan) { p.Checks[1].Needs = []int{2, 0} }},
		"state out of range":  {0, func(p *Plan) { p.Checks[0].State = 2 }},
		"state negative":      {0, func(p *Plan) { p.Checks[0].State = -1 }},
		"state of none":       {0, func(p *Plan) { p.Change, p.Checks[0].State = nil, 1 }},
		"start out of range":  {-1, func(p *Plan) { p.Start = 2 }},
		"minutes after NaN":   {0, func(p *Plan) { p.Checks[0].Shows[0].Minutes = nan }},
		"minutes after -1":    {0, func(p *Plan) { p.Checks[0].Shows[0].Minutes = -1 }},
		"group out of range":  {2, func(p *Plan) { p.Checks[2].Any = [][]int{{0, 3}} }},
		"a group of none":     {2, func(p *Plan) { p.Checks[2].Any = [][]int{{}} }},
		"a ring with a group": {1, func(p *Plan) { p.Checks[1].Needs, p.Checks[1].Any = nil, [][]int{{2}} }},
		"cause out of range":  {0, func(p *Plan) { p.Checks[0].Shows[0].Cause = 2 }},
		"cause negative":      {0, func(p *Plan) { p.Checks[0].Shows[0].Cause = -1 }},
		"cause twice":         {0, func(p *Plan) { p.Checks[0].Shows = []Show{{Cause: 1, Power: 0.5}, {Cause: 1, Power: 0.5}} }},
		"power NaN":           {0, func(p *Plan) { p.Checks[0].Shows[0].Power = nan }},
		"power over one":      {0, func(p *Plan) { p.Checks[0].Shows[0].Power = 1.01 }},
		"power negative":      {0, func(p *Plan) { p.Checks[0].Shows[0].Power = -0.1 }},
		"frequency NaN":       {-1, func(p *Plan) { p.Frequencies[0] = nan }},
		"frequency negative":  {-1, func(p *Plan) { p.Frequencies[0] = -1 }},
		"frequencies zero":    {-1, func(p *Plan) { p.Frequencies = []float64{0, 0} }},
		"frequencies too big": {-1, func(p *Plan) { p.Frequencies = []float64{1e308, 1e308} }},
		"change NaN":          {-1, func(p *Plan) { p.Change[0][1] = nan }},
		"change negative":     {-1, func(p *Plan) { p.Change[1][0] = -1 }},
		"change to the same":  {-1, func(p *Plan) { p.Change[1][1] = 1 }},
		"change no square":    {-1, func(p *Plan) { p.Change[1] = []float64{0} }},
		"changes too long":    {-1, func(p *Plan) { p.Change[0][1] = 1e308 }},
		"too many checks":     {-1, func(p *Plan) { p.Checks = make([]Check, maxChecks+1) }},
	} {
		p := good()
		c.spoil(&p)
		var mistake *PlanError
		if err := p.Validate(); !errors.As(err, &mistake) || mistake.Check != c.check {
			t.Errorf("%s: %v, want a mistake at check %d", name, err, c.check)
		}
		if _, err := p.Best(nil); err == nil {
			t.Errorf("%s: Best has no error", name)
		}
		if _, err := p.Expected([]int{0, 1, 2}); err == nil {
			t.Errorf("%s: Expected has no error", name)
		}
	}
	for _, order := range [][]int{nil, {0, 1}, {0, 1, 3}, {0, 1, -1}, {0, 0, 1}, {1, 0, 2}} {
		if _, err := good().Expected(order); err == nil {
			t.Errorf("order %v: no error", order)
		}
	}
}

// TestAnyPlan: a plan of any numbers is refused, or has a best order.
func TestAnyPlan(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	index := func(n int) int {
		if r.IntN(40) == 0 {
			return r.IntN(2*n+4) - n - 2
		}
		return r.IntN(n)
	}
	number := func() float64 {
		if r.IntN(20) == 0 {
			return []float64{math.NaN(), math.Inf(1), -1, 1e308, 5e-324, math.MaxFloat64}[r.IntN(6)]
		}
		return float64(r.IntN(3)) / 2
	}
	refused := 0
	for range 5000 {
		n := 1 + r.IntN(4)
		p := Plan{Start: index(2), Change: [][]float64{{0, number()}, {number(), 0}}}
		for range n {
			p.Frequencies = append(p.Frequencies, number())
			c := Check{Minutes: number(), State: index(2)}
			if r.IntN(3) == 0 {
				c.Needs = append(c.Needs, index(n))
			}
			c.Shows = append(c.Shows, Show{index(n), number(), number()})
			p.Checks = append(p.Checks, c)
		}
		got, err := p.Best(nil)
		if err != nil {
			refused++
			continue
		}
		if e, err := p.Expected(got.Checks); err != nil || e != got.Minutes || !sound(e) || !got.Exact {
			t.Fatalf("%+v\n%+v, expected %v %v", p, got, e, err)
		}
	}
	if refused < 500 || refused > 4500 {
		t.Errorf("%d of 5000 refused", refused)
	}
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-8*(1+math.Abs(b)) }

func randomPlan(r *rand.Rand, checks int) Plan {
	var p Plan
	causes := 1 + r.IntN(checks+2)
	for range causes {
		p.Frequencies = append(p.Frequencies, float64(1+r.IntN(30)))
	}
	states := 1
	if r.IntN(2) == 0 {
		states = 1 + r.IntN(3)
		p.Change = make([][]float64, states)
		for from := range p.Change {
			p.Change[from] = make([]float64, states)
			for to := range p.Change[from] {
				if from != to {
					p.Change[from][to] = float64(r.IntN(40))
				}
			}
		}
		p.Start = r.IntN(states)
	}
	needing, imperfect, branches := r.IntN(3), r.IntN(2) == 0, r.IntN(2)
	place := r.Perm(checks) // needs lead to lower places
	for k := range checks {
		c := Check{Minutes: float64(r.IntN(12)), State: r.IntN(states)}
		for other := range checks {
			if place[other] < place[k] && r.IntN(2*checks) < needing {
				c.Needs = append(c.Needs, other)
			}
			if place[other] < place[k] && r.IntN(4*checks) < needing { // with others that may or may not come before
				group := []int{other}
				for range r.IntN(3) {
					group = append(group, r.IntN(checks))
				}
				c.Any = append(c.Any, slices.DeleteFunc(group, func(other int) bool { return other == k }))
			}
		}
		for cause := range causes {
			if r.IntN(causes) == 0 {
				power := 1.0
				if imperfect {
					power = float64(r.IntN(11)) / 10
				}
				c.Shows = append(c.Shows, Show{cause, power, float64(branches * r.IntN(9))})
			}
		}
		p.Checks = append(p.Checks, c)
	}
	return p
}

// power0 is the power of showing a cause, 0 where the check does not show it.
func (c Check) power0(cause int) float64 {
	for _, s := range c.Shows {
		if s.Cause == cause {
			return s.Power
		}
	}
	return 0
}

// addSettings makes checks depend on two settings.
func addSettings(r *rand.Rand, p *Plan) {
	any := func(n int) Settings {
		if r.IntN(n) > 0 {
			return 0
		}
		return Settings(1 + r.IntN(3))
	}
	for k := range p.Checks {
		c := &p.Checks[k]
		c.Requires, c.Forbids, c.Restores, c.Sets = any(6), any(6), any(4), any(3)
	}
}

// byDefinition follows every cause through an order.
func byDefinition(p Plan, order []int) float64 {
	sum, weights := 0.0, 0.0
	for cause, f := range p.Frequencies {
		clock, state, missed, expected := 0.0, p.Start, 1.0, 0.0
		for _, k := range order {
			c := p.Checks[k]
			if p.Change != nil {
				clock += p.Change[state][c.State]
			}
			clock += c.Minutes
			state = c.State
			for _, s := range c.Shows {
				if s.Cause == cause {
					expected += missed * s.Power * (clock + s.Minutes)
					missed *= 1 - s.Power
				}
			}
		}
		sum += f * (expected + missed*clock)
		weights += f
	}
	return sum / weights
}

func needsKept(p Plan, order []int) bool {
	var stands [2]bool
	for i, k := range order {
		c := p.Checks[k]
		for _, need := range c.Needs {
			if !slices.Contains(order[:i], need) {
				return false
			}
		}
		for _, group := range c.Any {
			if !slices.ContainsFunc(group, func(k int) bool { return slices.Contains(order[:i], k) }) {
				return false
			}
		}
		for s := range stands {
			bit := Settings(1) << s
			if c.Requires&bit != 0 && !stands[s] || c.Forbids&bit != 0 && stands[s] {
				return false
			}
			if c.Restores&bit != 0 {
				stands[s] = false
			}
			if c.Sets&bit != 0 {
				stands[s] = true
			}
		}
	}
	return true
}

func eachOrder(n int, visit func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var permute func(int)
	permute = func(i int) {
		if i == n {
			visit(order)
			return
		}
		for j := i; j < n; j++ {
			order[i], order[j] = order[j], order[i]
			permute(i + 1)
			order[i], order[j] = order[j], order[i]
		}
	}
	permute(0)
}

func BenchmarkBest(b *testing.B) {
	for _, c := range []struct {
		name   string
		checks int
	}{{"12", 12}, {"16", 16}, {"40", 40}} {
		b.Run(c.name, func(b *testing.B) {
			r := rand.New(rand.NewPCG(11, 12))
			plans := make([]Plan, 20)
			for i := range plans {
				plans[i] = randomPlan(r, c.checks)
			}
			exact, n := 0, 0
			for b.Loop() {
				order, err := plans[n%len(plans)].Best(nil)
				if err != nil {
					b.Fatal(err)
				}
				n++
				if order.Exact {
					exact++
				}
			}
			b.ReportMetric(float64(exact)/float64(n), "exact/op")
		})
	}
}
