package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

// TestTerminal begins a page from the answers at a terminal.
func TestTerminal(t *testing.T) {
	t.Chdir(t.TempDir())
	if status, _, stderr := said(t, "begin", "handbook"); status != statusDone {
		t.Fatal(stderr)
	}
	program, person := pseudoTerminal(t, 100)
	if _, err := person.WriteString("page\nbattery\nThe battery\n"); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	status := Run([]string{"begin"}, program, &out, program)
	seen := make([]byte, 4096)
	n, err := person.Read(seen)
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("content/en/theory/battery.md")
	if status != statusDone || err != nil || !strings.Contains(string(text), "title: \"The battery\"\n") {
		t.Errorf("status %d, %v\n%s\n%s", status, err, seen[:n], text)
	}
	for _, question := range []string{"What begins: ", "Name of the page's file, such as battery: ", "Title [Battery]: "} {
		if !bytes.Contains(seen[:n], []byte(question)) {
			t.Errorf("%q was not asked: %q", question, seen[:n])
		}
	}
}
