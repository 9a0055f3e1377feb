package jsontext_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"benchleaf/render/jsontext"
)

// want is what encoding/json makes of a value.
func want(t *testing.T, value any) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(value); err != nil {
		t.Fatal(err)
	}
	return string(bytes.TrimSuffix(b.Bytes(), []byte("\n")))
}

// FuzzAppend: any text is written as encoding/json writes it.
func FuzzAppend(f *testing.F) {
	for _, text := range []string{"", "plain", "\"quoted\" \\ back", "a\nb\tc\r\b\f\x00\x1f\x7f", "<b>&amp;</b>", "1,750 ± 50 rpm", "\u2028 and \u2029", "no\xffUTF\xe2\x80", "\ufffd", "日本語"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if got := string(jsontext.Append([]byte("x"), text)); got != "x"+want(t, text) {
			t.Errorf("%s, want %s", got, "x"+want(t, text))
		}
	})
}

func TestAppendList(t *testing.T) {
	for _, list := range [][]string{{}, {"one"}, {"one", "t\"wo", ""}} {
		if got := string(jsontext.AppendList(nil, list)); got != want(t, list) {
			t.Errorf("%s, want %s", got, want(t, list))
		}
	}
}
