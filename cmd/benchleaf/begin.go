package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"benchleaf/render"
	"benchleaf/render/begin"
	"benchleaf/render/remark"
)

// runBegin begins a handbook, or something in one. What the command line does not
// say is asked on a terminal, and elsewhere has its usual value.
func runBegin(c *call) int {
	const inFlag = "in"
	in := c.flags.String(inFlag, "content", "`folder` of the handbook that it goes into")
	given := map[string]string{}
	for key, of := range kindsByField() {
		c.flags.Func(key, of, func(value string) error { given[key] = value; return nil })
	}
	rest, status, ok := c.parse(2)
	if !ok {
		return status
	}
	ask := c.asker()
	kind, name, wrong := whatBegins(rest, ask)
	for key := range given {
		if wrong == "" && !slices.ContainsFunc(kind.Fields, func(f *begin.Field) bool { return f.Key == key }) {
			wrong = fmt.Sprintf("a %s has no -%s", kind.Name, key)
		}
	}
	if wrong != "" {
		fmt.Fprintf(c.stderr, "benchleaf begin: %s\n", wrong)
		c.help(c.stderr)
		return statusUsage
	}
	dir := *in
	if kind.Whole {
		dir = name
	}
	// A page may be named as it lies, handbook's folder and all.
	name = strings.TrimPrefix(filepath.ToSlash(name), filepath.ToSlash(filepath.Clean(dir))+"/")
	b, remarks, err := render.Begin(dir, kind, name, time.Now().Format(time.DateOnly))
	if err != nil {
		return c.trouble(err)
	}
	if why, ok := b.CheckName(); !ok && len(remarks) == 0 {
		remarks = append(remarks, why)
	}
	if len(remarks) == 0 {
		remarks = fillIn(b, given, ask)
	}
	var written []string
	if len(remarks) == 0 {
		if written, remarks, err = b.Write(); err != nil {
			return c.trouble(err)
		}
	}
	if len(remarks) > 0 {
		c.report(remarks)
		fmt.Fprintf(c.stderr, "%s; nothing was written\n", counts(remarks))
		return statusRemarks
	}
	for _, file := range written {
		fmt.Fprintln(c.stdout, remark.Printable(file))
	}
	compile := "benchleaf compile"
	if dir != "content" {
		compile += " " + argument(dir)
	}
	fmt.Fprintf(c.stdout, "%s written. Fill in what the comments say; %s shows what it makes.\n", plural(len(written), "file"), remark.Printable(compile))
	return statusDone
}

// whatBegins reads, or asks, what is begun and its name. wrong says what is missing.
func whatBegins(rest []string, ask *asker) (kind *begin.Kind, name, wrong string) {
	var names []string
	for _, k := range begin.Kinds {
		names = append(names, k.Name)
	}
	all := strings.Join(names, ", ")
	var what string
	switch {
	case len(rest) > 0:
		what = rest[0]
	case ask != nil:
		what = ask.ask("What begins: "+all, "")
	}
	i := slices.Index(names, what)
	switch near := remark.Nearest(what, names); {
	case what == "":
		return nil, "", "what begins? " + all
	case i < 0 && near != "":
		return nil, "", fmt.Sprintf("there is no %q; did you mean %q?", what, near)
	case i < 0:
		return nil, "", fmt.Sprintf("there is no %q; there is %s", what, all)
	}
	kind = begin.Kinds[i]
	usual := ""
	if kind.Whole {
		usual = "content"
	}
	switch {
	case len(rest) > 1:
		name = rest[1]
	case ask != nil:
		name = ask.ask(kind.Naming, usual)
	default:
		name = usual
	}
	if name == "" {
		wrong = "it wants the " + kind.Naming
	}
	return kind, name, wrong
}

// fillIn gives each field its value, and tells what is wrong with those of the
// command line.
func fillIn(b *render.Beginning, given map[string]string, ask *asker) (remarks remark.List) {
	d := &b.Draft
	for _, f := range b.Kind.Fields {
		value, isGiven := given[f.Key]
		usual := f.Usual(d)
		switch {
		case isGiven:
			if why, ok := f.Check(d, value); !ok {
				remarks = append(remarks, why)
			}
		case f.Idle(d), f.Settled(d), ask == nil:
			if value = usual; value == "" && f.Needed {
				remarks = append(remarks, f.Missing(d))
			}
		default:
			value = ask.field(f, d)
		}
		d.Values[f.Key] = value
	}
	return remarks
}

// kindsByField says of each flag what it is of, and what it says.
func kindsByField() map[string]string {
	kinds, about := map[string][]string{}, map[string]string{}
	for _, k := range begin.Kinds {
		for _, f := range k.Fields {
			if kinds[f.Key] = append(kinds[f.Key], k.Name); about[f.Key] == "" {
				about[f.Key] = f.About
			}
		}
	}
	for key, says := range about {
		about[key] = "of a " + strings.Join(kinds[key], ", ") + ": " + says
	}
	return about
}
