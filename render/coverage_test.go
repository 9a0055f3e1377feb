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

` + "```step\nverification: yes\n```\n\n```answers\n- [Well](end:repaired)\n```\n",
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
