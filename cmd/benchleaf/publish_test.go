package main

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

func TestPublish(t *testing.T) {
	if status, _, stderr := try(t, good, "compile"); status != 0 {
		t.Fatal(stderr)
	}
	write := func(name, text string) func() error {
		return func() error { return os.WriteFile(name, []byte(text), 0o644) }
	}
	page := "edition/en/a.html"
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	compressed := regexp.MustCompile(`\d+ compressed`)
	nothing := func() error { return nil }
	usage := "usage: benchleaf publish [EDITION] FOLDER\n       to lay a compiled handbook out in a folder of a web host\n"
	whole := "... of edition 1 of T, all as its manifest says.\n"
	for _, c := range []struct {
		do             func() error
		args           string
		status         int
		stdout, stderr string
	}{
		{nothing, "publish", 2, "", "benchleaf publish: into which folder?\n" + usage},
		{nothing, "publish a b c", 2, "", "benchleaf publish: \"c\" is one argument too many\n" + usage},
		{nothing, "publish nowhere host", 2, "", "benchleaf publish: nowhere: there is no such edition; make it first: benchleaf compile\n"},
		{nothing, "publish edition", 2, "", "benchleaf publish: edition: it is in the edition itself, which has what was compiled and no more; choose another folder\n"},
		{nothing, "publish edition edition/new/host", 2, "", "benchleaf publish: edition/new/host: it is in the edition itself, which has what was compiled and no more; choose another folder\n"},
		{nothing, "publish host", 0, "Edition 1 is in host: ..., N compressed beside them.\n", ""},
		{nothing, "publish edition host", 0, "Edition 1 is in host: ..., N compressed beside them.\n", ""},
		{nothing, "verify host", 1, "manifest.sig: it is not signed\n" + whole, ""},
		// What compile makes is no host's folder, and the other way round.
		{nothing, "compile -out host", 2, "", "benchleaf compile: host: the folder holds files that are no edition: "},
		{write(page, string(text)+"<p>more"), "publish host", 1, "", "en/a.html: changed\nbenchleaf publish: edition is not as it was compiled; nothing is published\n"},
		{write(page, string(text)), "sign -new my.key", 0, "", ""},
		{nothing, "sign -key my.key", 0, "", ""},
		{nothing, "publish host", 0, "Edition 1 is in host: ..., N compressed beside them.\n", ""},
		{nothing, "verify -key my.key.pub host", 0, "", ""},
		{write("host/mine.txt", ""), "publish host", 2, "", "benchleaf publish: host: the folder holds files that are no edition: mine.txt; choose another one\n"},
	} {
		if err := c.do(); err != nil {
			t.Fatal(err)
		}
		status, stdout, stderr := said(t, strings.Fields(c.args)...)
		stdout = compressed.ReplaceAllString(stdout, "N compressed")
		if status != c.status || !strings.HasPrefix(stderr, c.stderr) || c.stderr == "" && stderr != "" || c.stdout != "" && stdout != c.stdout {
			t.Errorf("%s: %d %q %q, want %d %q %q", c.args, status, stdout, stderr, c.status, c.stdout, c.stderr)
		}
	}
}
