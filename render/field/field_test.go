package field

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"benchleaf/render/record"
)

// testPage is the procedure of the tests.
const testPage = "procedures/flat"

var (
	start    = time.Date(2026, 11, 16, 9, 0, 0, 0, time.UTC)
	testBook = map[string]string{
		"handbook.yaml":  "title: Pumps\npublisher: P\nedition: \"4\"\nlanguages: [en, es]\n",
		"models.yaml":    "k210: {title: K210}\nk340: {title: K340}\n",
		"parts.yaml":     "regulator: {title: Regulator, system: charging}\n",
		"specs/all.yaml": "volts: {title: Charging voltage, unit: V, min: 13.8, max: 14.4}\n",
		"en/procedures/flat.md": `---
sheet: procedure
title: Battery goes flat
symptom: The battery is flat
causes:
  regulator: # the usual one
    title: Regulator dead
    frequency: 24   # of the last year
    remedy: Fit one.
    part: regulator
  joint: {title: Bad joint, frequency: 6.0, remedy: Clean it.}
  drain:
    title: Drain
    frequency: 10
    remedy: Find it.
---

## Look <id:look>

` + "```answers\n- [Green](cause:joint)\n- [Clean](#volts)\n```" + `

## Measure <id:volts> <minutes:4>

` + "```answers\n- [Low](cause:regulator)\n- [Within](cause:drain)\n```\n\n## Check <id:check>\n\n```answers\n- [It stays charged](end:repaired)\n```\n",
	}
)

func put(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		name = filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func openBook(t *testing.T, files map[string]string) *Book {
	t.Helper()
	dir := t.TempDir()
	put(t, dir, files)
	b, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// job is a job in which the joint was looked at and the voltage read; findings
// are added with found.
func job(number int) *record.Record {
	at := func(minutes float64) time.Time { return start.Add(time.Duration(minutes * float64(time.Minute))) }
	low, min, max := 12.9, 13.8, 14.4
	return &record.Record{
		Record: 1, ID: fmt.Sprintf("%032x", number), Handbook: record.Handbook{Title: "Pumps", Edition: "4", Language: "en"},
		Machine: record.Machine{Model: "k210"}, Begun: start, Changed: at(60),
		Entries: []record.Entry{
			{Page: testPage, Step: "look", Number: 1, Title: "Look", Shown: at(0), At: at(1), Said: "Clean", To: "#volts"},
			{Page: testPage, Step: "volts", Number: 2, Title: "Measure", Shown: at(1), At: at(4), Said: "Low", Outcome: "low", To: "#cause-regulator",
				Reading: &record.Reading{Spec: "volts", Measure: "Charging voltage", Text: "12.9", Value: &low, Unit: "V", Min: &min, Max: &max, Verdict: "low"}},
		},
		RuledOut: []record.RuledOut{}, Findings: []record.Finding{}, Left: []string{},
	}
}

func found(r *record.Record, end, cause string, proved bool) *record.Record {
	f := record.Finding{End: end, Page: testPage, Cause: cause, At: start.Add(5 * time.Minute)}
	if proved {
		f.Repaired = start.Add(50 * time.Minute)
		r.Entries = append(r.Entries, record.Entry{Page: testPage, Step: "check", Number: 3, Title: "Check", Shown: f.Repaired, At: f.Repaired, Said: "It stays charged", To: "#end-repaired", Verification: true})
	}
	r.Findings = append(r.Findings, f)
	return r
}

// TestEnds counts ends that were put together by hand.
func TestEnds(t *testing.T) {
	s := NewSum(openBook(t, testBook))
	elsewhere := job(8)
	elsewhere.Findings = append(elsewhere.Findings, record.Finding{End: record.EndHandOver, Page: "procedures/gone", At: start})
	none := job(10)
	none.Machine.Model = ""
	for _, r := range []*record.Record{
		found(job(1), "cause", "regulator", true),
		found(job(2), "cause", "regulator", false),
		found(found(job(3), "cause", "joint", false), "cause", "regulator", true), // the joint was none
		found(found(job(4), "cause", "joint", true), "cause", "drain", true),      // two faults
		found(found(job(5), "cause", "drain", false), "cause", "drain", true),     // the same cause twice
		found(job(6), "hand-over", "", false),
		found(job(7), "not-reproduced", "", false),
		elsewhere,
		job(9),
		found(none, "cause", "regulator", true),
		found(found(job(11), "cause", "joint", false), "hand-over", "", false),                                     // given up, not refuted
		found(found(found(job(12), "cause", "joint", false), "cause", "drain", false), "cause", "joint", true),     // one refuted
		found(found(found(job(13), "cause", "joint", false), "cause", "drain", false), "cause", "regulator", true), // two refuted, one job
	} {
		s.Add(r)
	}
	models, counts := s.byModel(testPage)
	if !reflect.DeepEqual(models, []string{"all", "not given", "k210"}) {
		t.Fatal(models)
	}
	want := jobs{
		seen: 13, proved: map[string]int{"regulator": 4, "joint": 2, "drain": 2}, unproved: map[string]int{"regulator": 1},
		refuted: 3, handOver: 2, notReproduced: 1, elsewhere: 1, open: 1,
	}
	if !reflect.DeepEqual(*counts[0], want) {
		t.Errorf("have %+v\nwant %+v", *counts[0], want)
	}
	if s.unknown[unknown{"procedure", "", "procedures/gone"}] != 1 {
		t.Errorf("%v", s.unknown)
	}
}

// TestProved holds that a record which says that a repair is proved is held against
// its check.
func TestProved(t *testing.T) {
	reading := func(verdict string) *record.Reading {
		return &record.Reading{Spec: "volts", Unit: "V", Verdict: verdict}
	}
	for name, c := range map[string]struct {
		outcome string
		reading *record.Reading
		want    int
	}{
		"seen":                         {"", nil, 1},
		"within":                       {"within", reading("within"), 1},
		"too close":                    {"within", reading("close"), 0},
		"outside, taken all the same":  {"within", reading("high"), 0},
		"outside, and taken so":        {"low", reading("low"), 0},
		"no figure noted":              {"within", nil, 0},
		"no limits":                    {"within", reading(""), 0},
		"nothing comes, as it should":  {"none", nil, 1},
		"a time, and it never comes":   {"none", reading("high"), 0},
		"it differs each time":         {"unstable", reading(""), 0},
		"outside, and said to be seen": {"", reading("high"), 0},
	} {
		r := found(job(1), "cause", "regulator", true)
		e := &r.Entries[2]
		e.Outcome, e.Reading = c.outcome, c.reading
		s := NewSum(openBook(t, testBook))
		s.Add(r)
		_, counts := s.byModel(testPage)
		if have := counts[0]; have.proved["regulator"] != c.want || have.unproved["regulator"] != 1-c.want {
			t.Errorf("%s: %+v", name, *have)
		}
		// A check that was taken again holds as it was taken last.
		again := *e
		e.At, e.Reading, e.Outcome = e.At.Add(-time.Minute), reading("close"), "within"
		r.Entries = append(r.Entries, again)
		s = NewSum(openBook(t, testBook))
		s.Add(r)
		if _, counts := s.byModel(testPage); counts[0].proved["regulator"] != c.want {
			t.Errorf("%s, taken again: %+v", name, *counts[0])
		}
		// A check of another step that proves nothing is not outweighed by it.
		r.Entries[2].Step = "volts"
		s = NewSum(openBook(t, testBook))
		s.Add(r)
		if _, counts := s.byModel(testPage); counts[0].proved["regulator"] != 0 {
			t.Errorf("%s, beside a check that proves nothing: %+v", name, *counts[0])
		}
	}
	r := found(job(1), "cause", "regulator", true)
	r.Entries = r.Entries[:2] // says so without a check
	s := NewSum(openBook(t, testBook))
	s.Add(r)
	if _, counts := s.byModel(testPage); counts[0].unproved["regulator"] != 1 {
		t.Errorf("without a check: %+v", *counts[0])
	}
}

// TestUnknown holds that what the handbook does not have is told, and counts
// nowhere else.
func TestUnknown(t *testing.T) {
	s := NewSum(openBook(t, testBook))
	r := found(job(1), "cause", "magneto", true)
	r.Findings[0].Part, r.Findings[0].Remedy = "magneto", &record.Remedy{Replaced: true, At: start}
	r.Machine.Model = "k999"
	r.Entries[0].Step = "listen"
	r.Entries[1].Reading.Spec = "amps"
	s.Add(r)
	var table Table
	for _, have := range s.Report(20).Tables {
		if have.Name == "unknown" {
			table = have
		}
	}
	want := [][]string{{"cause", testPage, "magneto", "1"}, {"model", "", "k999", "1"}, {"specification", testPage, "amps", "1"}, {"step", testPage, "listen", "1"}}
	if !reflect.DeepEqual(table.Rows, want) {
		t.Errorf("%v", table.Rows)
	}
	if len(s.steps) != 2 || len(s.parts) != 0 {
		t.Errorf("%v %v", s.steps, s.parts)
	}
	_, counts := s.byModel(testPage)
	if j := counts[0]; j.findings() != 0 || j.strange != 1 || j.seen != 1 {
		t.Errorf("%+v", *j)
	}
}

// TestTimingKnown holds that the calculator by which a time was judged is no
// stranger: a record names it where others name a specification.
func TestTimingKnown(t *testing.T) {
	files := maps.Clone(testBook)
	files["en/procedures/flat.md"] += "\n## Time it <id:time>\n\n```timing\nmeasure: Choke travel\nstart: The engine starts\ntolerance: 50 %\nmarks:\n  open: {title: Open, at: 50 %}\n" +
		"curve: {calculator: choke-travel, over: time, show: opening}\nlow: cause:joint\nwithin: cause:drain\nhigh: cause:regulator\n```\n\n" +
		"```calculator\nname: choke-travel\ntitle: Travel\ninputs:\n  time: {unit: s, start: 0, range: 0 to 300}\nconstants:\n  full: 90 s\n" +
		"results:\n  opening: {unit: \"%\", formula: time / full}\n```\n"
	s := NewSum(openBook(t, files))
	r := job(1)
	r.Entries[1].Step = "time"
	r.Entries[1].Reading = &record.Reading{Spec: "choke-travel", Measure: "Choke travel", Unit: "s", Verdict: "within"}
	s.Add(r)
	if len(s.unknown) > 0 {
		t.Errorf("%v", s.unknown)
	}
	if rows := s.readingsTable().Rows; len(rows) != 1 || rows[0][1] != "Choke travel" {
		t.Errorf("%v", rows)
	}
}

// TestTimingByCurve holds that times whose limits moved with the day are one row: each in
// percent of what was expected then.
func TestTimingByCurve(t *testing.T) {
	s := NewSum(nil)
	number := func(v float64) *float64 { return &v }
	for i, day := range []struct {
		expected, taken float64
		verdict         string
	}{{210, 217, "within"}, {100, 107, "within"}, {321, 417.3, "high"}} { // 103.33, 107 and 130 %
		r := job(i)
		e := &r.Entries[1]
		e.Reading = &record.Reading{Spec: "choke-travel", Measure: "Choke travel", Unit: "s", Value: &day.taken,
			Min: number(day.expected * 0.9), Max: number(day.expected * 1.1), Verdict: day.verdict}
		e.Timing = &record.Timing{Expected: &day.expected, Tolerance: number(0.1)}
		s.Add(r)
	}
	rows := s.readingsTable().Rows
	if len(rows) != 1 {
		t.Fatalf("%v", rows)
	}
	got := strings.Join(append(rows[0][4:7], rows[0][8:12]...), " ")
	if want := "90 110 % of expected 3 0 2 1"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	for key, c := range s.readings {
		var values []string
		for _, v := range slices.Sorted(maps.Keys(c.values)) {
			values = append(values, strconv.FormatFloat(valueOf(v, c.power), 'f', -1, 64))
		}
		if got := strings.Join(values, " "); got != "103.3 107 130" {
			t.Errorf("%+v: %s", key, got)
		}
	}
}

// TestRemove holds that a record that was taken out leaves no figure behind.
func TestRemove(t *testing.T) {
	reports := make([]string, 2)
	for i := range reports {
		s := NewSum(openBook(t, testBook))
		other := found(job(2), "cause", "drain", false)
		other.Machine.Model, other.Handbook.Edition, other.Entries[0].Step, other.Entries[1].To = "k340", "3", "gone", "#cause-drain"
		if i == 1 {
			s.Add(other)
		}
		s.Add(found(job(1), "cause", "regulator", true))
		if i == 1 {
			s.Remove(other)
		}
		var b bytes.Buffer
		if err := s.Report(20).WriteText(&b); err != nil {
			t.Fatal(err)
		}
		reports[i] = b.String()
	}
	if reports[0] != reports[1] {
		t.Errorf("without:\n%s\nadded and removed:\n%s", reports[0], reports[1])
	}
}

// TestParts holds what is said of parts that were replaced.
func TestParts(t *testing.T) {
	s := NewSum(nil)
	replaced := func(number int, verdict string, condemned bool, read bool) {
		r := found(job(number), "cause", "regulator", false)
		r.Findings[0].Part, r.Findings[0].Remedy = "regulator", &record.Remedy{Replaced: true, At: start.Add(time.Hour)}
		r.Entries[1].Reading.Verdict = verdict
		if condemned {
			by := 1
			r.Findings[0].CondemnedBy = &by
		}
		if !read {
			r.Entries[1].Reading = nil
		}
		s.Add(r)
	}
	replaced(1, "low", true, true)
	replaced(2, "within", false, true)
	replaced(3, "within", true, true)
	replaced(4, "close", false, true)
	replaced(5, "", false, false)
	mended := found(job(6), "cause", "regulator", false)
	mended.Findings[0].Remedy = &record.Remedy{At: start}
	s.Add(mended)
	if have := *s.parts[partKey{"regulator", testPage}]; have != (parts{outside: 1, close: 1, within: 2, unread: 1}) {
		t.Errorf("%+v", have)
	}
}

// TestMinutes works quantiles by hand: nearest rank, so of ten times the median
// is the fifth and 10 % and 90 % are the first and the ninth.
func TestMinutes(t *testing.T) {
	s := NewSum(nil)
	for i, seconds := range []float64{300, 60, 120, 30, 3600, 90, 150, 240, 180, 210, 3600.1, 90000} {
		r := job(i)
		r.Entries = r.Entries[:1]
		r.Entries[0].At = start.Add(time.Duration(seconds * float64(time.Second)))
		s.Add(r)
	}
	c := s.steps[stepKey{testPage, "look"}]
	// 30 60 90 120 150 180 210 240 300 3600; two are pauses.
	for q, want := range map[float64]float64{0.1: 30, 0.5: 150, 0.9: 300, 1: 3600} {
		if have := c.quantile(q); have != want {
			t.Errorf("%v: have %v, want %v", q, have, want)
		}
	}
	if c.idle != 2 || c.seen != 12 {
		t.Errorf("%+v", c)
	}
}

func TestUndecided(t *testing.T) {
	s := NewSum(openBook(t, testBook))
	for i := range 3 {
		r := job(i)
		if i == 1 {
			r.Entries[1].To = "#cause-drain"
		}
		s.Add(r)
	}
	if rows := s.undecidedTable().Rows; !reflect.DeepEqual(rows, [][]string{{testPage, "Battery goes flat", "look", "Look", "3", "#volts"}}) {
		t.Errorf("%v", rows)
	}
}

func TestHarmless(t *testing.T) {
	for text, want := range map[string]string{"=1+1": "'=1+1", "+1": "'+1", "-x": "'-x", "@x": "'@x", "\tx": "'\tx", "＝x": "'＝x", "a=b": "a=b", "": "", "'x": "'x", "a\x1b[31m\u202eb\x00\n": "a�[31m�b�\n"} {
		if have := harmless(text); have != want {
			t.Errorf("%q: have %q", text, have)
		}
	}
}

// write puts a record into a file of its own, as JSON or short.
func write(t *testing.T, name string, records ...*record.Record) {
	t.Helper()
	var b bytes.Buffer
	for _, r := range records {
		if strings.HasSuffix(name, ".txt") {
			line, err := record.EncodeShort(r)
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintln(&b, line)
			continue
		}
		data, err := record.Encode(r)
		if err != nil {
			t.Fatal(err)
		}
		b.Write(data)
	}
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// take reads files into a sum and returns what was refused.
func take(t *testing.T, book *Book, names ...string) (*Intake, []string) {
	t.Helper()
	files, err := Find(names)
	if err != nil {
		t.Fatal(err)
	}
	var refused []string
	in := &Intake{Sum: NewSum(book), Progress: func(int) {}, Refuse: func(r Refusal) { refused = append(refused, r.String()) }}
	for _, path := range files.Paths {
		if err := in.File(path); err != nil {
			t.Fatal(err)
		}
	}
	return in, refused
}

// TestLatest holds that of the states of a job the latest counts, whatever the
// form and the order of the files.
func TestLatest(t *testing.T) {
	early := found(job(1), "cause", "joint", false)
	late := found(job(1), "cause", "regulator", true)
	late.Changed = late.Changed.Add(time.Hour)
	same := found(job(1), "cause", "drain", false)
	same.Changed = late.Changed // claims to be the same state
	for i, files := range [][]string{{"a.json", "b.json", "c.jsonl"}, {"c.json", "b.json", "a.jsonl"}, {"b.txt", "c.json", "a.txt"}, {"a.json", "c.txt", "b.txt"}} {
		t.Chdir(t.TempDir())
		write(t, files[0], late)
		write(t, files[1], early)
		write(t, files[2], early, late, late)
		in, refused := take(t, nil, ".")
		if len(refused) > 0 || in.Read != 5 || in.Same != 4 || in.Conflicts != 0 || in.Sum.Records != 1 {
			t.Errorf("%d: %v %+v", i, refused, in)
		}
		_, counts := in.Sum.byModel(testPage)
		if counts[0].proved["regulator"] != 1 || sum(counts[0].proved)+sum(counts[0].unproved) != 1 {
			t.Errorf("%d: %+v", i, counts[0])
		}
		if title := in.Sum.steps[stepKey{testPage, "look"}].title; title != "Look" && i != 2 { // there only short forms have the latest state
			t.Errorf("%d: the full form does not count before the short one: %q", i, title)
		}
	}
	// Two that differ: one of them, told, and the same one in either order.
	var proved []int
	for _, names := range [][2]string{{"a.json", "b.json"}, {"b.json", "a.json"}} {
		t.Chdir(t.TempDir())
		write(t, names[0], late)
		write(t, names[1], same)
		in, _ := take(t, nil, ".")
		if in.Conflicts != 1 || in.Sum.Records != 1 {
			t.Errorf("%+v", in)
		}
		_, counts := in.Sum.byModel(testPage)
		proved = append(proved, sum(counts[0].proved))
	}
	if proved[0] != proved[1] {
		t.Error("the order of the files decides which of two counts")
	}
}

// TestFiles holds which files of a folder are read, what is refused, and that
// nothing else is lost by it.
func TestFiles(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, ".", map[string]string{
		"deep/er/half.json": `{"record": 1, "id": "`,
		"notes.md":          "# no record",
		"letter.txt":        "Dear trainer,\n\nhere is the record:\n",
		"foreign.json":      `{"name": "x"}`,
		"empty.json":        "",
		"small.txt":         "benchleaf-1*J\nBenchleaf-1*J\n",
		"large.jsonl":       strings.Repeat("x", record.MaxSize+1) + "\n",
	})
	write(t, "deep/A.JSON", job(1))
	write(t, "two.jsonl", job(2), job(3))
	write(t, "short.txt", job(4), job(5))
	for _, name := range []string{"large.jsonl", "short.txt"} {
		f, err := os.OpenFile(name, os.O_APPEND|os.O_WRONLY, 0)
		if err != nil {
			t.Fatal(err)
		}
		data, err := record.Encode(job(6))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write(append(data, "\nregards\n\nThe dealer\nat the bridge\n"...)); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	write(t, "shared.txt.json", job(7))
	if err := os.Rename("shared.txt.json", "shared.txt"); err != nil { // JSON, shared as text
		t.Fatal(err)
	}
	files, err := Find([]string{".", "two.jsonl"})
	if err != nil || files.Other != 1 || len(files.Paths) != 10 || files.Bytes == 0 {
		t.Errorf("%v %+v", err, files)
	}
	in, refused := take(t, nil, ".", "two.jsonl")
	if in.Sum.Records != 7 {
		t.Errorf("%d records", in.Sum.Records)
	}
	want := []string{
		"deep/er/half.json: it is cut off: the JSON ends in the middle",
		"empty.json: it is empty",
		"foreign.json: it is no job record: JSON of another form",
		"large.jsonl:1: it is larger than 1000000 bytes",
		"large.jsonl:4: it is no job record: a short form begins with BENCHLEAF-1",
		"large.jsonl:6: it is no job record: a short form begins with BENCHLEAF-1",
		"large.jsonl:7: it is no job record: a short form begins with BENCHLEAF-1",
		"letter.txt:1: it is no job record: a short form begins with BENCHLEAF-1",
		"letter.txt: no job records either: line 3",
		"short.txt:5: it is no job record: a short form begins with BENCHLEAF-1",
		"short.txt: no job records either: lines 7 to 8",
		"small.txt:1: it is in small letters: a short form is written in capital ones",
		"small.txt:2: it is in small letters: a short form is written in capital ones",
	}
	if !reflect.DeepEqual(refused, want) {
		t.Errorf("have %s\nwant %s", strings.Join(refused, "\n"), strings.Join(want, "\n"))
	}
	if _, err := Find([]string{"nowhere"}); err == nil {
		t.Error("a name that does not exist is taken")
	}
}

func TestLinesText(t *testing.T) {
	var odd []int
	for i := range 25 {
		odd = append(odd, 2*i+1)
	}
	for want, numbers := range map[string][]int{
		"line 4": {4}, "lines 4 to 5": {4, 5}, "lines 1, 3 to 5, 9": {1, 3, 4, 5, 9},
		"lines 1, 3, 5, 7, 9, 11, 13, 15, 17, 19, and 15 more": odd,
	} {
		if have := linesText(numbers); have != want {
			t.Errorf("have %s, want %s", have, want)
		}
	}
}

// TestCrowded holds that names without end find an end, that it is told, and
// that taking records out again leaves nothing.
func TestCrowded(t *testing.T) {
	s := NewSum(nil)
	each := func(count func(*record.Record)) {
		for i := range maxRows + 10 {
			r := found(job(i), "cause", fmt.Sprint("cause-", i), true)
			r.Handbook.Edition = fmt.Sprint(i)
			r.Entries[0].Page, r.Entries[1].Reading.Spec = fmt.Sprint("page-", i), fmt.Sprint("spec-", i)
			count(r)
		}
	}
	each(s.Add)
	// Ten each of editions, of causes, of specifications, of jobs, in which one row
	// more is that of the procedure itself, and of steps, in which it has two.
	if s.Crowded != 10+10+10+11+12 || len(s.jobs) != maxRows || s.Records != maxRows+10 {
		t.Errorf("%d without room, %d procedures, %d records", s.Crowded, len(s.jobs), s.Records)
	}
	each(s.Remove)
	for key, j := range s.jobs {
		if j.seen != 0 {
			t.Fatalf("%v: %+v", key, j)
		}
	}
	if s.Crowded != 0 || s.Records != 0 {
		t.Errorf("%d without room, %d records", s.Crowded, s.Records)
	}
}
