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
// a stop that are long enough to come into every stop with and without
// it, done by another reading of the rules.
func TestFollowAgainstWalks(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	clashes := 0
	for range 1500 {
		c := randomCourse(r)
		for setting := range 2 {
			begin := r.IntN(len(c))
			got, want := c.FollowFrom(setting, begin), byWalks(c, setting, begin)
			for i := range c {
				if got.May[i] != want.may(i) || got.Surely[i] != want.surely(i) {
					t.Fatalf("%+v setting %d stop %d: may %v, surely %v; by walks %v", c, setting, i, got.May[i], got.Surely[i], want.met[i])
				}
			}
			found := map[[2]int]int{}
			for _, clash := range got.Clashes {
				clashes++
				key := [2]int{int(clash.Kind), clash.Stop}
				if kept, twice := found[key]; !twice || len(clash.Way) < kept {
					found[key] = len(clash.Way)
				}
				for n, i := range clash.Way[1:] {
					if !slices.Contains(c[clash.Way[n]].To, i) {
						t.Fatalf("%+v: %v is no way", c, clash.Way)
					}
				}
				if clash.Way[0] != begin || clash.Way[len(clash.Way)-1] != clash.Stop {
					t.Fatalf("%+v: %v is no way to %d", c, clash.Way, clash.Stop)
				}
			}
			if want := want.clashes(); !reflect.DeepEqual(found, want) {
				t.Fatalf("%+v setting %d\ngot  %v\nwant %v", c, setting, found, want)
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
		for range 1 + r.IntN(2) {
			c[i].To = append(c[i].To, r.IntN(len(c)))
		}
		c[i].Requires, c[i].Forbids, c[i].Restores, c[i].Bars, c[i].Sets = some(6), some(6), some(3), some(6), some(3)
		c[i].Bare = r.IntN(6) == 0
	}
	return c
}

// walked is what walks have met at each stop.
type walked struct {
	met       [][3]bool      // it was absent, stood, or had a clash behind it when the stop began
	clash     map[[2]int]int // the least stops of a walk on which a clash happened, by kind and stop
	put, done [][3]bool      // the same when it was put back, and when it was done
	least     []int          // stops of the shortest walk there
}

func (w walked) may(i int) bool    { return w.met[i][1] }
func (w walked) surely(i int) bool { return w.met[i] == [3]bool{false, true, false} }

func (w walked) clashes() map[[2]int]int {
	for i := range w.met {
		if w.put[i] == [3]bool{true, false, false} {
			w.clash[[2]int{int(Idle), i}] = w.least[i]
		}
		if w.done[i] == [3]bool{false, true, false} {
			w.clash[[2]int{int(Again), i}] = w.least[i]
		}
	}
	return w.clash
}

// byWalks takes every walk of up to three times as many stops as there are.
func byWalks(c Course, setting, begin int) walked {
	w := walked{make([][3]bool, len(c)), map[[2]int]int{}, make([][3]bool, len(c)), make([][3]bool, len(c)), make([]int, len(c))}
	var walk func(way []int, is int)
	walk = func(way []int, is int) {
		i := way[len(way)-1]
		s := c[i]
		if w.least[i] == 0 || len(way) < w.least[i] {
			w.least[i] = len(way)
		}
		w.met[i][is] = true
		tell := func(kind ClashKind) {
			if key := [2]int{int(kind), i}; w.clash[key] == 0 || len(way) < w.clash[key] {
				w.clash[key] = len(way)
			}
			is = 2
		}
		requires, forbids := slices.Contains(s.Requires, setting), slices.Contains(s.Forbids, setting)
		restores, sets := slices.Contains(s.Restores, setting), slices.Contains(s.Sets, setting)
		refuses := s.Bare || slices.Contains(s.Bars, setting)
		entered := is
		if is == 0 && requires {
			tell(Lacking)
		} else if is == 1 && forbids {
			tell(Forbidden)
		}
		told := is != entered
		if restores {
			w.put[i][is] = true
			is = 0
		}
		if refuses && !told && (is == 1 || sets) {
			tell(Barred)
		}
		if sets {
			w.done[i][is] = true
			is = 1
			if refuses {
				is = 2
			}
		}
		if len(way) < 3*len(c) {
			for _, to := range s.To {
				walk(append(slices.Clone(way), to), is)
			}
		}
	}
	walk([]int{begin}, 0)
	return w
}
