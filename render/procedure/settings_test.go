package procedure

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

func TestFollow(t *testing.T) {
	k := []int{0}
	for _, c := range []struct {
		name   string
		course Course
		want   []Clash
	}{
		{"nothing", Course{}, nil},
		{"set, required, put back", Course{
			{To: []int{1}, Sets: k}, {To: []int{2}, Requires: k}, {To: []int{3}, Restores: k}, {Bare: true}}, nil},
		{"required and not there", Course{{To: []int{1}}, {Requires: k}}, []Clash{{Lacking, 1, []int{0, 1}}}},
		{"required, and there on one way of two", Course{
			{To: []int{1, 2}}, {To: []int{2}, Sets: k}, {To: []int{3}, Requires: k}, {Bare: true, Restores: k}},
			[]Clash{{Lacking, 2, []int{0, 2}}}},
		{"forbidden", Course{{To: []int{1}, Sets: k}, {Forbids: k}}, []Clash{{Forbidden, 1, []int{0, 1}}}},
		{"put back where it is forbidden: too late", Course{{To: []int{1}, Sets: k}, {Forbids: k, Restores: k}},
			[]Clash{{Forbidden, 1, []int{0, 1}}}},
		{"another engine state", Course{{To: []int{1}, Sets: k}, {Bars: k}}, []Clash{{Barred, 1, []int{0, 1}}}},
		{"put back before the other state", Course{{To: []int{1}, Sets: k}, {Bars: k, Restores: k}}, nil},
		{"done in a state that does not allow it", Course{{Bars: k, Sets: k}}, []Clash{{Barred, 0, []int{0}}}},
		{"left standing at an end", Course{{To: []int{1}, Sets: k}, {Bare: true}}, []Clash{{Barred, 1, []int{0, 1}}}},
		{"put back twice", Course{{To: []int{1}, Sets: k}, {To: []int{2}, Restores: k}, {Restores: k}},
			[]Clash{{Idle, 2, []int{0, 1, 2}}}},
		{"put back and not there on one way of two is no mistake", Course{
			{To: []int{1, 2}}, {To: []int{2}, Sets: k}, {Bare: true, Restores: k}}, nil},
		{"done twice", Course{{To: []int{1}, Sets: k}, {To: []int{2}, Sets: k}, {Bare: true, Restores: k}},
			[]Clash{{Again, 1, []int{0, 1}}}},
		{"put back and done anew in one step", Course{{To: []int{1}, Sets: k}, {To: []int{2}, Restores: k, Sets: k}, {Bare: true, Restores: k}}, nil},
		{"one slip is told once", Course{
			{To: []int{1}}, {To: []int{2}, Requires: k}, {To: []int{3}, Requires: k}, {Bare: true, Restores: k}},
			[]Clash{{Lacking, 1, []int{0, 1}}}},
		{"through an end into the check after the repair", Course{
			{To: []int{1}, Sets: k}, {To: []int{2}, Restores: k, Bare: true}, {Forbids: k, To: []int{3}}, {Bare: true}}, nil},
		{"a loop that comes back with it", Course{{To: []int{1}, Forbids: k}, {To: []int{0, 2}, Sets: k}, {Bare: true, Restores: k}},
			[]Clash{{Forbidden, 0, []int{0, 1, 0}}}},
		{"what nobody reaches says nothing", Course{{}, {Requires: k, Restores: k}}, nil},
	} {
		if got := c.course.Follow(0).Clashes; !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// TestFollowAgainstWalks holds what is known of a setting against all walks from
// the first stop that are long enough to come into every stop with and without
// it, done by another reading of the rules.
func TestFollowAgainstWalks(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	clashes := 0
	for range 4000 {
		c := randomCourse(r)
		for setting := range 2 {
			got, want := c.Follow(setting), byWalks(c, setting)
			if !slices.Equal(got.May, want.may) || !slices.Equal(got.Surely, want.surely()) {
				t.Fatalf("%+v setting %d\ngot  %v %v\nwant %v %v", c, setting, got.May, got.Surely, want.may, want.surely())
			}
			found := map[[2]int]int{}
			for _, clash := range got.Clashes {
				clashes++
				key := [2]int{int(clash.Kind), clash.Stop}
				if kept, twice := found[key]; !twice || len(clash.Way) < kept {
					found[key] = len(clash.Way)
				}
				if kind := c.walk(setting, clash.Way); kind != clash.Kind && clash.Kind < Idle {
					t.Fatalf("%+v setting %d: on %v happens %v", c, setting, clash, kind)
				}
			}
			if !reflect.DeepEqual(found, want.clashes(c, setting)) {
				t.Fatalf("%+v setting %d\ngot  %v\nwant %v", c, setting, found, want.clashes(c, setting))
			}
		}
	}
	if clashes < 1000 {
		t.Errorf("only %d clashes", clashes)
	}
}

func randomCourse(r *rand.Rand) Course {
	c := make(Course, 2+r.IntN(3))
	some := func(rarely int) (list []int) {
		for setting := range 2 {
			if r.IntN(rarely) == 0 {
				list = append(list, setting)
			}
		}
		return list
	}
	for i := range c {
		for range r.IntN(3) {
			c[i].To = append(c[i].To, r.IntN(len(c)))
		}
		c[i].Requires, c[i].Forbids, c[i].Restores, c[i].Bars, c[i].Sets = some(6), some(6), some(3), some(6), some(3)
		c[i].Bare = r.IntN(6) == 0
	}
	return c
}

// walked is what walks have met at each stop.
type walked struct {
	may, may0 []bool          // it stood, it did not, when the stop began
	met       map[[2]int]int  // the least stops of a walk on which a clash happened
	put, done []map[bool]bool // whether it stood when it was put back, and when it was done
	least     []int           // stops of the shortest walk there
}

func (w walked) surely() []bool {
	surely := make([]bool, len(w.may))
	for i := range surely {
		surely[i] = w.may[i] && !w.may0[i]
	}
	return surely
}

func (w walked) clashes(c Course, setting int) map[[2]int]int {
	for i := range c {
		if w.put[i][false] && !w.put[i][true] {
			w.met[[2]int{int(Idle), i}] = w.least[i]
		}
		if w.done[i][true] && !w.done[i][false] {
			w.met[[2]int{int(Again), i}] = w.least[i]
		}
	}
	return w.met
}

// byWalks takes every walk of up to twice as many stops as there are, one more.
func byWalks(c Course, setting int) walked {
	w := walked{make([]bool, len(c)), make([]bool, len(c)), map[[2]int]int{}, make([]map[bool]bool, len(c)), make([]map[bool]bool, len(c)), make([]int, len(c))}
	for i := range c {
		w.put[i], w.done[i] = map[bool]bool{}, map[bool]bool{}
	}
	var walk func(way []int, stands bool)
	walk = func(way []int, stands bool) {
		i := way[len(way)-1]
		s := c[i]
		if w.least[i] == 0 || len(way) < w.least[i] {
			w.least[i] = len(way)
		}
		w.may[i], w.may0[i] = w.may[i] || stands, w.may0[i] || !stands
		clash := noClash
		if slices.Contains(s.Requires, setting) && !stands {
			clash, stands = Lacking, true
		} else if slices.Contains(s.Forbids, setting) && stands {
			clash, stands = Forbidden, false
		}
		if slices.Contains(s.Restores, setting) {
			w.put[i][stands || clash != noClash] = true // a slip told already is no second one
			stands = false
		}
		refuses := s.Bare || slices.Contains(s.Bars, setting)
		if refuses && (stands || slices.Contains(s.Sets, setting)) {
			if clash == noClash {
				clash = Barred
			}
			stands = false
		}
		if slices.Contains(s.Sets, setting) {
			w.done[i][stands] = true
			stands = true
		}
		if key := [2]int{int(clash), i}; clash != noClash && (w.met[key] == 0 || len(way) < w.met[key]) {
			w.met[key] = len(way)
		}
		if len(way) > 2*len(c) {
			return
		}
		for _, to := range s.To {
			walk(append(slices.Clone(way), to), stands)
		}
	}
	walk([]int{0}, false)
	return w
}

// walk returns the clash at the last stop of a way.
func (c Course) walk(setting int, way []int) ClashKind {
	stands := false
	var kind ClashKind
	for n, i := range way {
		if n > 0 && !slices.Contains(c[way[n-1]].To, i) {
			return -1
		}
		p := c[i].pass(setting, stands)
		stands, kind = p.stands, p.clash
	}
	return kind
}
