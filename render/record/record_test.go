package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"benchleaf/render/schematest"
)

var update = flag.Bool("update", false, "write golden files anew")

func sample(t testing.TB) []byte {
	t.Helper()
	data, err := os.ReadFile("testdata/relay.json")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestDecode(t *testing.T) {
	r, err := Decode(bytes.NewReader(sample(t)))
	if err != nil {
		t.Fatal(err)
	}
	last := r.Entries[9]
	if len(r.Entries) != 10 || *last.Reading.Value != 13.6 || last.Reading.Unit != "V" || !last.Verification ||
		r.Entries[8].Timing.Marks[1].At.Sub(r.Entries[8].Timing.Marks[0].At).Seconds() != 112 ||
		r.Findings[0].Cause != "relay" || *r.Findings[0].CondemnedBy != 5 || r.Begun.Nanosecond() != 120e6 {
		t.Errorf("%+v", r)
	}
	again(t, r)
	if _, err := Decode(strings.NewReader("\xef\xbb\xbf \n" + string(sample(t)) + "\r\n")); err != nil {
		t.Errorf("with a byte order mark and white space: %v", err)
	}
}

// again holds that a record comes back from both forms as it went in, from the
// short one reduced.
func again(t *testing.T, r *Record) {
	t.Helper()
	data, err := Encode(r)
	if err != nil {
		t.Fatal(err)
	}
	back, err := Decode(bytes.NewReader(data))
	if err != nil || !reflect.DeepEqual(r, back) {
		t.Fatalf("%v\nhave %+v\nwant %+v", err, back, r)
	}
	line, err := EncodeShort(r)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Trim(line, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 $%*+-./:") != "" {
		t.Fatalf("not alphanumeric: %s", line)
	}
	reduced, err := DecodeShort(line)
	if err != nil {
		t.Fatalf("%v\n%s", err, line)
	}
	if want := reduce(r); !reflect.DeepEqual(reduced, want) {
		t.Fatalf("%s\nhave %+v\nwant %+v", line, reduced, want)
	}
	if twice, err := EncodeShort(reduced); err != nil || twice != line {
		t.Fatalf("%v\nhave %s\nwant %s", err, twice, line)
	}
}

// reduce takes from a record what docs/record.md says that the short form
// leaves out.
func reduce(r *Record) *Record {
	data, _ := json.Marshal(r)
	var c Record
	if err := json.Unmarshal(data, &c); err != nil {
		panic(err)
	}
	c.Handbook.Title, c.Handbook.Date, c.Machine.Fitted, c.Machine.Drives = "", "", "", ""
	c.Ambient, c.Complaint, c.Meter, c.Note, c.Open = nil, "", "", "", nil
	c.Begun, c.Changed, c.Closed = whole(c.Begun), whole(c.Changed), whole(c.Closed)
	for i := range c.Entries {
		e := &c.Entries[i]
		e.Title, e.State, e.Said, e.Timing = "", "", "", nil
		e.Shown, e.At = whole(e.Shown), whole(e.At)
		if e.Reading != nil {
			e.Reading.Measure, e.Reading.Red, e.Reading.Black, e.Reading.Conditions, e.Reading.Text, e.Reading.Doubt = "", "", "", "", "", nil
		}
	}
	for i := range c.RuledOut {
		c.RuledOut[i].Title = ""
	}
	for i := range c.Findings {
		f := &c.Findings[i]
		f.Title, f.PartTitle, f.At, f.Repaired = "", "", whole(f.At), whole(f.Repaired)
		if f.Remedy != nil {
			f.Remedy.Text, f.Remedy.At = "", whole(f.Remedy.At)
		}
	}
	return &c
}

// TestRefused holds each reason and place. A case changes the sample in one
// place; without a change it is a file of its own.
func TestRefused(t *testing.T) {
	good := string(sample(t))
	var compact bytes.Buffer
	if err := json.Compact(&compact, sample(t)); err != nil {
		t.Fatal(err)
	}
	line := compact.String()
	for name, c := range map[string]struct{ from, to, want string }{
		"empty":             {"", " \n", "it is empty"},
		"half":              {"", good[:len(good)/2], "it is cut off: the JSON ends in the middle"},
		"text":              {"", "Hello", "it is no JSON: invalid character 'H' looking for beginning of value at byte 1"},
		"list":              {"", "[1]", "it is no job record: JSON of another form"},
		"null":              {"", "null", "it is no job record: JSON of another form"},
		"foreign":           {"", `{"name": "x", "lat": 1.5}`, "it is no job record: JSON of another form"},
		"newer":             {"", `{"record": 2, "jobs": []}`, "record: it is of a newer version, 2; version 1 is known here"},
		"newer, at the end": {"", `{"jobs": [], "record": 3}`, "record: it is of a newer version, 3; version 1 is known here"},
		"older":             {`"record":1`, `"record":0`, "record: this is version 0 of the form, 1 is known"},
		"no UTF-8":          {`"said":"Low"`, "\"said\":\"L\xefw\"", "it is no text in UTF-8"},
		"large":             {"", strings.Repeat(" ", MaxSize+1), "it is larger than 1000000 bytes"},
		"two":               {"", line + line, "it is no JSON: invalid character '{' after top-level value at byte " + itoa(len(line)+1)},
		"key":               {`"note":""`, `"notes":""`, "notes: this key is not known"},
		"case":              {`"note":""`, `"Note":""`, "Note: this key is not known"},
		"deep key":          {`"spec":"feed-drop"`, `"spec":"feed-drop","x":{}`, "entries[4].reading.x: this key is not known"},
		"twice":             {`"note":""`, `"note":"","note":""`, "note: this key is given twice"},
		"missing":           {`"left":["f2-out"]`, `"note":""`, "note: this key is given twice"},
		"missing list":      {`,"left":["f2-out"]`, ``, "left: this is missing"},
		"missing deep":      {`"said":"Low",`, ``, "entries[3].said: this is missing"},
		"null value":        {`"hours":312.5`, `"hours":null`, "machine.hours: a number is wanted"},
		"text for number":   {`"hours":312.5`, `"hours":"312.5"`, "machine.hours: a number is wanted"},
		"large number":      {`"hours":312.5`, `"hours":1e999`, "machine.hours: 1e999 is beyond the numbers that a record can hold"},
		"broken number":     {`"number":5`, `"number":5.5`, "entries[3].number: a whole number is wanted, this is 5.5"},
		"huge number":       {`"number":5`, `"number":5e30`, "entries[3].number: a whole number is wanted, this is 5e30"},
		"number 0":          {`"number":5`, `"number":0`, "entries[3].number: steps count from 1, this is 0"},
		"list for object":   {`"ambient":{"value":8.5,"unit":"°C"}`, `"ambient":[]`, "ambient: an object is wanted"},
		"object for list":   {`"left":["f2-out"]`, `"left":{}`, "left: a list is wanted"},
		"text for list":     {`"left":["f2-out"]`, `"left":[7]`, "left[0]: a text is wanted"},
		"text for bool":     {`"replaced":true`, `"replaced":"yes"`, "findings[0].remedy.replaced: true or false is wanted"},
		"id":                {`"id":"0123456789abcdef`, `"id":"0123456789ABCDEF`, "id: an id is 32 lower-case hexadecimal digits"},
		"time":              {`"begun":"2026-11-16T`, `"begun":"2026-11-16 `, `begun: "2026-11-16 09:03:05.120Z" is no time such as 2026-11-16T09:03:05Z`},
		"time without Z":    {`"begun":"2026-11-16T09:03:05.120Z"`, `"begun":"2026-11-16T10:03:05+01:00"`, `begun: "2026-11-16T10:03:05+01:00" is no time such as 2026-11-16T09:03:05Z`},
		"time, comma":       {`"begun":"2026-11-16T09:03:05.120Z"`, `"begun":"2026-11-16T09:03:05,120Z"`, `begun: "2026-11-16T09:03:05,120Z" is no time such as 2026-11-16T09:03:05Z`},
		"hour":              {`"begun":"2026-11-16T09:03`, `"begun":"2026-11-16T9:03`, `begun: "2026-11-16T9:03:05.120Z" is no time such as 2026-11-16T09:03:05Z`},
		"fraction":          {`"begun":"2026-11-16T09:03:05.120Z`, `"begun":"2026-11-16T09:03:05.1234567890Z`, `begun: "2026-11-16T09:03:05.1234567890Z" is no time such as 2026-11-16T09:03:05Z`},
		"day":               {`"begun":"2026-11-16T`, `"begun":"2026-02-30T`, `begun: "2026-02-30T09:03:05.120Z" is no time such as 2026-11-16T09:03:05Z`},
		"time is number":    {`"begun":"2026-11-16T09:03:05.120Z"`, `"begun":1794819785`, "begun: a time is wanted"},
		"long ago":          {`"begun":"2026-11-16T`, `"begun":"1926-11-16T`, `begun: "1926-11-16T09:03:05.120Z" is no time such as 2026-11-16T09:03:05Z`},
		"changed":           {`"begun":"2026-11-16T`, `"begun":"2026-12-16T`, "closed: 2026-11-17T08:39:45.12Z is before 2026-12-16T09:03:05.12Z of begun"},
		"closed":            {`"changed":"2026-11-17T08:39:45.120Z"`, `"changed":"2026-11-17T08:39:45.119Z"`, "changed: 2026-11-17T08:39:45.119Z is before 2026-11-17T08:39:45.12Z of closed"},
		"answered":          {`"shown":"2026-11-16T09:05:35.120Z"`, `"shown":"2026-11-16T10:05:35.120Z"`, "entries[2].at: 2026-11-16T09:09:35.12Z is before 2026-11-16T10:05:35.12Z of entries[2].shown"},
		"mark":              {`"name":"started","title":"Started","at":"2026-11-17`, `"name":"started","title":"Started","at":"2026-11-18`, "entries[8].timing.marks[1].at: 2026-11-17T08:34:57.12Z is before 2026-11-18T08:33:05.12Z of entries[8].timing.marks[0].at"},
		"remedy":            {`"replaced":true,"at":"2026-11-16T09`, `"replaced":true,"at":"2026-11-16T08`, "findings[0].remedy.at: 2026-11-16T08:53:05.12Z is before 2026-11-16T09:24:47.12Z of findings[0].at"},
		"repaired":          {`"repaired":"2026-11-17`, `"repaired":"2026-11-15`, "findings[0].repaired: 2026-11-15T08:38:05.12Z is before 2026-11-16T09:53:05.12Z of findings[0].remedy.at"},
		"index":             {`"condemnedBy":5`, `"condemnedBy":10`, "findings[0].condemnedBy: there is no entry 10, only 10 of them, counted from 0"},
		"index below 0":     {`"entry":2`, `"entry":-1`, "ruledOut[0].entry: there is no entry -1, only 10 of them, counted from 0"},
		"outcome":           {`"outcome":"low"`, `"outcome":"lower"`, `entries[3].outcome: "lower" is none of ["low" "within" "high" "none" "unstable"]`},
		"verdict":           {`"verdict":"low"`, `"verdict":"bad"`, `entries[3].reading.verdict: "bad" is none of ["within" "low" "high" "close" "none" ""]`},
		"tolerance":         {`"tolerance":0.25`, `"tolerance":1`, "entries[8].timing.tolerance: a tolerance is a share of what is expected, between 0 and 1"},
		"tolerance alone":   {`"expected":118,`, ``, "entries[8].timing.tolerance: a tolerance is a share of what is expected, between 0 and 1"},
		"end":               {`"end":"cause"`, `"end":"found"`, `findings[0].end: "found" is none of ["cause" "hand-over" "not-reproduced"]`},
		"cause":             {`"cause":"relay",`, ``, "findings[0].cause: this is empty"},
		"limits":            {`"min":9,`, `"min":99,`, "entries[2].reading.max: the limits are in the wrong order"},
		"spec":              {`"spec":"feed-drop"`, `"spec":""`, "entries[4].reading.spec: this is empty"},
		"step":              {`"step":"volts"`, `"step":""`, "entries[3].step: this is empty"},
		"open key":          {`"text":"40 mV"`, `"text":"40 mV","said":"Low"`, "open[0].reading.said: this key is not known"},
		"open, no reading":  {`"at":"2026-11-17T08:38:35.120Z","reading"`, `"at":"2026-11-17T08:38:35.120Z","read"`, "open[0].read: this key is not known"},
		"open step":         {`"step":"seal"`, `"step":""`, "open[0].step: this is empty"},
		"open number":       {`"step":"seal","number":9`, `"step":"seal","number":0`, "open[0].number: steps count from 1, this is 0"},
		"open spec":         {`"spec":"ground-drop"`, `"spec":""`, "open[0].reading.spec: this is empty"},
		"open, later":       {`"at":"2026-11-17T08:38:35.120Z"`, `"at":"2026-11-18T08:38:35.120Z"`, "changed: 2026-11-17T08:39:45.12Z is before 2026-11-18T08:38:35.12Z of open[0].at"},
		"to":                {`"to":"#feed"`, `"to":""`, "entries[3].to: this is empty"},
	} {
		text := strings.Replace(line, c.from, c.to, 1)
		if c.from == "" {
			text = c.to
		} else if text == line {
			t.Fatalf("%s: the sample has no %s", name, c.from)
		}
		_, err := Decode(strings.NewReader(text))
		var refused *Error
		if !errors.As(err, &refused) || err.Error() != c.want {
			t.Errorf("%s:\nhave %v\nwant %s", name, err, c.want)
		}
	}
}

// TestCut holds that no beginning of a record is one, whatever byte it ends at.
func TestCut(t *testing.T) {
	good := bytes.TrimSpace(sample(t))
	for i := range good {
		var refused *Error
		if _, err := Decode(bytes.NewReader(good[:i])); !errors.As(err, &refused) {
			t.Fatalf("%d bytes: %v", i, err)
		}
	}
}

// TestReader holds that a disk that fails is not taken for a damaged record.
func TestReader(t *testing.T) {
	trouble := errors.New("trouble")
	if _, err := Decode(broken{trouble}); !errors.Is(err, trouble) {
		t.Error(err)
	}
}

type broken struct{ err error }

func (b broken) Read([]byte) (int, error) { return 0, b.err }

func TestEncodeRefuses(t *testing.T) {
	if _, err := Encode(&Record{}); err == nil {
		t.Error("an empty record is written")
	}
	if _, err := EncodeShort(&Record{}); err == nil {
		t.Error("an empty record is written short")
	}
	r, err := Decode(bytes.NewReader(sample(t)))
	if err != nil {
		t.Fatal(err)
	}
	r.Note = strings.Repeat("x", MaxSize)
	if _, err := Encode(r); err == nil {
		t.Error("a record that no reader takes is written")
	}
}

// TestSchema holds docs/record.schema.json: it is made from the types, and it
// takes and refuses as Decode does where a schema can tell.
func TestSchema(t *testing.T) {
	judge := schematest.Kept(t, "../../docs/record.schema.json", *update,
		"Record of a job, version 1", "The words for it, and what no schema can say, stand in record.md.", &Record{})
	line := string(sample(t))
	for _, change := range [][2]string{
		{"", ""},
		{`"record": 1`, `"record": 2`}, {`"note": ""`, `"Note": ""`}, {`"left"`, `"lost"`}, {`"hours": 312.5`, `"hours": null`},
		{`"number": 5`, `"number": 0`}, {`"number": 5`, `"number": 5.5`}, {`"outcome": "low"`, `"outcome": "lower"`},
		{`"verdict": "low"`, `"verdict": ""`}, {`"end": "cause"`, `"end": "found"`}, {`"id": "0123456789abcdef`, `"id": "`},
		{`"step": "volts"`, `"step": ""`}, {`"replaced": true`, `"replaced": 1`}, {`"unit": "V"`, `"units": "V"`}, {`"shown"`, `"show"`},
		{`"step": "seal"`, `"step": ""`}, {`"text": "40 mV"`, `"text": 40`},
	} {
		text := strings.Replace(line, change[0], change[1], 1)
		_, err := Decode(strings.NewReader(text))
		if text == line && change[0] != "" {
			t.Fatalf("%v: nothing to change", change)
		}
		if valid := judge.Validate(schematest.Value(t, []byte(text))); (valid == nil) != (err == nil) {
			t.Errorf("%s: the schema says %v, Decode says %v", change[1], valid, err)
		}
	}
}

func FuzzDecode(f *testing.F) {
	f.Add(sample(f))
	f.Add([]byte(`{"record": 1}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Decode(bytes.NewReader(data))
		if err != nil {
			return
		}
		again(t, r)
		// What the standard library takes too (it refuses 5.0 for 5), it takes so.
		var plain Record
		if err := json.Unmarshal(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), &plain); err == nil && !reflect.DeepEqual(&plain, r) {
			t.Errorf("%v\nhave %+v\nwant %+v", err, r, plain)
		}
	})
}
