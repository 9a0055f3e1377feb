package phone

import (
	"encoding/base64"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"rsc.io/qr/coding"

	"benchleaf/render/record"
)

// usual is the record of a job as a technician has it in the evening: nine steps,
// five readings, a stopwatch, a cause, its remedy. Whoever changes a text of it
// changes what the sheet must show.
func usual(id string) *record.Record {
	at := func(minutes float64) time.Time {
		return time.Date(2026, 11, 25, 9, 2, 0, 0, time.UTC).Add(time.Duration(minutes * float64(time.Minute)))
	}
	number := func(v float64) *float64 { return &v }
	index := func(i int) *int { return &i }
	const sheet = "procedures/choke-opens-late"
	r := &record.Record{
		Record: record.Version, ID: id,
		Handbook:  record.Handbook{Title: "Orchard engines", Edition: "2026-11", Date: "2026-11-16", Language: "en"},
		Machine:   record.Machine{Model: "medlar-245", Serial: "M245-11873", Hours: number(312.5), Fitted: "carburettor of another make", Drives: "orchard pump"},
		Ambient:   &record.Ambient{Value: 8.5, Unit: "°C"},
		Complaint: "Black smoke for ten minutes; \"like a ship\".", Meter: "hand meter, calibrated in March", Note: "Stands in the open.",
		Begun: at(0), Changed: at(75.25), RuledOut: []record.RuledOut{{Page: sheet, Cause: "linkage", Title: "The link binds", Entry: 1}},
		Left: []string{"plug-out"},
	}
	reading := func(measure, text string, v float64, unit string, min, max *float64, verdict string) *record.Reading {
		return &record.Reading{
			Spec: "heater-supply", Measure: measure, Red: "pin of " + measure, Black: "ground of " + measure, Conditions: "running, " + measure,
			Text: text, Value: &v, Unit: unit, Min: min, Max: max, Doubt: number(0.06), Verdict: verdict,
		}
	}
	for i, s := range []struct {
		title, said, outcome string
		reading              *record.Reading
	}{
		{"See it smoke", "It smokes", "", nil},
		{"Move the link", "It moves", "", nil},
		{"Supply at the heater", "Low: 8.2 V", "low", reading("supply at the heater", "8.2", 8.2, "V", number(12.2), number(14.4), "low")},
		{"Supply at the relay", "Within limits", "within", reading("supply at the relay", "13.90", 13.9, "V", number(12.2), number(14.4), "within")},
		{"Drop across the relay", "High", "high", reading("drop across the relay", "5700 mV", 5.7, "V", nil, number(0.2), "high")},
		{"Resistance of the heater", "Within limits", "within", reading("resistance of the heater", "9.1", 9.1, "Ω", number(9), number(9.8), "close")},
		{"Ground of the heater", "No reading at all", "none", &record.Reading{Spec: "ground", Measure: "ground of the heater", Text: "OL", Unit: "V", Verdict: "none"}},
		{"Look at the fuse", "It is whole", "", nil},
		{"Time until it is open", "Within limits", "within", nil},
	} {
		e := record.Entry{
			Page: sheet, Step: fmt.Sprintf("s%d", i+1), Number: i + 1, Title: s.title, State: "cold", Shown: at(float64(5*i) + 1), At: at(float64(5*i) + 4),
			Said: s.said, Outcome: s.outcome, To: fmt.Sprintf("#s%d", i+2), Reading: s.reading,
		}
		if i == 8 {
			e.To = "#cause-relay"
			e.Timing = &record.Timing{Expected: number(140.25), Tolerance: number(0.25), Given: []record.Given{{Title: "Air", Value: -5, Unit: "°C"}}, Marks: []record.Mark{{Name: "start", Title: "First fire", At: at(42)}, {Name: "open", Title: "Fully open", At: at(44.525)}}}
		}
		r.Entries = append(r.Entries, e)
	}
	r.Findings = []record.Finding{{
		End: record.EndCause, Page: sheet, Cause: "relay", Title: "Burnt contacts", Part: "relay", PartTitle: "Heater relay", At: at(44), CondemnedBy: index(4),
		Remedy: &record.Remedy{Text: "New relay, socket cleaned", Replaced: true, At: at(60)},
	}}
	return r
}

const jobID, otherID = "0123456789abcdef0123456789abcdef", "fedcba9876543210fedcba9876543210"

func encoded(t testing.TB, r *record.Record) string {
	t.Helper()
	text, err := record.Encode(r)
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(text))
}

// jobs opens the jobs page afresh, at the list or, with a fragment, at a job.
func (b *tab) jobs(d *demo, hash string) {
	b.Helper()
	b.goTo("about:blank")
	b.goTo(d.address("jobs.html") + hash)
	if hash == "" {
		b.wait(`document.querySelector(".jobs-list:not([hidden]) .jobs li")`)
	} else {
		b.wait(`document.querySelector(".job:not([hidden]) .record h3")`)
	}
}

// takeScript pastes texts one after the other and says of each whether it was taken in, and what was told.
const takeScript = `(async (texts) => {
	const area = document.querySelector("[name=pasted]"), told = document.querySelector(".taken-in"), results = [];
	area.closest("details").open = true;
	for (const text of texts) {
		area.value = text;
		document.querySelector("[data-do=take]").click();
		while (!told.firstChild) await new Promise((f) => setTimeout(f));
		results.push({Taken: !!told.querySelector("a"), Told: told.textContent});
	}
	return results;
})`

type taken struct {
	Taken bool
	Told  string
}

func (b *tab) take(texts ...string) []taken {
	b.Helper()
	return eval[[]taken](b, takeScript+"("+quoted(texts)+")")
}

// one takes in a record and shows it.
func (b *tab) one(d *demo, r *record.Record) {
	b.Helper()
	b.jobs(d, "")
	if got := b.take(encoded(b, r)); !got[0].Taken {
		b.Fatalf("refused: %s", got[0].Told)
	}
	b.jobs(d, "#"+r.ID)
}

// TestRecordsAreReadAlike feeds records, damaged ones and nearly damaged ones to
// the page and to the reader in Go: the same ones are refused by both, and none
// takes away what is there.
func TestRecordsAreReadAlike(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.one(d, usual(otherID))
	b.jobs(d, "")
	whole := encoded(t, usual(jobID))
	swap := func(old, new string) string {
		if strings.Count(whole, old) == 0 {
			t.Errorf("the record has no %s", old)
		}
		return strings.Replace(whole, old, new, 1)
	}
	open := func(old, new string) string {
		const reading = `{"page":"p","step":"s","number":4,"title":"","at":"2026-11-25T10:17:15Z","reading":{"spec":"seal","measure":"","text":"2","value":2,"unit":"V","min":1,"max":2.5,"verdict":"within"}}`
		if !strings.Contains(reading, old) {
			t.Errorf("the open reading has no %s", old)
		}
		return swap(`"left":["plug-out"]`, `"left":["plug-out"],"open":[`+strings.Replace(reading, old, new, 1)+`]`)
	}
	texts := []string{
		whole, "\ufeff \n" + whole + "\n", swap(`.5,"fitted"`, `.500,"fitted"`), swap(`"number":1`, `"number":1.0`), swap(`:02:00Z`, `:02:00.000Z`),
		swap(`"said":"It smokes"`, `"said":"{\"a\":1,\"a\":2}"`), swap(`"verdict":"low"`, `"verdict":""`), swap(`"complaint"`, `"closed":"2026-11-25T10:17:15Z","complaint"`),
		swap(`"outcome":"low"`, `"outcome":""`), swap(`"said":"It smokes"`, `"said":""`), swap(`"left":["plug-out"]`, `"left":["a","b:",":c"]`), swap(`:44:00Z"},{`, `:44:00.5Z"},{`),
		"", " ", "null", "[]", "{}", "12", `"record"`, "[" + whole + "]", whole + whole, whole + "x", "BENCHLEAF-1*J0", "<html></html>", `{"record":1}`, `{"kind":"photo","record":2}`,
		swap(`"record":1`, `"record":2`), swap(`"record":1`, `"record":0`), swap(`"record":1`, `"record":"1"`), swap(`"record":1`, `"record":null`), swap(`"record":1,`, ``), swap(`"record":1`, `"record":1.5`),
		swap(`"id":"0123`, `"id":"0123x`), swap(`"id":"0123456789a`, `"id":"0123456789A`), swap(`"serial"`, `"Serial"`), swap(`"serial"`, `"toString"`), swap(`"serial"`, `"__proto__"`),
		swap(`"complaint"`, `"complaint":"a","complaint"`), swap(`"said":"It smokes"`, `"said":"a","s\u0061id":"b"`), swap(`"complaint"`, `"more":1,"complaint"`),
		swap(`"number":1`, `"number":0`), swap(`"number":1`, `"number":1.5`), swap(`"number":1`, `"number":-1`), swap(`"number":1`, `"number":1e10`), swap(`"number":1`, `"number":"1"`), swap(`"number":1`, `"number":01`),
		swap(`"hours":312.5`, `"hours":1e999`), swap(`"hours":312.5`, `"hours":null`), swap(`"hours":312.5`, `"hours":NaN`),
		swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T11:02:00Z"`), swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T09:02:00"`),
		swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T09:02:00+01:00"`), swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-02-30T09:02:00Z"`),
		swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T24:00:00Z"`), swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"1969-11-25T09:02:00Z"`),
		swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T09:02:60Z"`), swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T09:02:00,5Z"`), swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":1764061320`),
		swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T10:17:15.0000000Z"`), swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T10:17:15.0000001Z"`), swap(`"begun":"2026-11-25T09:02:00Z"`, `"begun":"2026-11-25T10:17:15.0000000000Z"`),
		swap(`"complaint"`, `"closed":"2026-11-25T10:17:16Z","complaint"`), swap(`"shown":"2026-11-25T09:03:00Z"`, `"shown":"2026-11-25T09:07:00Z"`), swap(`"at":"2026-11-25T09:06:00Z"`, `"at":"2026-11-26T09:06:00Z"`),
		swap(`"at":"2026-11-25T09:44:00Z"`, `"at":"2026-11-25T09:49:00Z"`), swap(`"at":"2026-11-25T10:02:00Z"`, `"at":"2026-11-25T09:02:00Z"`), swap(`"replaced":true`, `"replaced":1`), swap(`"replaced":true,`, ``),
		swap(`"condemnedBy":4`, `"condemnedBy":9`), swap(`"condemnedBy":4`, `"condemnedBy":-1`), swap(`"condemnedBy":4`, `"condemnedBy":0.5`), swap(`"condemnedBy":4`, `"condemnedBy":"length"`), swap(`"entry":1`, `"entry":9`),
		swap(`"outcome":"low"`, `"outcome":"wet"`), swap(`"verdict":"low"`, `"verdict":"unstable"`), swap(`"end":"cause"`, `"end":"repaired"`), swap(`"cause":"relay",`, ``), swap(`"min":12.2`, `"min":15`),
		swap(`"step":"s1"`, `"step":""`), swap(`"to":"#s2"`, `"to":""`), swap(`"spec":"heater-supply"`, `"spec":""`), swap(`"left":["plug-out"]`, `"left":[1]`), swap(`"left":["plug-out"]`, `"left":"plug-out"`),
		swap(`"left":["plug-out"]`, `"left":null`), swap(`,"left":["plug-out"]`, ``), swap(`"machine":{`, `"machine":[{`), swap(`"unit":"°C"`, `"unit":3`), swap(`"page":`, `"page":{"a":[{`),
		swap(`"left":["plug-out"]`, `"left":["plug-out"],"open":[]`), open(``, ``), open(`"number":4`, `"number":0`), open(`"at":"2026-11-25T10`, `"at":"2026-11-26T10`), open(`"spec":"seal"`, `"spec":""`),
		open(`"text":`, `"said":"x","text":`), open(`,"min":1,`, `,"min":3,`), open(`"title":"",`, ``), open(`"reading"`, `"read"`),
		swap(`"note":"`, `"note":"`+strings.Repeat("x", record.MaxSize-len(whole))), swap(`"note":"`, `"note":"`+strings.Repeat("x", record.MaxSize-len(whole)+1)), swap(`"note":"`, `"note":"`+strings.Repeat("ö", record.MaxSize/2)),
	}
	random := rand.New(rand.NewPCG(4, 6))
	tokens := regexp.MustCompile(`"(?:[^"\\]|\\.)*"|[-\d.e]+|true|[][{}:,]`).FindAllString(whole, -1)
	for range 60 {
		texts = append(texts, whole[:random.IntN(len(whole))])
	}
	for range 400 {
		list := append([]string{}, tokens...)
		i, j := random.IntN(len(list)), random.IntN(len(list))
		switch random.IntN(4) {
		case 0:
			list[i] = ""
		case 1:
			list[i] += list[i]
		case 2:
			list[i], list[j] = list[j], list[i]
		default:
			list[i] = []string{"0", "-1", `""`, "null", "false", "[]", "{}", "1e2", `"2026-11-25T09:02:00Z"`}[random.IntN(9)]
		}
		texts = append(texts, strings.Join(list, ""))
	}
	accepted, got := 0, b.take(texts...)
	for i, text := range texts {
		_, err := record.Decode(strings.NewReader(text))
		if got[i].Taken != (err == nil) {
			t.Errorf("%.300q: the page says %q, the reader %v", text, got[i].Told, err)
		}
		if got[i].Taken {
			accepted++
		} else if !strings.HasPrefix(got[i].Told, "The text: refused. It ") && !strings.HasPrefix(got[i].Told, "The text: refused. This ") || strings.ContainsAny(got[i].Told, "{}") || strings.Contains(got[i].Told, "JSON") {
			t.Errorf("%.300q is refused without a reason in plain words: %q", text, got[i].Told)
		}
	}
	t.Logf("%d of %d were taken in", accepted, len(texts))
	b.jobs(d, "")
	stored := eval[map[string]string](b, storedScript)
	if len(stored) != 2 || stored[otherID] != encoded(t, usual(otherID)) || stored[jobID] != whole {
		t.Errorf("after all that the store holds %v", stored)
	}
}

// storedScript gives what the database holds, each record as Go's reader and writer have it.
const storedScript = `new Promise((done) => {
	indexedDB.open("benchleaf").onsuccess = (e) => {
		e.target.result.transaction("records").objectStore("records").getAll().onsuccess = (f) => {
			e.target.result.close();
			done(Object.fromEntries(f.target.result.map((r) => [r.id, JSON.stringify(r)])));
		};
	};
})`

// stored returns a record of the phone's database, read as strictly as a file.
func (b *tab) stored(id string) *record.Record {
	b.Helper()
	r, err := record.Decode(strings.NewReader(eval[map[string]string](b, storedScript)[id]))
	if err != nil {
		b.Fatalf("the store's record: %v", err)
	}
	return r
}

// TestSheetShowsAll holds the sheet, the text for people, the short form and its
// picture against the record.
func TestSheetShowsAll(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	call(b, emulation.SetTimezoneOverride, emulation.SetTimezoneOverrideParams{TimezoneID: "UTC"})
	r := usual(jobID)
	b.one(d, r)
	eval[bool](b, `(() => { Object.defineProperty(navigator, "clipboard", {value: {writeText: async (t) => { window.copied = t; }}}); return true; })()`)
	copied := func(key string) string {
		eval[bool](b, "window.copied = ''; true")
		b.tap(`document.querySelector("[data-do=` + key + `]")`)
		b.wait("window.copied")
		return eval[string](b, "window.copied")
	}
	text := copied("copy")
	shown := eval[string](b, `document.querySelector(".record").textContent.replaceAll("\u00a0", " ")`)
	want := []string{"Medlar 245", "312.5", "8.5 °C", r.Machine.Serial, r.Machine.Fitted, r.Machine.Drives, r.Complaint, r.Meter, r.Note, "Orchard engines, edition 2026-11, 2026-11-16",
		"8.2 V, Limit 12.2 to 14.4 V, meter ±0.057 V", // 0.95 of its bound, as the verdict has it "13.90 V", "5700 mV = 5.7 V, Limit at most 0.2 V", "9.1 Ω, Limit 9.0 to 9.8 Ω", "OL",
		"Outside: too low", "Within limits", "Outside: too high", "Too close to call", "Nothing to be read", "Fully open: 151.5 s", "Expected: 140 s",
		"Condemned by step 5 Drop across the relay: 5700 mV = 5.7 V (Outside: too high, Limit at most 0.2 V)", "Part: Heater relay", "New relay, socket cleaned, part replaced", "Not yet proved by a check after the repair",
		"by step 2 Move the link", "The link binds", "Burnt contacts", "9:03 AM–9:06 AM, Cold, at rest", "Spark plug out", "Screw the plug in by hand", jobID}
	for _, e := range r.Entries {
		want = append(want, fmt.Sprintf("%d %s", e.Number, e.Title), "→ "+e.Said)
		if e.Reading != nil {
			want = append(want, e.Reading.Measure, e.Reading.Red, e.Reading.Black, e.Reading.Conditions)
		}
	}
	plain := strings.NewReplacer("\u202f", " ").Replace
	for _, w := range want {
		if !strings.Contains(plain(text), w) {
			t.Errorf("the text lacks %q", w)
		}
		if !strings.Contains(plain(shown), w) {
			t.Errorf("the sheet lacks %q", w)
		}
	}
	for line := range strings.SplitSeq(text, "\n") {
		if len(line) > 120 {
			t.Errorf("a long line: %q", line)
		}
	}
	t.Log("\n" + text)

	b.tap(`document.querySelector(".short summary")`)
	b.wait(`document.querySelector(".code path + path")`)
	line, err := record.EncodeShort(r)
	if err != nil {
		t.Fatal(err)
	}
	if got := copied("copyShort"); got != line {
		t.Errorf("the short form is\n%s\nwant\n%s", got, line)
	}
	picture := eval[string](b, `document.querySelector(".code path + path").getAttribute("d")`)
	if !drawsCode(t, picture, line) {
		t.Errorf("the picture is no QR code of %s", line)
	}
}

// TestTimesAreSaid: a time is too late, where a reading is too high, and what it leaves open is the hand's.
func TestTimesAreSaid(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	r := usual(jobID)
	i := slices.IndexFunc(r.Entries, func(e record.Entry) bool { return e.Timing != nil })
	value, most, doubt := 58.5, 56.0, 0.006
	r.Entries[i].Reading = &record.Reading{Spec: "hold", Measure: "Time to hold", Text: "58.5 min", Value: &value, Unit: "min", Max: &most, Doubt: &doubt, Verdict: "high"}
	b.one(d, r)
	text := eval[string](b, `[...document.querySelectorAll(".record li")].find((li) => li.textContent.includes("Time to hold")).innerText.replaceAll("\u00a0", " ")`)
	// 0.95 of 0.006 min, in seconds.
	for _, want := range []string{"58.5 min, Limit at most 56 min, presses and watch ±0.34 s", "Outside: too late", "Expected: 140 s\n\nAir −5 °C"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q in %q", want, text)
		}
	}
	if strings.Contains(text, "meter ±") || strings.Contains(text, "too high") {
		t.Errorf("the sheet says %q of a time", text)
	}
}

// TestSheetTellsWhatFailed has a job whose first remedy did not help: its finding
// says so, the second one says by what it was shown, and that nobody noted a figure
// at the check that is said to prove it.
func TestSheetTellsWhatFailed(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	r := usual(jobID)
	r.Left = nil
	add := func(minutes float64, step, said, outcome, to string, check bool) time.Time {
		e := r.Entries[0]
		e.Shown = r.Begun.Add(time.Duration(minutes * float64(time.Minute)))
		e.At, e.Number, e.Step, e.Title, e.Said, e.Outcome, e.To, e.Verification = e.Shown.Add(time.Minute), len(r.Entries)+1, step, step, said, outcome, to, check
		r.Entries = append(r.Entries, e)
		return e.At
	}
	add(60, "check", "It smokes", "", "#s1", true)
	second := add(62, "look", "Burnt", "", "#cause-wire", false)
	r.Findings = append(r.Findings, record.Finding{
		End: record.EndCause, Page: r.Findings[0].Page, Cause: "wire", Title: "Burnt wire", Part: "wire", PartTitle: "Grey wire", At: second,
		Remedy: &record.Remedy{Text: "New wire", Replaced: true, At: second.Add(time.Minute)},
	})
	proved := add(65, "check", "Within limits", "within", "#end-repaired", true)
	r.Findings[1].Repaired, r.Changed = proved, proved.Add(time.Hour)
	b.one(d, r)
	findings := eval[map[string]string](b, `Object.fromEntries([...document.querySelectorAll(".record h3")].find((e) => e.textContent === "Finding").nextElementSibling.querySelectorAll("li").values().map((li) => [li.querySelector("b").textContent, li.textContent]))`)
	for title, says := range map[string][]string{
		"Burnt contacts": {"failed (step 10)"},
		"Burnt wire":     {"step 11: Burnt. No reading condemns this part.", "Mended; the check does not prove it: 12 · check: no figure noted"},
	} {
		for _, want := range says {
			if !strings.Contains(findings[title], want) {
				t.Errorf("%s: it does not say %q: %s", title, want, findings[title])
			}
		}
	}
	sheet := eval[string](b, `document.querySelector(".record").innerText`)
	// The first relay is fitted an hour after the job began, its check passed a minute later; the wire at 64 minutes, its check at 66.
	for _, want := range []string{"Check after the repair, 1 min after it", "Check after the repair, 2 min after it", "\nParts fitted\n"} {
		if !strings.Contains(sheet, want) {
			t.Errorf("the sheet lacks %q: %s", want, sheet)
		}
	}
	fitted := eval[[]string](b, `[...[...document.querySelectorAll(".record h3")].find((e) => e.textContent === "Parts fitted").nextElementSibling.querySelectorAll("b")].map((e) => e.textContent)`)
	if got := strings.Join(fitted, ", "); got != "Heater relay, Grey wire" {
		t.Errorf("parts fitted: %s", got)
	}
	if text := findings["Burnt wire"]; strings.Contains(text, "Repaired and proved") {
		t.Errorf("of the second it says %s", text)
	}
	if first := findings["Burnt contacts"]; strings.Contains(first, "Not yet proved") || strings.Contains(first, "no figure") {
		t.Errorf("of the first it says %s", first)
	}
}

// TestProvedAlike: the page and the reader in Go find the same repairs proved.
func TestProvedAlike(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.jobs(d, "")
	records := map[string]*record.Record{}
	for _, outcome := range []string{"", "within", "none", "low", "unstable"} {
		for _, verdict := range []string{"no reading", "within", "none", "low", "close", ""} {
			r := usual(fmt.Sprintf("%032x", len(records)+1))
			e := r.Entries[len(r.Entries)-1]
			e.Step, e.Number, e.Outcome, e.Verification, e.Timing, e.Reading, e.To = "check", 10, outcome, true, nil, nil, "#end-repaired"
			e.Shown, e.At = r.Begun.Add(70*time.Minute), r.Begun.Add(71*time.Minute)
			if verdict != "no reading" {
				e.Reading = &record.Reading{Spec: "heater-supply", Text: "13", Unit: "V", Verdict: verdict}
			}
			r.Entries = append(r.Entries, e)
			r.Findings[0].Repaired = e.At
			r.Machine.Serial = fmt.Sprintf("answered %q, judged %q", outcome, verdict)
			records[r.Machine.Serial] = r
			if got := b.take(encoded(t, r)); !got[0].Taken {
				t.Fatalf("refused: %s", got[0].Told)
			}
		}
	}
	b.jobs(d, "")
	b.wait(fmt.Sprintf(`document.querySelectorAll(".jobs-list .jobs li").length === %d`, len(records)))
	lines := eval[[]string](b, `[...document.querySelectorAll(".jobs-list .jobs li")].map((e) => e.innerText)`)
	for serial, r := range records {
		i := slices.IndexFunc(lines, func(line string) bool { return strings.Contains(line, serial) })
		if i < 0 || strings.Contains(lines[i], "Repaired and proved") != r.Proved(&r.Findings[0]) {
			t.Errorf("%s: line %d of %q", serial, i, lines)
		}
	}
}

// eciText is a text in a QR code that is said to be in UTF-8: assignment 26 of
// the extended channel interpretations (ISO/IEC 18004, 7.4.2).
type eciText string

func (e eciText) Check() error { return nil }

func (e eciText) Bits(v coding.Version) int { return 12 + coding.String(e).Bits(v) }

func (e eciText) Encode(b *coding.Bits, v coding.Version) {
	b.Write(7, 4)
	b.Write(26, 8)
	coding.String(e).Encode(b, v)
}

// drawsCode tells whether a picture has the very squares of the QR code of a
// text, by another library, with the mask that fits.
func drawsCode(t *testing.T, picture, text string) bool {
	t.Helper()
	black := map[[2]int]bool{}
	for _, m := range regexp.MustCompile(`M(\d+) (\d+)h1v1h-1z`).FindAllStringSubmatch(picture, -1) {
		var x, y int
		if _, err := fmt.Sscan(m[1]+" "+m[2], &x, &y); err != nil {
			t.Fatal(err)
		}
		black[[2]int{x - 4, y - 4}] = true
	}
	for version := coding.Version(1); version <= 20; version++ {
		for mask := range coding.Mask(8) {
			plan, err := coding.NewPlan(version, coding.M, mask)
			if err != nil {
				t.Fatal(err)
			}
			code, err := plan.Encode(eciText(text))
			if err != nil {
				continue // too small
			}
			same := 0
			for y := range code.Size {
				for x := range code.Size {
					if code.Black(x, y) == black[[2]int{x, y}] {
						same++
					}
				}
			}
			if same == code.Size*code.Size {
				t.Logf("version %d, mask %d, %d bytes", version, mask, len(text))
				return true
			}
		}
	}
	return false
}

// TestRecordPrints asks that a usual job is one sheet of A4, and that the sheet
// has nothing else on it.
func TestRecordPrints(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.one(d, usual(jobID))
	pdf := call(b, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: 8.27, PaperHeight: 11.69}).Data
	if n := len(regexp.MustCompile(`/Type /Page\b`).FindAll(pdf, -1)); n != 1 {
		t.Errorf("the record prints on %d sheets", n)
	}
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	if seen := eval[[]string](b, `[...document.querySelectorAll("button, input, textarea, select, .jobs-list, .said, .code")].filter((e) => e.getClientRects().length).map((e) => e.outerHTML.slice(0, 80))`); len(seen) > 0 {
		t.Errorf("on paper stand %q", seen)
	}
}

// TestJobIsSaved follows a job from its form to its file: what is typed stays,
// what has an end insists on being saved, and nothing is lost by a slip.
func TestJobIsSaved(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	r := usual(jobID)
	b.one(d, r)
	b.wait(`document.querySelector(".unsaved").textContent.startsWith("Saved")`) // it came from a file
	insists := func(want bool) {
		t.Helper()
		b.wait(fmt.Sprintf(`document.querySelector(".save").hasAttribute("data-insists") === %t`, want))
	}
	eval[bool](b, `(() => {
		window.files = [];
		const real = URL.createObjectURL;
		URL.createObjectURL = (blob) => { window.blob = blob; return real(blob); };
		HTMLAnchorElement.prototype.click = function () { blob.text().then((text) => files.push([this.download, text])); };
		return true;
	})()`)
	save := func() (name string, saved *record.Record) {
		t.Helper()
		eval[bool](b, "files.length = 0; true")
		b.tap(`document.querySelector("[data-do=file]")`)
		b.wait("files.length")
		file := eval[[]string](b, "files[0]")
		saved, err := record.Decode(strings.NewReader(file[1]))
		if err != nil {
			t.Fatalf("%v\n%s", err, file[1])
		}
		return file[0], saved
	}
	b.leave(`location.hash = "_sheet"`)
	b.wait(`location.hash === "#` + jobID + `" && document.activeElement.id === "_sheet" && !document.querySelector(".job").hidden`)
	name, saved := save()
	if encoded(t, saved) != encoded(t, r) || name != "job-medlar-245-M245-11873-2026-11-25-0123.json" {
		t.Errorf("saved as %s: %s", name, encoded(t, saved))
	}
	insists(false)

	// What is typed is kept without a key for it, and is to be saved again.
	typeIn := b.typeIn
	typeIn("note", "Seen by night.")
	insists(true)
	// The next thing that is copied takes the place of a copy.
	b.tap(`document.querySelector("[data-do=copy]")`)
	b.wait(`document.querySelector(".said").textContent.includes("not saved")`)
	insists(true)
	typeIn("hours", "1,315.5")
	typeIn("ambient", "12 x")
	b.wait(`document.querySelector("[name=ambient]").getAttribute("aria-invalid") === "true" && document.querySelector(".said").textContent.includes("enter a number")`)
	typeIn("ambient", "-3")
	typeIn("fitted", "")
	b.wait(`document.querySelector("[name=ambient]").getAttribute("aria-invalid") === "false" && document.querySelector(".record").textContent.includes("−3")`)
	b.jobs(d, "")
	b.jobs(d, "#"+jobID)
	now := b.stored(jobID)
	if now.Note != "Seen by night." || *now.Machine.Hours != 1315.5 || now.Ambient.Value != -3 || now.Machine.Fitted != "" || !now.Changed.After(r.Changed) {
		t.Errorf("kept %+v %+v %+v", now.Machine, now.Ambient, now)
	}
	if _, err := os.Stat(filepath.Join(d.dir, "jobs.html")); err != nil {
		t.Fatal(err)
	}

	// A job is not closed while something stands, nor unsaved without a question.
	press := func(text string) {
		t.Helper()
		key := fmt.Sprintf(`[...document.querySelectorAll("button")].find((e) => e.getClientRects().length && e.textContent === %s)`, quoted(text))
		b.wait(key)
		b.tap(key)
	}
	press("Close the job")
	b.wait(`document.querySelector(".said").textContent.includes("First put back")`)
	press("It is put back")
	b.wait(`document.querySelector(".said button") && !document.querySelector(".left")`)
	press("Undo")
	b.wait(`document.querySelector(".left")`)
	press("It is put back")
	b.wait(`!document.querySelector(".left")`)
	press("Close the job")
	b.wait(`document.activeElement.textContent.includes("not saved yet")`)
	press("Not now")
	// A finger that comes from a field leaves it first: the key that it then meets is still the same.
	b.tap(`document.querySelector(".machine [name=drives]")`)
	b.keys("a pump ")
	press("Close the job")
	b.wait(`document.querySelector(".asked") && document.querySelector(".record").textContent.includes("a pump")`)
	press("Close without saving")
	b.wait(`document.querySelector(".stand").textContent.endsWith("closed")`)
	if now := b.stored(jobID); now.Closed.IsZero() || len(now.Left) > 0 {
		t.Errorf("closed: %+v", now)
	}
	press("Open the job again")
	b.wait(`!document.querySelector(".stand").textContent.endsWith("closed")`)

	// Deleting is asked, and undone.
	press("Delete the job")
	press("Delete")
	b.wait(`document.activeElement.textContent === "Undo" && document.querySelector(".jobs").textContent.includes("Deleted: M245-11873 · Medlar 245")`)
	if left := eval[map[string]string](b, storedScript); len(left) > 0 {
		t.Errorf("after deleting there are %v", left)
	}
	press("Undo")
	b.wait(`document.querySelector('.jobs a[href="#` + jobID + `"]')`)
	if got := b.stored(jobID); got.Note != "Seen by night." {
		t.Errorf("brought back %+v", got)
	}
}

// typeIn types into a field of the form.
func (b *tab) typeIn(field, text string) {
	b.Helper()
	eval[bool](b, fmt.Sprintf(`(() => {
		const e = document.querySelector(".machine [name=%s]");
		e.value = %s;
		e.dispatchEvent(new Event("input", {bubbles: true}));
		return true;
	})()`, field, quoted(text)))
}

// TestSharing has a browser that shares, one that shares texts alone, and one
// that does not: no key is dead.
func TestSharing(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	for _, c := range []struct {
		name, navigator string
		keys            []string
		says            string
	}{
		{"all", `share: async (what) => { window.shared = what; }, canShare: ({files}) => /\.txt$/.test(files[0].name) && files[0].type === "text/plain"`, []string{"share", "shareFile"}, ""},
		{"texts", `share: async (what) => { window.shared = what; }, canShare: () => false`, []string{"share"}, "cannot share files"},
		{"none", ``, nil, "cannot share from here"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := open(t, "")
			r := usual(jobID)
			call(b, page.Enable, page.EnableParams{})
			call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
				delete Navigator.prototype.share; delete Navigator.prototype.canShare;
				for (const [name, value] of Object.entries({` + c.navigator + `})) Object.defineProperty(Navigator.prototype, name, {value, configurable: true});`})
			b.one(d, r)
			keys := eval[[]string](b, `[...document.querySelectorAll("[data-do^=share]")].filter((e) => e.getClientRects().length).map((e) => e.dataset.do)`)
			if fmt.Sprint(keys) != fmt.Sprint(c.keys) {
				t.Errorf("the keys are %v, want %v", keys, c.keys)
			}
			if says := eval[string](b, `document.querySelector(".no-share").textContent`); (says == "") != (c.says == "") || !strings.Contains(says, c.says) {
				t.Errorf("it says %q", says)
			}
			for _, key := range c.keys {
				b.typeIn("note", key)
				b.wait(`document.querySelector(".save").hasAttribute("data-insists")`)
				eval[bool](b, "window.shared = null; true")
				b.tap(`document.querySelector("[data-do=` + key + `]")`)
				b.wait(`window.shared && !document.querySelector(".save").hasAttribute("data-insists")`)
				got := eval[string](b, `window.shared.files ? window.shared.files[0].text() : window.shared.text`)
				if key == "share" && !strings.Contains(got, "Burnt contacts") {
					t.Errorf("shared %q", got)
				}
				if key == "shareFile" {
					if file, err := record.Decode(strings.NewReader(got)); err != nil || file.Note != key || len(file.Entries) != len(r.Entries) {
						t.Errorf("shared %v %s", err, got)
					}
				}
			}
		})
	}
}

// TestSameJobTwice takes in another state of a job that is here: it is asked
// which shall stand, and the later one is named so.
func TestSameJobTwice(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	mine := usual(jobID)
	later := usual(jobID)
	later.Note, later.Changed = "later", mine.Changed.Add(time.Hour)
	earlier := usual(jobID)
	earlier.Note, earlier.Changed = "earlier", mine.Changed.Add(-time.Minute)
	b.one(d, mine)
	b.jobs(d, "")
	for _, c := range []struct {
		other          *record.Record
		first, pressed string
		note           string
	}{
		{mine, "", "", mine.Note},
		{earlier, "The one that is here (later)", "The one that is here (later)", mine.Note},
		{later, "The one taken in (later)", "The one that is here", mine.Note},
		{later, "The one taken in (later)", "The one taken in (later)", "later"},
		{earlier, "The one that is here (later)", "The one taken in", "earlier"},
	} {
		told := b.take(encoded(t, c.other))[0].Told
		if c.first == "" {
			if !strings.Contains(told, "and the same") {
				t.Errorf("of the same record it says %q", told)
			}
			continue
		}
		if first := eval[string](b, `document.querySelector(".taken-in button").textContent`); first != c.first {
			t.Errorf("the first key says %q, want %q", first, c.first)
		}
		b.tap(fmt.Sprintf(`[...document.querySelectorAll(".taken-in button")].find((e) => e.textContent === %s)`, quoted(c.pressed)))
		b.wait(`document.querySelectorAll(".taken-in button").length === 1`)
		if got := b.stored(jobID); got.Note != c.note {
			t.Errorf("after %q the note is %q, want %q", c.pressed, got.Note, c.note)
		}
	}
}

// TestTakenInIsTakenBack takes in a state that goes less far in place of the one
// that is here: it is said how far each goes, and one tap brings back the record,
// its way and whether it was saved.
func TestTakenInIsTakenBack(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	mine, short := usual(jobID), usual(jobID)
	short.Entries, short.Findings, short.RuledOut, short.Changed = short.Entries[:2], nil, nil, mine.Changed.Add(time.Hour)
	b.one(d, mine)
	b.typeIn("note", "not saved since")
	b.wait(`document.querySelector(".save").hasAttribute("data-insists")`)
	b.jobs(d, "")
	const way = `Object.entries(localStorage).find(([key]) => key.includes("way ` + jobID + `"))[1]`
	before := eval[string](b, way)
	told := b.take(encoded(t, short))[0].Told
	for _, want := range []string{"steps answered: 9; Found and mended, not yet proved: Burnt contacts; changed ", "steps answered: 2; 2 Move the link; changed "} {
		if !strings.Contains(told, want) {
			t.Errorf("%q is not told in %q", want, told)
		}
	}
	b.tap(`[...document.querySelectorAll(".taken-in button")].find((e) => e.textContent.startsWith("The one taken in"))`)
	b.wait(`document.activeElement.matches(".taken-in button") && document.activeElement.textContent === "Undo"`)
	if got := b.stored(jobID); len(got.Entries) != 2 {
		t.Errorf("the one taken in has %d entries", len(got.Entries))
	}
	b.tap("document.activeElement")
	b.wait(`document.querySelectorAll(".taken-in button").length === 2 && document.querySelector(".jobs").textContent.includes("not saved yet")`)
	if got := b.stored(jobID); len(got.Entries) != 9 || got.Note != "not saved since" || len(got.Findings) != 1 {
		t.Errorf("brought back %s", encoded(t, got))
	}
	if after := eval[string](b, way); after != before {
		t.Errorf("the way is %s, was %s", after, before)
	}
}

// TestFilesAreTakenIn chooses several files at once, one of them with many records
// and one that is none.
func TestFilesAreTakenIn(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	dir := t.TempDir()
	second := usual("00000000000000000000000000000002")
	second.Closed = second.Changed
	third := usual("00000000000000000000000000000003")
	third.Begun = third.Begun.Add(-24 * time.Hour)
	third.Findings[0].Page = "procedures/starter-slow"
	for i := range third.Entries[4:] {
		third.Entries[4+i].Page = "procedures/starter-slow"
	}
	var names []string
	for name, text := range map[string]string{
		"a.json": encoded(t, usual(jobID)), "b.jsonl": encoded(t, second) + "\n" + encoded(t, third) + "\n{\"record\":1\n", "photo.txt": "no record", "c.json": strings.Replace(encoded(t, usual(otherID)), "open", "\xf6pen", 1),
	} {
		names = append(names, filepath.Join(dir, name))
		if err := os.WriteFile(names[len(names)-1], []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	b.jobs(d, "")
	object := call(b, runtime.Evaluate, runtime.EvaluateParams{Expression: `document.querySelector("input[type=file]")`}).Result.ObjectID
	call(b, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: names, ObjectID: object})
	b.wait(`document.querySelectorAll(".taken-in li").length === 6 && document.querySelectorAll(".jobs li").length === 3`)
	told := eval[string](b, `document.querySelector(".taken-in").textContent`)
	if strings.Count(told, "Taken in: ") != 3 || !strings.Contains(told, "c.json: refused.") || !strings.Contains(told, "photo.txt: refused.") || !strings.Contains(told, "b.jsonl:3: refused.") {
		t.Errorf("it says %s", told)
	}
	order := eval[[]string](b, `[...document.querySelectorAll(".jobs li > a:first-child")].map((a) => a.hash.slice(1))`)
	if want := []string{jobID, third.ID, second.ID}; fmt.Sprint(order) != fmt.Sprint(want) {
		t.Errorf("listed are %v, want %v: open ones first, then the newest", order, want)
	}
	marks := eval[string](b, `document.querySelector(".jobs").textContent`)
	if strings.Contains(marks, "not saved yet") || !strings.Contains(marks, "To put back: ") || !strings.Contains(marks, "Found and mended, not yet proved: Burnt contacts") {
		t.Errorf("the list says %s", marks)
	}
	// A job that went over two sheets names both.
	if both := eval[string](b, `document.querySelector('.jobs a[href="#`+third.ID+`"]').textContent`); !strings.Contains(both, "Choke opens late or not at all → Starter turns slowly or not at all") {
		t.Errorf("of a job on two sheets it says %s", both)
	}
	b.wait(`/has (not )?promised/.test(document.querySelector(".kept").textContent)`)
}

// carried is the fragment of a link that carries a record.
func carried(t testing.TB, r *record.Record) string {
	t.Helper()
	return "#" + base64.RawURLEncoding.EncodeToString([]byte(encoded(t, r)))
}

// TestLinkCarriesTheRecord opens the page as a browser does that keeps a store
// for each page: the record is in the address alone. What was typed here before
// stays, and an older link changes nothing.
func TestLinkCarriesTheRecord(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	r := usual(jobID)
	b.jobs(d, carried(t, r))
	b.wait(`location.hash === "#` + jobID + `" && document.querySelector(".said").textContent.includes("came with the link")`)
	if got := b.stored(jobID); encoded(t, got) != encoded(t, r) {
		t.Errorf("kept %s", encoded(t, got))
	}
	later := usual(jobID)
	later.Changed = r.Changed.Add(time.Hour)
	later.Left, later.Note, later.Machine.Serial, later.Complaint = nil, "", "", "another"
	b.jobs(d, "")
	b.jobs(d, carried(t, later))
	if got := b.stored(jobID); len(got.Left) > 0 || got.Note != r.Note || got.Machine.Serial != r.Machine.Serial || got.Complaint != "another" || !got.Changed.Equal(later.Changed) {
		t.Errorf("after the later link there is %s", encoded(t, got))
	}
	b.jobs(d, "")
	b.jobs(d, carried(t, r))
	if got := b.stored(jobID); !got.Changed.Equal(later.Changed) {
		t.Errorf("an older link brought %s", encoded(t, got))
	}
	b.jobs(d, "")
	b.goTo(d.address("jobs.html") + carried(t, r)[:300])
	b.wait(`document.querySelector(".said").textContent.length > 20 && !document.querySelector(".jobs-list").hidden`)
}

// TestJobsInSpanish types and reads with a decimal comma.
func TestJobsInSpanish(t *testing.T) {
	t.Parallel()
	d := benches(t)[1]
	b := open(t, "")
	b.jobs(d, "")
	b.tap(`document.querySelector("[data-do=new]")`)
	b.wait(`document.querySelector(".record h3")`)
	id := eval[string](b, "location.hash.slice(1)")
	eval[bool](b, `(() => {
		for (const [name, value] of [["hours", "1.312,5"], ["ambient", "21,5"]]) {
			const e = document.querySelector("[name=" + name + "]");
			e.value = value;
			e.dispatchEvent(new Event("change", {bubbles: true}));
		}
		return true;
	})()`)
	b.wait(`document.querySelector(".record").textContent.includes("21,5\u00a0°C") && document.querySelector(".record").textContent.includes("1312,5")`)
	b.wait(`document.querySelector(".record").textContent.includes(new Date().toLocaleDateString("es", {dateStyle: "medium"}))`)
	if r := b.stored(id); *r.Machine.Hours != 1312.5 || r.Ambient.Value != 21.5 || r.Handbook.Language != "es" || r.Handbook.Edition == "" {
		t.Errorf("kept %s", encoded(t, r))
	}
	b.jobs(d, "#"+id)
	if got := eval[string](b, `document.querySelector("[name=hours]").value`); got != "1312,5" {
		t.Errorf("the field has %q", got)
	}
}

// besideTimes are lines of a record that stand beside the time of their step, where they would have its room to go round.
const besideTimes = `[...document.querySelectorAll(".record li:has(> span)")].flatMap((row) => {
	const below = row.querySelector(":scope > span").getBoundingClientRect().bottom;
	return [...row.querySelectorAll("p")].filter((p) => p.getBoundingClientRect().top < below - 1).map((p) => p.textContent);
})`

// TestJobsLook has axe-core and the ruler look at the list and at a job, in light and dark.
func TestJobsLook(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	axe := axeScript(t)
	for _, scheme := range []string{"light", "dark"} {
		b := open(t, "")
		b.prefer("prefers-color-scheme", scheme)
		b.one(d, usual(jobID))
		b.tap(`document.querySelector(".short summary")`)
		b.tap(`[...document.querySelectorAll(".close button")].pop()`)
		for _, hash := range []string{"", "none"} {
			if hash != "" {
				b.jobs(d, "")
				b.take("x", encoded(t, usual(otherID)))
			}
			eval[bool](b, axe)
			b.axe("jobs" + hash + ", " + scheme)
			for _, width := range []int64{320, phoneWidth} {
				b.size(width, phoneHeight)
				for _, fault := range eval[[]string](b, layoutScript) {
					t.Errorf("jobs%s at %d: %s", hash, width, fault)
				}
				for _, text := range eval[[]string](b, besideTimes) {
					t.Errorf("jobs%s at %d: a time stands beside %q", hash, width, text)
				}
			}
		}
	}
}
