package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf8"
)

// Decode reads one record in its JSON form, to the end of what it is given. An
// *Error says why it is refused; any other error comes from the reader.
func Decode(from io.Reader) (*Record, error) {
	data, err := io.ReadAll(io.LimitReader(from, MaxSize+1))
	if err != nil {
		return nil, err
	}
	if len(data) > MaxSize {
		return nil, wrong("", "it is larger than %d bytes", MaxSize)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(data) {
		return nil, wrong("", "it is no text in UTF-8")
	}
	if !json.Valid(data) {
		return nil, plainest(data, nil)
	}
	r := new(Record)
	d := decoder{data: data}
	if err := d.value(reflect.ValueOf(r).Elem()); err != nil {
		return nil, plainest(data, err)
	}
	if err := r.check(); err != nil {
		return nil, plainest(data, err)
	}
	return r, nil
}

// plainest returns the reason that says most about data that is refused: a file
// that is no record at all is told so, not that its first key is unknown.
func plainest(data []byte, err error) error {
	var top map[string]json.RawMessage
	var syntax *json.SyntaxError
	switch whole := json.Unmarshal(data, &top); {
	case len(bytes.TrimSpace(data)) == 0:
		return wrong("", "it is empty")
	case errors.As(whole, &syntax) && syntax.Offset >= int64(len(data)):
		return wrong("", "it is cut off: the JSON ends in the middle")
	case errors.As(whole, &syntax):
		return wrong("", "it is no JSON: %v at byte %d", whole, syntax.Offset)
	case top == nil || top["record"] == nil:
		return wrong("", "it is no job record: JSON of another form")
	}
	var version float64
	if json.Unmarshal(top["record"], &version) == nil && version > Version {
		return wrong("record", "it is of a newer version, %v; version %d is known here", version, Version)
	}
	return err
}

// Encode writes a record as one line of JSON. What Decode would refuse is an
// error.
func Encode(r *Record) ([]byte, error) {
	full := *r
	full.Entries = append([]Entry{}, r.Entries...)
	full.RuledOut = append([]RuledOut{}, r.RuledOut...)
	full.Findings = append([]Finding{}, r.Findings...)
	full.Left = append([]string{}, r.Left...)
	if err := full.check(); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(&full); err != nil {
		return nil, err
	}
	if b.Len() > MaxSize {
		return nil, wrong("", "it is larger than %d bytes", MaxSize)
	}
	return b.Bytes(), nil
}

// decoder fills Go values from JSON that is known to be valid, and does so
// strictly: encoding/json takes a key in any case, twice, or not at all, and
// gives no place.
type decoder struct {
	data []byte
	at   int
}

// peek returns the first byte of what comes next.
func (d *decoder) peek() byte {
	for {
		switch c := d.data[d.at]; c {
		case ' ', '\t', '\r', '\n':
			d.at++
		default:
			return c
		}
	}
}

// value takes one JSON value for v. The place of an *Error is that below v; the
// callers put theirs before it.
func (d *decoder) value(v reflect.Value) error {
	if v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	first := d.peek()
	if into, ok := v.Addr().Interface().(*time.Time); ok {
		if first != '"' {
			return wrong("", "a time is wanted")
		}
		var err error
		*into, err = parseTime(d.text())
		return err
	}
	switch kind := v.Kind(); kind {
	case reflect.Struct:
		if first != '{' {
			return wrong("", "an object is wanted")
		}
		return d.object(v)
	case reflect.Slice:
		if first != '[' {
			return wrong("", "a list is wanted")
		}
		return d.list(v)
	case reflect.String:
		if first != '"' {
			return wrong("", "a text is wanted")
		}
		v.SetString(d.text())
	case reflect.Bool:
		if first != 't' && first != 'f' {
			return wrong("", "true or false is wanted")
		}
		v.SetBool(d.word() == "true")
	default:
		if first != '-' && (first < '0' || first > '9') {
			return wrong("", "a number is wanted")
		}
		return setNumber(v, d.word())
	}
	return nil
}

func setNumber(v reflect.Value, text string) error {
	f, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil:
		return wrong("", "%s is beyond the numbers that a record can hold", shortened(text))
	case v.Kind() == reflect.Float64:
		v.SetFloat(f)
	case math.Trunc(f) != f || math.Abs(f) > math.MaxInt32:
		return wrong("", "a whole number is wanted, this is %s", shortened(text))
	default:
		v.SetInt(int64(f))
	}
	return nil
}

// text takes a string.
func (d *decoder) text() string {
	begin, escaped := d.at, false
	for d.at++; d.data[d.at] != '"'; d.at++ {
		if d.data[d.at] == '\\' {
			escaped = true
			d.at++
		}
	}
	d.at++
	if !escaped {
		return string(d.data[begin+1 : d.at-1])
	}
	var text string
	_ = json.Unmarshal(d.data[begin:d.at], &text) // it is valid
	return text
}

// word takes a number, true or false.
func (d *decoder) word() string {
	begin := d.at
	for d.at < len(d.data) && bytes.IndexByte([]byte(" \t\r\n,]}"), d.data[d.at]) < 0 {
		d.at++
	}
	return string(d.data[begin:d.at])
}

// more tells whether another member or element comes, and takes what stands
// before it.
func (d *decoder) more(end byte) bool {
	c := d.peek()
	if c == end || c == ',' || c == ':' {
		d.at++
	}
	return c != end
}

func (d *decoder) object(v reflect.Value) error {
	fields := fieldsOf(v.Type())
	seen := make([]bool, len(fields.list))
	for d.at++; d.more('}'); {
		d.peek()
		key := d.text()
		i, ok := fields.byKey[key]
		switch {
		case !ok:
			return wrong(shortened(key), "this key is not known")
		case seen[i]:
			return wrong(key, "this key is given twice")
		}
		seen[i] = true
		d.more(0) // the colon
		if err := d.value(v.Field(i)); err != nil {
			return within(key, err)
		}
	}
	for i, f := range fields.list {
		if f.needed && !seen[i] {
			return wrong(f.key, "this is missing")
		}
	}
	return nil
}

func (d *decoder) list(v reflect.Value) error {
	v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	d.at++
	for i := 0; d.more(']'); i++ {
		v.Grow(1)
		v.SetLen(i + 1)
		if err := d.value(v.Index(i)); err != nil {
			return within(fmt.Sprintf("[%d]", i), err)
		}
	}
	return nil
}

// within puts a key or an index before the place of an error.
func within(outer string, err error) error {
	e, ok := err.(*Error)
	if !ok {
		return err
	}
	if e.Place != "" && e.Place[0] != '[' {
		outer += "."
	}
	return &Error{outer + e.Place, e.Reason}
}

// shortened keeps a stranger's key from filling the screen.
func shortened(key string) string {
	if len(key) > 40 {
		return strings.ToValidUTF8(key[:40], "") + "…"
	}
	return key
}

// parseTime reads RFC 3339 in UTC. time.Parse would also take a comma before
// the fraction and one digit for the hour.
func parseTime(text string) (time.Time, error) {
	t, err := time.Parse(time.RFC3339Nano, text)
	if err != nil || text[len(text)-1] != 'Z' || text[13] != ':' || strings.Contains(text, ",") || len(text) > len("2006-01-02T15:04:05.123456789Z") || t.Unix() < 0 {
		return t, wrong("", "%s is no time such as 2026-11-16T09:03:05Z", strconv.Quote(shortened(text)))
	}
	return t, nil
}

// fields are the keys of a struct's type.
type fields struct {
	list  []field
	byKey map[string]int
}

type field struct {
	key    string
	needed bool
}

var fieldsOfType sync.Map // reflect.Type -> *fields

func fieldsOf(t reflect.Type) *fields {
	if known, ok := fieldsOfType.Load(t); ok {
		return known.(*fields)
	}
	f := &fields{byKey: map[string]int{}}
	for i := range t.NumField() {
		key, option, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		f.list = append(f.list, field{key, option == ""})
		f.byKey[key] = i
	}
	fieldsOfType.Store(t, f)
	return f
}
