package render

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What the audit says of coverage: a part that only a step speaks of, one that a
// cause names, one that nobody looks at; a cause with two steps that find it; a
// repair that a check proves; a setting that a step does, and one that none does; what minutes hang on.
func TestCoverage(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"handbook.yaml": "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en]\nstates:\n  cold: {title: Cold}\n  hot: {title: Hot}\nsettings:\n  off: {title: Off, restore: On}\n  out: {title: Out, restore: In}\n",
		"parts.yaml":    "coil: {title: Coil}\nfuse: {title: Fuse}\ntank: {title: Tank}\n",
		"en/a.md": `---
sheet: procedure
title: A
symptom: It dies
states: [cold]
causes:
  dead: {title: Dead, part: coil, verification: no, restores: off}
  blown: {title: Blown, restores: off}
---

## Look at the <part:fuse> <id:look>

` + "```step\nsets: off\n```\n\n```answers\n- [Blown](cause:blown)\n- [Dead](cause:dead)\n- [Whole](#measure)\n```" + `

## Measure

` + "```step\nrestores: off\n```\n\n```answers\n- [Nothing](cause:dead)\n- [Something](end:hand-over)\n```\n" + `
## Prove

` + "```step\nverification: yes\n```\n\n```answers\n- [Well](end:repaired)\n- [Dead](#measure)\n```\n",
	} {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	result, err := Audit(dir)
	if err != nil || result.Failed() {
		t.Fatalf("%v %v", err, result.Remarks)
	}
	var got strings.Builder
	if err := result.Coverage.WriteText(&got); err != nil {
		t.Fatal(err)
	}
	const want = `
Parts, by the procedures that examine them
  coil: a
  fuse: a
  tank: – nobody looks at it

Causes, by the steps that can find them
  a dead: look, measure
  a blown: look

Repairs, by the checks that prove them
  a dead: – no check on this page
  a blown: prove

Engine states, by the procedures whose complaint shows in them
  cold: a
  hot: – no complaint

Settings of the machine, by the procedures that do them
  off: a
  out: – no step does it

Minutes to the cause, on average, by procedure
  a: not known: cause ` + "`dead`" + ` has no frequency
`
	if got.String() != want {
		t.Errorf("got\n%s\nwant\n%s", got.String(), want)
	}
}

// What the audit says of the minutes to a cause, each worked by hand beside its page.
func TestCoverageMinutes(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "handbook.yaml"), []byte("title: T\npublisher: P\nedition: \"1\"\nlanguages: [en]\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	var want strings.Builder
	want.WriteString("\nMinutes to the cause, on average, by procedure\n")
	for _, c := range []struct {
		name, want string
		causes     string // with their frequencies
		steps      []string
	}{
		// a after 2 minutes, b after 5: (3*2 + 1*5)/4 = 2.75.
		{"a-best", "2.8 as written, which is the best order", "a 3, b 1",
			[]string{"one 2: a, two", "two 3: b, hand-over"}},
		// Of 10: a after 1 + 9 = 10, b after 11: (1*10 + 9*11)/10 = 10.9; with two before
		// one (1*11 + 9*2)/10 = 2.9.
		{"b-better", "10.9 as written, 2.9 in the order zero, two, one, which is the best", "a 1, b 9",
			[]string{"zero 1: one", "one 9: a, two", "two 1: b, hand-over"}},
		// By the side or not: a after 1 + 2 = 3, b after 1 + 1 = 2 or 1 + 2 + 1 = 4: (3 + 2)/2 to (3 + 4)/2.
		// With two before one b after 2, a after 4: (2 + 4)/2 = 3.
		{"c-click", "2.5 to 3.5 as written, 3.0 in the order zero, two, one, which is not surely less", "a 1, b 1",
			[]string{"zero 1: one, two", "one 2: a, two", "two 1: b, hand-over"}},
		// a by left after 1 + 1 = 2, c by right after 2, b after 1 + 1 + 1 = 3: (2 + 2 + 3)/3.
		{"d-back", "2.3 as written; no other order is judged: some go from `zero` by `right` and come back, some do not come there", "a 1, b 1, c 1",
			[]string{"zero 1: left, right", "left 1: a, two", "right 1: c, two", "two 1: b, hand-over"}},
		// b in zero's branch by x or y after 1 + 1 + 1 = 3 or 1 + 1 + 4 = 6; two finds b, too, after 1 + 1 + 1 + 1 = 4;
		// a after 2, c after 4, d after 3: (2 + 4 + 3 + 3)/4 to (2 + 4 + 3 + 6)/4.
		{"e-both", "3.0 to 3.8 as written; no other order is judged: cause `b` is shown by both `zero` and `last`, and from one of them by several ways or not always", "a 1, b 1, c 1, d 1",
			[]string{"zero 1: one, side", "one 1: a, two", "two 1: d, last", "last 1: b, c, hand-over", "side 1: x, y", "x 1: b, hand-over", "y 4: b, hand-over"}},
		{"f-figures", "not known: step `two` has no minutes", "a 1, b 1", []string{"one 1: a, two", "two: b, hand-over"}},
		{"g-figures", "not known: cause `b` has no frequency", "a 1, b", []string{"one 1: a, two", "two 1: b, hand-over"}},
	} {
		if err := os.MkdirAll(filepath.Join(dir, "en"), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "en", c.name+".md"), []byte(procedureOf(c.causes, c.steps)), 0o644); err != nil {
			t.Fatal(err)
		}
		want.WriteString("  " + c.name + ": " + c.want + "\n")
	}
	result, err := Audit(dir)
	if err != nil || result.Failed() {
		t.Fatalf("%v %v", err, result.Remarks)
	}
	var got strings.Builder
	if err := result.Coverage.WriteText(&got); err != nil {
		t.Fatal(err)
	}
	if _, minutes, _ := strings.Cut(got.String(), "\nMinutes"); "\nMinutes"+minutes != want.String() {
		t.Errorf("got\n%s\nwant\n%s", minutes, want.String())
	}
}

// procedureOf makes a page of causes, each with its frequency, and of steps, each as
// id, minutes, and where it leads.
func procedureOf(causes string, steps []string) string {
	var page strings.Builder
	page.WriteString("---\nsheet: procedure\ntitle: T\nsymptom: It dies\ncauses:\n")
	isCause := map[string]bool{}
	for cause := range strings.SplitSeq(causes, ", ") {
		id, frequency, given := strings.Cut(cause, " ")
		isCause[id] = true
		page.WriteString("  " + id + ": {title: Cause " + id)
		if given {
			page.WriteString(", frequency: " + frequency)
		}
		page.WriteString("}\n")
	}
	page.WriteString("---\n")
	for _, step := range steps {
		head, ways, _ := strings.Cut(step, ": ")
		id, minutes, given := strings.Cut(head, " ")
		page.WriteString("\n## Do " + id + " <id:" + id + ">")
		if given {
			page.WriteString(" <minutes:" + minutes + ">")
		}
		page.WriteString("\n\n```step\nwho: technician\n```\n\n```answers\n")
		for way := range strings.SplitSeq(ways, ", ") {
			target := "#" + way
			if isCause[way] {
				target = "cause:" + way
			} else if way == "hand-over" {
				target = "end:" + way
			}
			page.WriteString("- [To " + way + "](" + target + ")\n")
		}
		page.WriteString("```\n")
	}
	return page.String()
}
