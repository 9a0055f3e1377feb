package theme

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// act is something done at a machine: on a page the way goes back to keep answers
// and goes on with another one; what it leads to may be a cause.
type act struct {
	Page   string
	Keep   int
	At     int64
	Others []string // causes that the step's other answers lead to
	Cause  string   // found by the answer
	Low    bool     // the answer is that of a reading that is too low
	Mend   bool     // the remedy is done
}

type kept struct {
	Entries []struct {
		Page, Step, At string
	}
	RuledOut []struct {
		Page, Cause string
		Entry       int
	}
	Findings []struct {
		Page, Cause, At string
		CondemnedBy     *int
		Remedy          *struct{}
	}
}

// TestJournal takes random ways over several pages, back and on again, and holds
// the record after each answer against what was done: it has the answers of each
// page's way and no others, in the order of their times, and whatever names an
// answer still names that one.
func TestJournal(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	pages, causes := []string{"p", "q"}, []string{"a", "b", "c"}
	lengths := map[string]int{}
	var acts []act
	for i := range 600 {
		a := act{Page: pages[random.IntN(2)], At: int64(i+1) * 1000, Low: random.IntN(2) == 0}
		a.Keep = random.IntN(lengths[a.Page] + 1)
		if random.IntN(3) > 0 {
			a.Keep = lengths[a.Page] // mostly onwards
		}
		if a.Keep > 8 {
			a.Keep = random.IntN(8)
		}
		lengths[a.Page] = a.Keep + 1
		for _, c := range causes {
			if random.IntN(4) == 0 {
				a.Others = append(a.Others, c)
			}
		}
		if random.IntN(4) == 0 {
			a.Cause = causes[random.IntN(3)]
			a.Others = slices.DeleteFunc(a.Others, func(c string) bool { return c == a.Cause })
			a.Mend = random.IntN(4) == 0
		}
		acts = append(acts, a)
	}
	var got []kept
	run(t, `import { find, follow, found, mend } from "./journal";
const ways = {p: [], q: []}, acts = new Map();
let job = {entries: [], findings: [], ruledOut: [], left: [], changed: ""};
const iso = (ms) => new Date(ms).toISOString();
const answered = (p) => {
  const a = acts.get(p.at);
  const reading = a.Low ? {verdict: "low"} : undefined;
  return {entry: {page: a.Page, step: p.id, at: iso(p.at), outcome: "low", reading}, others: (a.Others ?? []).map((cause) => ({cause, title: cause}))};
};
console.log(JSON.stringify(input.map((a) => {
  acts.set(a.At, a);
  ways[a.Page] = [...ways[a.Page].slice(0, a.Keep), {id: "s" + a.At, at: a.At}];
  job = follow(job, a.Page, ways[a.Page], answered);
  for (let n = 0; n <= ways[a.Page].length; n++) if (follow(job, a.Page, ways[a.Page].slice(0, n), answered) !== job) throw new Error("going back changes the record");
  if (a.Cause) job = find(job, {end: "cause", page: a.Page, cause: a.Cause, part: a.Cause});
  if (a.Mend) job = mend(job, found(job), {text: "", replaced: true}, iso(a.At));
  return job;
})));`, acts, &got)

	at := func(ms int64) string { return fmt.Sprintf("1970-01-01T00:%02d:%02d.000Z", ms/60000, ms/1000%60) }
	byTime := map[string]act{}
	ways := map[string][]act{}
	mended := 0
	for i, a := range acts {
		byTime[at(a.At)] = a
		ways[a.Page] = append(slices.Clone(ways[a.Page][:a.Keep]), a)
		all := slices.Concat(ways["p"], ways["q"])
		slices.SortFunc(all, func(a, b act) int { return int(a.At - b.At) })
		now := got[i]
		if len(now.Entries) != len(all) {
			t.Fatalf("after %d acts there are %d entries, want %d", i+1, len(now.Entries), len(all))
		}
		for j, e := range now.Entries {
			if e.At != at(all[j].At) || e.Page != all[j].Page {
				t.Fatalf("after %d acts entry %d is %+v, want %+v", i+1, j, e, all[j])
			}
		}
		// A finding stands as long as its answer, and for good once it was mended.
		isFound := map[string]bool{}
		want := 0
		for _, b := range acts[:i+1] {
			stands := slices.ContainsFunc(all, func(c act) bool { return c.At == b.At })
			if b.Cause != "" && (stands || b.Mend) {
				want++
				isFound[b.Page+b.Cause] = true
			}
		}
		if len(now.Findings) != want {
			t.Fatalf("after %d acts there are %d findings, want %d", i+1, len(now.Findings), want)
		}
		for _, f := range now.Findings {
			if f.Remedy != nil {
				mended++
			}
			stands := slices.ContainsFunc(all, func(b act) bool { return at(b.At) == f.At })
			if condemned := stands && byTime[f.At].Low; (f.CondemnedBy != nil) != condemned || condemned && now.Entries[*f.CondemnedBy].At != f.At {
				t.Fatalf("after %d acts %+v is condemned by another entry", i+1, f)
			}
		}
		// Each cause is ruled out by the last answer that does, unless it was found.
		last := map[string]string{}
		for _, b := range all {
			for _, c := range b.Others {
				if !isFound[b.Page+c] {
					last[b.Page+c] = at(b.At)
				}
			}
		}
		for _, r := range now.RuledOut {
			if last[r.Page+r.Cause] != now.Entries[r.Entry].At {
				t.Fatalf("after %d acts %s is ruled out by the answer of %s, want %s", i+1, r.Page+r.Cause, now.Entries[r.Entry].At, last[r.Page+r.Cause])
			}
			delete(last, r.Page+r.Cause)
		}
		if len(last) > 0 {
			t.Fatalf("after %d acts %v are not ruled out", i+1, last)
		}
	}
	if mended < 100 {
		t.Errorf("only %d findings were mended", mended)
	}
}
