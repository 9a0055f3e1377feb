package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write docs/commands.md, docs/calculators.md and the README's list of commands anew")

// guides are the pages of docs that tell more of a command than its help.
var guides = map[string][]string{
	"audit": {"audit.md", "remarks.md"}, "begin": {"tutorial.md", "writing.md#to-start"}, "bind": {"bind.md"},
	"calculate": {"calculators.md", "../README.md#commands"}, "compare": {"compare.md"}, "compile": {"edition.md"}, "desk": {"desk.md"},
	"field": {"field.md"}, "language-server": {"editor.md"}, "publish": {"hosting.md"}, "schema": {"editor.md", "keys.md"},
	"sign": {"signing.md"}, "translated": {"translating.md"}, "verify": {"signing.md"},
}

// TestCommandsDocument holds docs/commands.md against what each command says of itself.
func TestCommandsDocument(t *testing.T) {
	var b bytes.Buffer
	general, _, _ := strings.Cut(usageText, "\n\n")
	_, closing, _ := strings.Cut(usageText, "\n\nbenchleaf help COMMAND says more of one.\n")
	fmt.Fprintf(&b, "# Commands\n\n%s Here is what `benchleaf help COMMAND` says of each command; flags stand before or behind the rest.\n\n%s", general,
		strings.ReplaceAll(strings.TrimSuffix(closing, "\n"), "\n", "\n\n")+"\n")
	for _, c := range commands {
		var help, errs bytes.Buffer
		if status := Run([]string{"help", c.name}, strings.NewReader(""), &help, &errs); status != statusDone || errs.Len() > 0 {
			t.Fatalf("help %s: status %d, %s", c.name, status, errs.String())
		}
		fmt.Fprintf(&b, "\n## %s\n\n```text\n%s```\n", c.name, help.String())
		for i, page := range guides[c.name] {
			if file, _, _ := strings.Cut(page, "#"); !there(filepath.Join("..", "..", "docs", file)) {
				t.Errorf("%s: there is no docs/%s", c.name, page)
			}
			fmt.Fprintf(&b, "%s[%s](%s)", []string{"\nMore in ", ", "}[min(i, 1)], page, page)
		}
		if guides[c.name] != nil {
			b.WriteString(".\n")
		}
	}
	kept(t, filepath.Join("..", "..", "docs", "commands.md"), b.Bytes())
}

// TestReadmeCommands holds the README's list of commands against the program's.
func TestReadmeCommands(t *testing.T) {
	name := filepath.Join("..", "..", "README.md")
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	const begins, ends = "\n## Commands\n\n", "\nFOLDER is "
	head, rest, _ := strings.Cut(string(text), begins)
	_, rest, ok := strings.Cut(rest, ends)
	if !ok {
		t.Fatalf("%s has no list of commands", name)
	}
	list := ""
	for line := range strings.Lines(usageText) {
		if line, ok := strings.CutPrefix(line, "  "); ok {
			list += "    " + line
		}
	}
	kept(t, name, []byte(head+begins+list+ends+rest))
}

func there(file string) bool { _, err := os.Stat(file); return err == nil }

// kept holds a file against what it should be, and with -update writes it first.
func kept(t *testing.T, name string, want []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(name); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is not what the program says (%v); go test -update writes it", name, err)
	}
}

// TestDocumentedCommandLines: each command line that a page shows names a command, and flags that
// it has, each with its value.
func TestDocumentedCommandLines(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "docs", "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	line, seen := regexp.MustCompile("(?m)(?:^    |^\\$ |`)(benchleaf [a-z][^`\n]*)"), 0
	for _, file := range append(files, filepath.Join("..", "..", "README.md"), filepath.Join("..", "..", "DEVELOPERS.md")) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range line.FindAllStringSubmatch(string(text), -1) {
			typed, _, _ := strings.Cut(m[1], " #")
			typed, _, _ = strings.Cut(typed, " > ")
			typed, _, _ = strings.Cut(typed, "  ") // a list of commands
			if typed == "benchleaf edition 1" || typed == "benchleaf key 1" {
				continue // what is signed begins so
			}
			seen++
			if why := unknownIn(words(typed)[1:]); why != "" {
				t.Errorf("%s: %s: %s", filepath.Base(file), m[1], why)
			}
		}
	}
	if seen < 100 {
		t.Errorf("%d command lines", seen)
	}
}

// unknownIn says what of a command line the program does not know, or "". Brackets say
// what may be left out.
func unknownIn(args []string) string {
	if args[0] == "help" {
		return ""
	}
	i := slices.IndexFunc(commands, func(c *command) bool { return c.name == strings.TrimRight(args[0], ",.;:") })
	if i < 0 {
		return "there is no such command"
	}
	flags := flag.NewFlagSet("", flag.ContinueOnError)
	var out bytes.Buffer
	commands[i].run(&call{commands[i], flags, []string{"-h"}, strings.NewReader(""), &out, &out}) // defines them
	for j, arg := range args[1:] {
		name, isFlag := strings.CutPrefix(strings.Trim(arg, "[]"), "-")
		if !isFlag {
			continue
		}
		f := flags.Lookup(name)
		if f == nil {
			return "there is no flag -" + name
		}
		value, _ := flag.UnquoteUsage(f)
		if next := args[min(j+2, len(args)-1)]; value != "" && !strings.HasSuffix(arg, "]") && (j+2 == len(args) || strings.HasPrefix(next, "-")) {
			return "-" + name + " has no value"
		}
	}
	return ""
}

// TestAuditExamples: what docs/audit.md shows of a remark, as text and as JSON, is what comes.
func TestAuditExamples(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "docs", "audit.md"))
	if err != nil {
		t.Fatal(err)
	}
	var shown []string
	for _, m := range regexp.MustCompile("(?:\n    [^\n]*)+\n").FindAllString(string(text), -1) {
		shown = append(shown, strings.ReplaceAll(m, "\n    ", "\n")[1:])
	}
	files := maps.Clone(good)
	files["content/specs/a.yaml"] = "oil-pressure: {title: Oil pressure, unit: kPa, min: 100}\n"
	files["content/en/oil.md"] = "# Oil\n" + strings.Repeat("\n", 12) + "Read the pressure: it is <spec:oil-presure> with a warm engine.\n"
	if _, got, _ := try(t, files, "audit"); got != shown[0]+"1 error\n" {
		t.Errorf("%s\nthe page shows\n%s", got, shown[0])
	}
	var got, want any
	_, made, _ := try(t, files, "audit", "-format", "json")
	if err := errors.Join(json.Unmarshal([]byte(made), &got), json.Unmarshal([]byte(shown[1]), &want)); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%v\n%s\nthe page shows\n%s", err, made, shown[1])
	}
}
