package remark

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

var update = flag.Bool("update", false, "write docs/remarks.md anew")

const document = "../../docs/remarks.md"

// TestDocument holds docs/remarks.md against the kinds.
func TestDocument(t *testing.T) {
	want := documentText()
	if twice := regexp.MustCompile(`……|\.\.\n`).Find(want); twice != nil {
		t.Errorf("%q: a detail, or a full stop, stands twice", twice)
	}
	if *update {
		if err := os.WriteFile(document, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(document)
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is not what the kinds say (%v); go test -update writes it", document, err)
	}
}

// documentText writes every kind with its texts.
func documentText() []byte {
	var b bytes.Buffer
	b.WriteString("# Remarks\n\n")
	b.WriteString("What the build says to an author: `file:line:column: severity: what is wrong [id]`, beneath it the line with the place marked, and how to mend it.\n")
	b.WriteString("An error stops the output, and the last good edition stays; advice does not.\n")
	for _, k := range All() {
		fmt.Fprintf(&b, "\n## %s\n\n*%s.* %s.\n\n%s\n\nTo mend: %s\n",
			k.ID, severityText(k.Severity), capital(k.MessageText()), k.About, lower(k.MendText()))
	}
	return b.Bytes()
}

func severityText(s Severity) string {
	if s == Off {
		return "Off, unless the handbook sets it"
	}
	return capital(s.String())
}

func capital(s string) string { return firstLetter(s, unicode.ToUpper) }
func lower(s string) string   { return firstLetter(s, unicode.ToLower) }

func firstLetter(s string, to func(rune) rune) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(to(r)) + s[n:]
}

// TestKinds holds what every kind must have.
func TestKinds(t *testing.T) {
	id := regexp.MustCompile(`^[a-z]+(-[a-z]+)+$`)
	seen := map[string]bool{}
	for _, k := range All() {
		if !id.MatchString(k.ID) || seen[k.ID] {
			t.Errorf("%q is no id, or stands twice", k.ID)
		}
		seen[k.ID] = true
		if k.Message == "" || k.Mend == "" || k.About == "" || strings.HasSuffix(k.Message, ".") || !strings.HasSuffix(k.Mend, ".") && k.Mend != "%[2]s" {
			t.Errorf("%s: message without full stop, mend and about as sentences", k.ID)
		}
	}
}

func TestNearest(t *testing.T) {
	names := []string{"heater-feed", "heater-coil", "idle", "relay"}
	for _, c := range []struct{ name, want string }{
		{"heater-fede", "heater-feed"},  // two neighbours swapped
		{"heater-coils", "heater-coil"}, // one too many
		{"idl", "idle"},                 // one missing
		{"Relay", "relay"},              // case is no mistake
		{"rly", ""},                     // two of three missing
		{"x", ""},
		{"", ""},
		{"governor", ""},
	} {
		if got := Nearest(c.name, names); got != c.want {
			t.Errorf("Nearest(%q) = %q, want %q", c.name, got, c.want)
		}
	}
}

func TestSortDropsRepetitions(t *testing.T) {
	a := LinkUnsafe.At(Place{"b.md", 2, 1}, "x")
	b := LinkUnsafe.At(Place{"a.md", 10, 1}, "x")
	c := LinkUnsafe.At(Place{"a.md", 9, 5}, "x")
	list := List{a, b, c, a}
	list.Sort()
	if len(list) != 3 || list[0] != c || list[1] != b || list[2] != a {
		t.Errorf("sorted: %v", list)
	}
}
