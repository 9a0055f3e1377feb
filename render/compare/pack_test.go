package compare

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
)

// filled fills a value: lists and maps with so many of what they hold, texts with what is at hand.
func filled(t *testing.T, v reflect.Value, many func() int, text func() string) {
	t.Helper()
	switch v.Kind() {
	case reflect.Int:
		v.SetInt(int64(many()))
	case reflect.String:
		v.SetString(text())
	case reflect.Slice:
		if n := many(); n > 0 {
			v.Set(reflect.MakeSlice(v.Type(), n, n))
			for i := range n {
				filled(t, v.Index(i), many, text)
			}
		}
	case reflect.Map:
		if n := many(); n > 0 {
			v.Set(reflect.MakeMap(v.Type()))
			for range n {
				key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
				filled(t, key, many, text)
				filled(t, value, many, text)
				v.SetMapIndex(key, value)
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				filled(t, v.Field(i), many, text)
			}
		}
	default:
		t.Fatalf("facts with a %s", v.Type())
	}
}

// TestPageJSON: facts of a page are written as encoding/json writes them, whatever is in them, and every field of them.
func TestPageJSON(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for round := range 200 {
		most, n := round%4, 0
		many := func() int { return r.IntN(most + 1) }
		if round == 0 {
			many = func() int { return 2 }
		}
		p := &Page{}
		filled(t, reflect.ValueOf(p).Elem(), many, func() string {
			n++
			return []string{"", "plain", "a \"b\" <c> & \\", "1,750 ± 50 rpm\n"}[r.IntN(4)] + fmt.Sprint(n)[:min(round, 1)]
		})
		for i := range p.Page.Fields { // a field has lines
			p.Page.Fields[i].Lines = append(p.Page.Fields[i].Lines, "line")
		}
		for _, list := range [][]Thing{p.Steps, p.Causes, p.Ends, p.Forms} {
			for i := range list {
				for k := range list[i].Fields {
					list[i].Fields[k].Lines = append(list[i].Fields[k].Lines, "line")
				}
			}
		}
		var want bytes.Buffer
		e := json.NewEncoder(&want)
		e.SetEscapeHTML(false)
		if err := e.Encode(p); err != nil {
			t.Fatal(err)
		}
		if got := append(p.json(nil), '\n'); !bytes.Equal(got, want.Bytes()) {
			t.Fatalf("%s\nwant %s", got, want.Bytes())
		}
	}
}
