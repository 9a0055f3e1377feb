package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"benchleaf/render/compare"
	"benchleaf/render/edition"
)

func TestCompare(t *testing.T) {
	files := with(with(good, "content/models.yaml", "a1: {title: Model A}\nb2: {title: Model B}\n"), "content/specs/a.yaml",
		"idle:\n  title: Idle\n  unit: rpm\n  revised: 2026-01-01\n  models:\n    a1: {nominal: 1750}\n    b2: {nominal: 1800}\n")
	if status, _, stderr := try(t, files, "compile", "-out", "old"); status != 0 {
		t.Fatal(stderr)
	}
	specs := filepath.Join("content", "specs", "a.yaml")
	if err := os.WriteFile(specs, []byte(strings.Replace(files["content/specs/a.yaml"], "1750", "1780", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.CopyFS("before", os.DirFS("old")), os.CopyFS("emptied", os.DirFS("old"))); err != nil {
		t.Fatal(err)
	}
	// An edition of a time before facts, and one whose list of them is empty.
	respell(t, "before", regexp.MustCompile(`,\s*"facts": *"[^"]*"`), "")
	if err := os.WriteFile("emptied/manifest/facts.json", []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	respell(t, "emptied", regexp.MustCompile(`"facts": *"[^"]*"`), `"facts":"`+edition.Digest([]byte("{}"))+`"`)
	text := "T\nFrom edition 1 to edition 1.\n\nSpecifications: 1\n  changed  idle  Idle\n    Model A: 1750 rpm -> 1780 rpm\n"
	remark := "specs/a.yaml:1:1: advice: the specification `idle` changed since the older edition, and `revised` did not: `1750 rpm` is `1780 rpm` now [spec-unrenewed]"
	for _, c := range []struct {
		args           string
		status         int
		stdout, stderr string // the second the beginning of what is said
	}{
		{"compile -out new", 0, "4 pages made. Open new/index.html\n", ""},
		{"compare old new", 0, text, ""},
		{"compare old/manifest.json new/manifest.json", 0, text, ""},
		{"compare -model a1 old new", 0, text, ""},
		{"compare -model b2 old new", 0, "T\nFrom edition 1 to edition 1.\nNothing changed.\n", ""},
		{"compare old old", 0, "T\nFrom edition 1 to edition 1.\nNothing changed.\n", ""},
		{"compare -model a2 old new", 2, "", "benchleaf compare: there is no model \"a2\"; did you mean \"a1\"?\n"},
		{"compare -format yaml old new", 2, "", "benchleaf compare: there is no format \"yaml\"\n"},
		{"compare old", 2, "", "benchleaf compare: two editions are needed, the older first\n"},
		{"compare old nowhere", 2, "", "benchleaf compare: nowhere: there is no such edition; make it first: benchleaf compile\n"},
		{"compare old content", 2, "", "benchleaf compare: content: the folder holds files that are no edition: there is no manifest.json\n"},
		{"compare new/index.html old", 2, "", "benchleaf compare: new/index.html: this is no edition: that is a folder, or its manifest.json"},
		{"compare emptied new", 2, "", "benchleaf compare: emptied: the folder holds files that are no edition: there is no facts/handbook.json.gz"},
		{"compare before new", 2, "", "benchleaf compare: before: this edition keeps no facts to compare: compile it with this version\n"},
		{"compile -out new -since before", 2, "", "benchleaf compile: before: this edition keeps no facts to compare: compile it with this version\n"},
		{"audit -since before", 2, "", "benchleaf audit: before: this edition keeps no facts to compare: compile it with this version\n"},
		{"compile -out new -since old", 0, "5 pages made. Open new/index.html\n", remark},
		{"compile -out new -since new", 2, "", "benchleaf compile: the older edition would be replaced by the new one: keep a copy of it elsewhere: new\n"},
		{"audit -since old", 0, remark, ""},
	} {
		status, stdout, stderr := said(t, strings.Fields(c.args)...)
		if status != c.status || !strings.HasPrefix(stdout, c.stdout) || !strings.HasPrefix(stderr, c.stderr) || c.stdout == "" && stdout != "" || c.stderr == "" && stderr != "" {
			t.Errorf("%s: %d\n%s%s", c.args, status, stdout, stderr)
		}
	}
	var c struct {
		Format int
		Specs  []struct{ Values []struct{ Old, New string } }
	}
	if _, stdout, _ := said(t, "compare", "-format", "json", "old", "new"); json.Unmarshal([]byte(stdout), &c) != nil ||
		c.Format != compare.Format || len(c.Specs) != 1 || len(c.Specs[0].Values) != 1 || c.Specs[0].Values[0].New != "1780 rpm" {
		t.Error(stdout)
	}
}

// respell writes something else into the manifest of an edition.
func respell(t *testing.T, dir string, was *regexp.Regexp, is string) {
	t.Helper()
	name := filepath.Join(dir, "manifest.json")
	text, err := os.ReadFile(name)
	if err == nil && !was.Match(text) {
		t.Fatal(name, "has no such thing")
	}
	if err = errors.Join(err, os.WriteFile(name, was.ReplaceAll(text, []byte(is)), 0o644)); err != nil {
		t.Fatal(err)
	}
}
