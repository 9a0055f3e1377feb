package record

import (
	"encoding/json"
	"fmt"
	"hash/crc32"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// ShortPrefix begins every line of the short text form, up to the version.
const ShortPrefix = "BENCHLEAF-"

// Codes of words in the short form; the index of a code's letter is that of its word.
var (
	outcomeCodes = codes{"LWHNU", outcomes}
	verdictCodes = codes{"WLHCN", verdicts[:5]}
	endCodes     = codes{"CHN", ends}
)

type codes struct {
	letters string
	words   []string
}

// code returns the letter for a word, "" for an empty one.
func (c codes) code(word string) string {
	for i, w := range c.words {
		if w == word {
			return c.letters[i : i+1]
		}
	}
	return ""
}

// EncodeShort writes a record in the short form. What Encode refuses is an error.
func EncodeShort(r *Record) (string, error) {
	if err := r.check(); err != nil {
		return "", err
	}
	begun := r.Begun.Unix()
	since := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return base36(t.Unix() - begun)
	}
	w := shortWriter{}
	w.WriteString(ShortPrefix + strconv.Itoa(Version))
	w.part("J", capitals(r.ID), capitals(r.Handbook.Edition), capitals(r.Handbook.Language), capitals(r.Machine.Model),
		capitals(r.Machine.Serial), decimal(r.Machine.Hours), base36(begun), orEmpty(since(r.Changed)), since(r.Closed))
	last := begun
	for i := range r.Entries {
		e := &r.Entries[i]
		w.turn(e.Page)
		w.part("E", append([]string{
			capitals(e.Step), strconv.Itoa(e.Number), outcomeCodes.code(e.Outcome), r.shortTo(i),
			orEmpty(base36(e.Shown.Unix() - last)), orEmpty(base36(e.At.Unix() - e.Shown.Unix())), flags(e),
		}, readingFields(e.Reading)...)...)
		last = e.At.Unix()
	}
	for _, out := range r.RuledOut {
		w.turn(out.Page)
		w.part("R", capitals(out.Cause), strconv.Itoa(out.Entry))
	}
	for _, f := range r.Findings {
		w.turn(f.Page)
		fields := []string{endCodes.code(f.End), capitals(f.Cause), capitals(f.Part), orEmpty(since(f.At)), "", "", "", since(f.Repaired)}
		if f.CondemnedBy != nil {
			fields[4] = strconv.Itoa(*f.CondemnedBy)
		}
		if f.Remedy != nil {
			fields[5], fields[6] = "0", since(f.Remedy.At)
			if f.Remedy.Replaced {
				fields[5] = "1"
			}
		}
		w.part("F", fields...)
	}
	if len(r.Left) > 0 {
		w.WriteString("*L")
		for i, id := range r.Left {
			if i > 0 {
				w.WriteByte(':')
			}
			w.WriteString(capitals(id))
		}
	}
	text := w.String()
	return text + "*" + checkOf(text), nil
}

// checkOf is the check that stands at the end of a line.
func checkOf(text string) string { return fmt.Sprintf("%08X", crc32.ChecksumIEEE([]byte(text))) }

func orEmpty(zero string) string {
	if zero == "0" {
		return ""
	}
	return zero
}

func flags(e *Entry) string {
	if e.Verification {
		return "V"
	}
	return ""
}

func readingFields(r *Reading) []string {
	if r == nil {
		return nil
	}
	return []string{capitals(r.Spec), decimal(r.Value), capitals(r.Unit), decimal(r.Min), decimal(r.Max), verdictCodes.code(r.Verdict)}
}

// shortTo is where an entry leads: nothing where that is the next entry.
func (r *Record) shortTo(i int) string {
	e := &r.Entries[i]
	if i+1 < len(r.Entries) && r.Entries[i+1].Page == e.Page && e.To == "#"+r.Entries[i+1].Step {
		return ""
	}
	if id, ok := strings.CutPrefix(e.To, "#"); ok && id != "" && id[0] != '/' {
		return capitals(id)
	}
	return capitals("/" + e.To)
}

type shortWriter struct {
	strings.Builder
	page string
}

// part writes a part without the empty fields at its end.
func (w *shortWriter) part(kind string, fields ...string) {
	for len(fields) > 0 && fields[len(fields)-1] == "" {
		fields = fields[:len(fields)-1]
	}
	w.WriteString("*" + kind + strings.Join(fields, ":"))
}

// turn says on which page the next parts are.
func (w *shortWriter) turn(page string) {
	if page != w.page {
		w.part("P", capitals(page))
		w.page = page
	}
}

func base36(n int64) string { return strings.ToUpper(strconv.FormatInt(n, 36)) }

// decimal writes a number as encoding/json and JavaScript do.
func decimal(v *float64) string {
	if v == nil {
		return ""
	}
	text, err := json.Marshal(*v)
	if err != nil {
		return "" // no number of JSON: no record holds it
	}
	return strings.ToUpper(string(text))
}

const hexDigits = "0123456789ABCDEF"

// plain tells whether a byte stands for itself in a text of the short form.
func plain(c byte) bool { return c >= '0' && c <= '9' || strings.IndexByte("-./+ ", c) >= 0 }

// capitals writes a text in the alphabet of the short form.
func capitals(text string) string {
	var b strings.Builder
	for i := range len(text) {
		switch c := text[i]; {
		case c >= 'a' && c <= 'z':
			b.WriteByte(c - 'a' + 'A')
		case c >= 'A' && c <= 'Z':
			b.WriteByte('$')
			b.WriteByte(c)
		case plain(c):
			b.WriteByte(c)
		default:
			b.WriteByte('%')
			b.WriteByte(hexDigits[c>>4])
			b.WriteByte(hexDigits[c&15])
		}
	}
	return b.String()
}

// fromCapitals is the inverse of capitals; false where text is not its work.
func fromCapitals(text string) (string, bool) {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c >= 'A' && c <= 'Z':
			b.WriteByte(c - 'A' + 'a')
		case c == '$' && i+1 < len(text) && text[i+1] >= 'A' && text[i+1] <= 'Z':
			i++
			b.WriteByte(text[i])
		case c == '%' && i+2 < len(text):
			high, low := strings.IndexByte(hexDigits, text[i+1]), strings.IndexByte(hexDigits, text[i+2])
			if high < 0 || low < 0 {
				return "", false
			}
			b.WriteByte(byte(high<<4 | low))
			i += 2
		case plain(c):
			b.WriteByte(c)
		default:
			return "", false
		}
	}
	return b.String(), utf8.ValidString(b.String())
}

// latest bounds the times of a short form: 9999-12-31T23:59:59Z, the last that
// RFC 3339 can write.
const latest = 253402300799

func parseBase36(text string) (int64, bool) {
	n, err := strconv.ParseInt(text, 36, 64)
	return n, err == nil && n >= -latest && n <= latest && strings.ToUpper(text) == text && text[0] != '+'
}

func parseDecimal(text string) (float64, bool) {
	// ParseFloat also takes hexadecimal, infinity and underscores.
	if strings.Trim(text, "0123456789.E+-") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && !math.IsInf(v, 0)
}
