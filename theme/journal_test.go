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
	Page    string
	Keep    int
	At      int64
	Step    string
	Cause   string // found by the answer
	Low     bool   // the answer is that of a reading that is too low
	Verdict string // of the reading, "" where none was noted
	Mend    bool   // the remedy is done
}

// leads holds the steps that lead to each cause, with true for those that always show it.
var leads = map[string]map[string]bool{
	"a": {"s1": true},
	"b": {"s1": true, "s2": false},
	"c": {"s2": false, "s3": false},
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
// page's way, and those that a mended cause stands on, and no others, in the order of
// their times, and whatever names an answer still names that one.
func TestJournal(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	pages, causes := []string{"p", "q"}, []string{"a", "b", "c"}
	lengths := map[string]int{}
	var acts []act
	for i := range 600 {
		a := act{Page: pages[random.IntN(2)], At: int64(i+1) * 1000, Step: fmt.Sprint("s", 1+random.IntN(4)), Low: random.IntN(2) == 0}
		if a.Low {
			a.Verdict = []string{"low", "low", "low", "low", "within", "close", ""}[random.IntN(7)]
		}
		a.Keep = random.IntN(lengths[a.Page] + 1)
		if random.IntN(3) > 0 {
			a.Keep = lengths[a.Page] // mostly onwards
		}
		if a.Keep > 8 {
			a.Keep = random.IntN(8)
		}
		lengths[a.Page] = a.Keep + 1
		if random.IntN(4) == 0 {
			a.Cause = causes[random.IntN(3)]
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
  const reading = a.Verdict ? {verdict: a.Verdict} : undefined;
  return {page: a.Page, step: p.id, at: iso(p.at), to: "#cause-" + a.Cause, ...(a.Low && {outcome: "low"}), ...(reading && {reading})};
};
const causes = Object.entries(input.leads).map(([cause, steps]) => {
  const ids = Object.keys(steps);
  return {cause, title: cause, to: "#cause-" + cause, steps: ids, misses: ids.filter((id) => !steps[id])};
});
console.log(JSON.stringify(input.acts.map((a) => {
  acts.set(a.At, a);
  ways[a.Page] = [...ways[a.Page].slice(0, a.Keep), {id: a.Step, at: a.At}];
  job = follow(job, a.Page, ways[a.Page], answered, causes);
  for (let n = 0; n <= ways[a.Page].length; n++) if (follow(job, a.Page, ways[a.Page].slice(0, n), answered, causes) !== job) throw new Error("going back changes the record");
  if (a.Cause) job = find(job, {end: "cause", page: a.Page, cause: a.Cause, part: a.Cause});
  if (a.Mend) job = mend(job, found(job), {text: "", replaced: true}, iso(a.At));
  return job;
})));`, map[string]any{"acts": acts, "leads": leads}, &got)

	at := func(ms int64) string { return fmt.Sprintf("1970-01-01T00:%02d:%02d.000Z", ms/60000, ms/1000%60) }
	byTime := map[string]act{}
	ways := map[string][]act{}
	mended, refuted, rested := 0, 0, 0
	var all []act         // what the record has
	var repair int64 = -1 // the last answer whose cause was mended
	refutedOn := map[string]map[string]string{"p": {}, "q": {}}
	for i, a := range acts {
		byTime[at(a.At)] = a
		ways[a.Page] = append(slices.Clone(ways[a.Page][:a.Keep]), a)
		// Beside the answers of the ways those stay that a mended cause stands on.
		on := slices.Concat(ways["p"], ways["q"])
		for _, b := range all {
			if b.At <= repair && !slices.Contains(on, b) {
				on = append(on, b)
				rested++
			}
		}
		all = on
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
			if condemned := stands && byTime[f.At].Verdict == "low"; (f.CondemnedBy != nil) != condemned || condemned && now.Entries[*f.CondemnedBy].At != f.At {
				t.Fatalf("after %d acts %+v is condemned by another entry", i+1, f)
			}
		}
		// A cause is ruled out where every step that leads to it was passed with
		// another answer that can be built on, by the last that always shows it,
		// and no answer since the last repair led to it.
		by := map[string]string{}
		way := ways[a.Page]
		since := slices.DeleteFunc(slices.Clone(way), func(b act) bool { return b.At <= repair })
		for c, steps := range leads {
			last := ""
			for step, always := range steps {
				i := len(way) - 1
				for i >= 0 && way[i].Step != step {
					i--
				}
				if i < 0 || way[i].Cause == c || way[i].Low && way[i].Verdict != "low" {
					last = ""
					break
				}
				if always {
					last = at(way[i].At)
				}
			}
			if slices.ContainsFunc(since, func(b act) bool { return b.Cause == c }) {
				last = ""
			}
			if last != "" {
				by[c] = last
			}
		}
		refutedOn[a.Page] = by
		last := map[string]string{}
		for page, causes := range refutedOn {
			for c, at := range causes {
				if !isFound[page+c] {
					last[page+c] = at
				}
			}
		}
		for _, r := range now.RuledOut {
			if last[r.Page+r.Cause] != now.Entries[r.Entry].At {
				t.Fatalf("after %d acts %s is ruled out by the answer of %s, want %s", i+1, r.Page+r.Cause, now.Entries[r.Entry].At, last[r.Page+r.Cause])
			}
			delete(last, r.Page+r.Cause)
			refuted++
		}
		if len(last) > 0 {
			t.Fatalf("after %d acts %v are not ruled out", i+1, last)
		}
		if a.Mend {
			repair = a.At
		}
	}
	if mended < 100 || refuted < 100 || rested < 100 {
		t.Errorf("only %d findings were mended, only %d causes ruled out, only %d answers stayed for what was mended", mended, refuted, rested)
	}
}

// A job is done where its last answer led to an end, what was found is mended and
// proved, and everything is put back.
func TestDone(t *testing.T) {
	const answered, later = "2026-01-01T10:00:00.000Z", "2026-01-01T11:00:00.000Z"
	job := func(left []string, entries []string, findings ...map[string]string) map[string]any {
		list := []map[string]any{}
		for _, at := range entries {
			list = append(list, map[string]any{"at": at, "verification": at == later})
		}
		if findings == nil {
			findings = []map[string]string{}
		}
		return map[string]any{"left": left, "entries": list, "findings": findings}
	}
	cause := map[string]string{"end": "cause", "at": answered}
	proved := map[string]string{"end": "cause", "at": answered, "repaired": later}
	handed := map[string]string{"end": "hand-over", "at": answered}
	none := []string{}
	cases := []struct {
		name string
		job  map[string]any
		want bool
	}{
		{"no answer", job(none, nil), false},
		{"under way", job(none, []string{answered}), false},
		{"found", job(none, []string{answered}, cause), false},
		{"proved", job(none, []string{answered, later}, proved), true},
		{"said to be proved, without a check", job(none, []string{answered}, proved), false},
		{"proved, the fuse still out", job([]string{"fuse-out"}, []string{answered, later}, proved), false},
		{"handed over", job(none, []string{answered}, handed), true},
		{"handed over, the fuse still out", job([]string{"fuse-out"}, []string{answered}, handed), false},
		{"gone on after it", job(none, []string{answered, later}, handed), false},
		{"a second cause", job(none, []string{answered, later}, proved, cause), false},
	}
	var jobs []any
	for _, c := range cases {
		jobs = append(jobs, c.job)
	}
	var got []bool
	run(t, `import { done } from "./journal";
console.log(JSON.stringify(input.map(done)));`, jobs, &got)
	for i, c := range cases {
		if got[i] != c.want {
			t.Errorf("%s: done is %v", c.name, got[i])
		}
	}
}

// The check after a repair has failed where no other check follows it, or where it
// has led to another end.
func TestFailedCheck(t *testing.T) {
	const found, mended, first, second, third = "2026-01-01T10:00:00.000Z", "2026-01-01T10:30:00.000Z", "2026-01-01T11:00:00.000Z", "2026-01-01T11:10:00.000Z", "2026-01-01T11:20:00.000Z"
	type entry struct {
		At           string `json:"at"`
		Verification bool   `json:"verification,omitempty"`
		To           string `json:"to"`
		Outcome      string `json:"outcome,omitempty"`
	}
	type finding struct {
		At       string            `json:"at"`
		Remedy   map[string]string `json:"remedy,omitempty"`
		Repaired string            `json:"repaired,omitempty"`
	}
	type job struct {
		Entries  []entry   `json:"entries"`
		Findings []finding `json:"findings"`
	}
	remedy := map[string]string{"at": mended}
	cases := []struct {
		name string
		job  job
		want string
	}{
		{"not mended", job{[]entry{{At: found}, {At: first, Verification: true}, {At: second}}, []finding{{At: found}}}, ""},
		{"under way", job{[]entry{{At: found}, {At: first, Verification: true}}, []finding{{At: found, Remedy: remedy}}}, ""},
		{"two checks under way", job{[]entry{{At: found}, {At: first, Verification: true}, {At: second, Verification: true}}, []finding{{At: found, Remedy: remedy}}}, ""},
		{"begun again", job{[]entry{{At: found}, {At: first, Verification: true}, {At: second}}, []finding{{At: found, Remedy: remedy}}}, first},
		{"the second check", job{[]entry{{At: found}, {At: first, Verification: true}, {At: second, Verification: true}, {At: third}}, []finding{{At: found, Remedy: remedy}}}, second},
		{"to another cause", job{[]entry{{At: found}, {At: first, Verification: true}}, []finding{{At: found, Remedy: remedy}, {At: first}}}, first},
		{"to the end of the repair, proved by nothing", job{[]entry{{At: found}, {At: first, Verification: true, To: "p.html#end-repaired", Outcome: "within"}, {At: second}}, []finding{{At: found, Remedy: remedy}}}, ""},
		{"proved", job{[]entry{{At: found}, {At: first, Verification: true}, {At: second}}, []finding{{At: found, Remedy: remedy, Repaired: first}}}, ""},
		{"a check before the remedy", job{[]entry{{At: found}, {At: found, Verification: true}, {At: second}}, []finding{{At: found, Remedy: remedy}}}, ""},
	}
	var jobs []job
	for _, c := range cases {
		jobs = append(jobs, c.job)
	}
	var got []string
	run(t, `import { failed } from "./journal";
console.log(JSON.stringify(input.map((j) => failed(j, j.findings[0])?.at ?? "")));`, jobs, &got)
	for i, c := range cases {
		if got[i] != c.want {
			t.Errorf("%s: the check of %q has failed, want %q", c.name, got[i], c.want)
		}
	}
}

// A check wants its engine state: the last step in another one tells since when.
func TestLastOther(t *testing.T) {
	cases := []struct {
		State string
		Last  string // the state of the last step that says one, at 10:00
		Now   string
		Want  int // minutes, -1 for none
	}{
		{"cold", "running", "2026-01-01T10:12:59.000Z", 12},
		{"cold", "cold", "2026-01-01T10:12:59.000Z", -1},
		{"cold", "running", "2026-01-01T09:59:00.000Z", -1}, // it came later
		{"", "running", "2026-01-01T10:12:59.000Z", -1},
	}
	var got []int
	run(t, `import { lastOther } from "./journal";
console.log(JSON.stringify(input.map((c) => lastOther({entries: [{at: "2026-01-01T08:00:00.000Z", state: c.State || "warm"},
  {at: "2026-01-01T10:00:00.000Z", state: c.Last}, {at: "2026-01-01T10:00:01.000Z"}].filter((e) => e.at <= c.Now)}, c.State, c.Now)?.[1] ?? -1)));`, cases, &got)
	for i, c := range cases {
		if got[i] != c.Want {
			t.Errorf("%+v: %d minutes", c, got[i])
		}
	}
}

// Limits of another model judge a reading anew: 9.5 V is within 9 to 10 V, and too
// low for 12.2 V or more. Meters leave 0.1 V open.
func TestOtherLimits(t *testing.T) {
	type reading struct {
		Spec    string   `json:"spec"`
		Value   *float64 `json:"value,omitempty"`
		Doubt   float64  `json:"doubt"`
		Verdict string   `json:"verdict"`
	}
	value := 9.5
	cases := []struct {
		Reading *reading    `json:"reading,omitempty"`
		Limit   [4]*float64 `json:"limit"`
		Want    string      `json:"-"`
	}{
		{&reading{"v", &value, 0.1, "within"}, [4]*float64{new(12.2), nil}, "low"},
		{&reading{"v", &value, 0.1, "within"}, [4]*float64{new(9.0), new(10.0)}, ""},
		{&reading{"v", &value, 0.1, "within"}, [4]*float64{new(9.45), nil}, "close"},
		{&reading{"v", &value, 0.1, ""}, [4]*float64{nil, new(9.0)}, "high"}, // no model was chosen then
		{&reading{"v", &value, 0.1, "none"}, [4]*float64{new(12.2), nil}, ""},
		{&reading{"v", nil, 0.1, "none"}, [4]*float64{new(12.2), nil}, ""},
		{&reading{"unknown", &value, 0.1, "within"}, [4]*float64{new(12.2), nil}, ""},
		{nil, [4]*float64{new(12.2), nil}, ""},
	}
	var got []string
	run(t, `import { otherwise } from "./journal";
console.log(JSON.stringify(input.map((e) => otherwise([e], (spec) => (spec === "v" ? e.limit : undefined))[0]?.[1] ?? "")));`, cases, &got)
	for i, c := range cases {
		if got[i] != c.Want {
			t.Errorf("case %d: %q, want %q", i, got[i], c.Want)
		}
	}
}
