package record

import (
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

func itoa(n int) string { return strconv.Itoa(n) }

// whole cuts the fraction of a second off.
func whole(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return time.Unix(t.Unix(), 0).UTC()
}

// TestShortSize: a job of ten entries, six of them readings, a repair and its
// proof fit a QR code of version 15 with error correction M. ISO/IEC 18004,
// table 7: it holds 412 bytes or 600 characters of the alphanumeric mode.
func TestShortSize(t *testing.T) {
	r, err := Decode(bytes.NewReader(sample(t)))
	if err != nil {
		t.Fatal(err)
	}
	line, err := EncodeShort(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d characters: %s", len(line), line)
	if len(line) > 600 {
		t.Errorf("%d characters", len(line))
	}
}

// TestShortExample reads the example of docs/record.md and holds it against
// what the page says about each part.
func TestShortExample(t *testing.T) {
	text, err := os.ReadFile("../../docs/record.md")
	if err != nil {
		t.Fatal(err)
	}
	var line string
	for _, m := range regexp.MustCompile(`(?m)^    ([A-Z*].*)$`).FindAllStringSubmatch(string(text), -1) {
		line += m[1]
	}
	r, err := DecodeShort(line)
	if err != nil {
		t.Fatalf("%v\n%s", err, line)
	}
	if again, err := EncodeShort(r); err != nil || again != line {
		t.Errorf("%v\nhave %s\nwant %s", err, again, line)
	}
	// TOL7T5 in base 36 is 29·36⁵ + 24·36⁴ + 21·36³ + 7·36² + 29·36 + 5 =
	// 1,794,819,785 s: 2026-11-16T09:03:05Z is 20,773 days and 32,585 s.
	begun := time.Date(2026, 11, 16, 9, 3, 5, 0, time.UTC)
	if begun.Unix() != 20773*86400+32585 {
		t.Fatal(begun.Unix())
	}
	reading := r.Entries[1].Reading
	switch {
	case !r.Begun.Equal(begun), r.Handbook.Edition != "4", r.Machine.Serial != "Q150-20417", *r.Machine.Hours != 312.5,
		len(r.Entries) != 3, r.Entries[0].To != "#volts", r.Entries[0].At.Sub(begun) != 50*time.Second, // 1E is 1·36 + 14
		reading.Spec != "heater-volts", *reading.Value != 9.8, reading.Unit != "V", *reading.Min != 12.2, *reading.Max != 14.4, reading.Verdict != "low",
		r.Entries[1].Outcome != "low", r.Entries[2].To != "#cause-relay", r.RuledOut[0].Cause != "coil", r.RuledOut[0].Entry != 1,
		!r.Findings[0].Remedy.Replaced, !r.Findings[0].Repaired.IsZero(), r.Findings[0].Part != "heater-relay", r.Left[0] != "f2-out":
		t.Errorf("%+v", r)
	}
}

func TestShortTexts(t *testing.T) {
	for text, want := range map[string]string{
		"choke-opens-late": "CHOKE-OPENS-LATE", "K210": "$K210", "°C": "%C2%B0$C", "a:b*c": "A%3AB%2AC", "x y+z": "X Y+Z", "#": "%23", "$%": "%24%25",
	} {
		if have := capitals(text); have != want {
			t.Errorf("%s: have %s, want %s", text, have, want)
		}
		if back, ok := fromCapitals(want); !ok || back != text {
			t.Errorf("%s: have %q", want, back)
		}
	}
	for _, bad := range []string{"a", "$", "$1", "$a", "%", "%4", "%4g", "%G0", "%FF", "ä", "_", "\x00"} {
		if text, ok := fromCapitals(bad); ok {
			t.Errorf("%q is read as %q", bad, text)
		}
	}
}

func TestShortRefused(t *testing.T) {
	job := "BENCHLEAF-1*J" + strings.Repeat("A", 32) + ":4:EN:::" + ":TOL7T5:B4"
	page := job + "*PP"
	for text, want := range map[string]string{
		"Benchleaf-1*JX":                                   "it is in small letters: a short form is written in capital ones",
		"hello":                                            "it is no job record: a short form begins with BENCHLEAF-1",
		"BENCHLEAF-2*X":                                    "it is of a newer version, 2; version 1 is known here",
		"BENCHLEAF-x":                                      `its version "x" cannot be read`,
		"BENCHLEAF-1":                                      "it is cut off or mistyped: its check does not fit",
		job:                                                "it is cut off or mistyped: its check does not fit",
		sealed("BENCHLEAF-1"):                              "part 1: the J part is missing",
		sealed("BENCHLEAF-1*PP"):                           "part 1: the J part stands first, and once",
		sealed(job + "*" + job[12:]):                       "part 2: the J part stands first, and once",
		sealed(job + "*"):                                  "part 2: it is empty",
		sealed(job + "*Q"):                                 `part 2: a part 'Q' is not known`,
		sealed(job + "*P"):                                 "part 2: the page is empty",
		sealed(job + "*EVOLTS:5::X"):                       "entries[0].page: this is empty",
		sealed(page + "*EVOLTS:5"):                         "entries[0].to: no step of the same page follows",
		sealed(page + "*EVOLTS:X::X"):                      "part 3: the number is no whole number",
		sealed(page + "*EVOLTS:5:X:X"):                     `part 3: outcome "X" is none of "LWHNU"`,
		sealed(page + "*EVOLTS:5::X:a"):                    "part 3: the time of shown cannot be read",
		sealed(page + "*EVOLTS:5::X:::W"):                  `part 3: a flag "W" is not known`,
		sealed(page + "*EVOLTS:5::X::::S:0X1"):             "part 3: the value is no number",
		sealed(page + "*EVOLTS:5::X::::S:1E999"):           "part 3: the value is no number",
		sealed(page + "*EVOLTS:5::X::::S:1:$V:2:1"):        "entries[0].reading.max: the limits are in the wrong order",
		sealed(page + "*EVOLTS:5::X::::S:1:$V:1:2:W:X"):    "part 3: it has 1 fields too many",
		sealed(page + "*EVOLTS:5::X::-5"):                  "entries[0].at: 2026-11-16T09:03:00Z is before 2026-11-16T09:03:05Z of entries[0].shown",
		sealed(page + "*EVOLTS:5::X::ZZZZZZZZ"):            "part 3: the time of at cannot be read",
		sealed(page + "*RRELAY:0"):                         "ruledOut[0].entry: there is no entry 0, only 0 of them, counted from 0",
		sealed(page + "*FX"):                               `part 3: end "X" is none of "CHN"`,
		sealed(page + "*FC"):                               "findings[0].cause: this is empty",
		sealed(page + "*FC:RELAY:::0"):                     "findings[0].condemnedBy: there is no entry 0, only 0 of them, counted from 0",
		sealed(page + "*FC:RELAY::::1"):                    "part 3: whether a part was replaced goes with the time of the remedy",
		sealed(strings.Replace(job, "AAAA", "AAAZ", 1)):    "id: an id is 32 lower-case hexadecimal digits",
		sealed(strings.Replace(job, ":TOL7T5", ":-1", 1)):  "part 1: the time of begun is not between 1970 and 9999",
		sealed(strings.Replace(job, ":TOL7T5", ":+1", 1)):  "part 1: the time of begun cannot be read",
		sealed(strings.Replace(job, ":TOL7T5", ":1_0", 1)): "part 1: the time of begun cannot be read",
	} {
		_, err := DecodeShort(text)
		var refused *Error
		if !errors.As(err, &refused) || err.Error() != want {
			t.Errorf("%s:\nhave %v\nwant %s", text, err, want)
		}
	}
}

func sealed(text string) string {
	return fmt.Sprintf("%s*%08X", text, crc32.ChecksumIEEE([]byte(text)))
}

// TestShortDamage holds that no cut and no changed character of a line goes
// unnoticed.
func TestShortDamage(t *testing.T) {
	r, err := Decode(bytes.NewReader(sample(t)))
	if err != nil {
		t.Fatal(err)
	}
	line, err := EncodeShort(r)
	if err != nil {
		t.Fatal(err)
	}
	for i := range line {
		if _, err := DecodeShort(line[:i]); err == nil {
			t.Fatalf("%d characters are taken for the whole", i)
		}
		for _, c := range []byte("0A:*") {
			if damaged := line[:i] + string(c) + line[i+1:]; damaged != line {
				if _, err := DecodeShort(damaged); err == nil {
					t.Fatalf("character %d as %c is taken", i, c)
				}
			}
		}
	}
}

func FuzzShort(f *testing.F) {
	r, err := Decode(bytes.NewReader(sample(f)))
	if err != nil {
		f.Fatal(err)
	}
	line, err := EncodeShort(r)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(line[:strings.LastIndexByte(line, '*')])
	f.Add("BENCHLEAF-1*J")
	// The check is put to every text, or none would get past it.
	f.Fuzz(func(t *testing.T, text string) {
		if _, err := DecodeShort(text); err == nil {
			line := strings.TrimSpace(text)
			if end := strings.LastIndexByte(line, '*'); end < 0 || line != sealed(line[:end]) {
				t.Fatalf("its check does not fit: %s", text)
			}
		}
		if r, err := DecodeShort(sealed(text)); err == nil {
			again(t, r)
		}
	})
}
