package main

import (
	"os"
	"strings"
	"testing"
)

func TestBind(t *testing.T) {
	models := map[string]string{
		"content/handbook.yaml": book, "content/models.yaml": "k2: {title: K 2}\nk3: {title: K 3}\n", "content/parts.yaml": "",
		"content/specs/a.yaml": "", "content/en/a.md": "# A\n", "content/en/b.md": "---\napplicability: [k3]\n---\n\n# B\n",
	}
	with := func(name, text string) map[string]string {
		files := map[string]string{name: text}
		for k, v := range models {
			files[k] = v
		}
		return files
	}
	for _, c := range []struct {
		name           string
		files          map[string]string
		args           []string
		status         int
		stdout, stderr string // beginnings
	}{
		{"whole", models, nil, 0, "T, 5 pages, ", ""},
		{"of a model", models, []string{"-model", "k2"}, 0, "T, 4 pages, ", ""},
		{"of some pages", models, []string{"content", "a"}, 0, "T, 4 pages, ", ""},
		{"of a source file", models, []string{"content", "en/a.md", "-out", "x.html"}, 0, "T, 4 pages, ", ""},
		{"over an old one", with("handbook.html", `<!DOCTYPE html><meta name="generator" content="benchleaf bind">`), nil, 0, "T, 5 pages, ", ""},
		{"over something else", with("handbook.html", "mine"), nil, 2, "", "benchleaf bind: handbook.html: it is there and no bound handbook\n"},
		{"over a folder", with("handbook.html/mine", "mine"), nil, 2, "", "benchleaf bind: handbook.html: it is there and no bound handbook\n"},
		{"no such model", models, []string{"-model", "k4"}, 2, "", "benchleaf bind: model \"k4\": the handbook has none of that name; "},
		{"no such page", models, []string{"content", "c"}, 2, "", "benchleaf bind: page \"c\": the handbook has none of that name; "},
		{"no such language", models, []string{"-language", "es"}, 2, "", "benchleaf bind: language \"es\": the handbook has none of that name; it has en\n"},
		{"no folder", nil, nil, 2, "", "benchleaf bind: content: there is no such folder; name the handbook's, or begin one: benchleaf begin handbook\n"},
		{"nowhere to write", models, []string{"-out", "no/such/x.html"}, 3, "", "benchleaf bind: "},
		{"broken", broken, nil, 1, "", linkRemark + "1 error; nothing was written\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, stdout, stderr := try(t, c.files, append([]string{"bind"}, c.args...)...)
			if status != c.status || !strings.HasPrefix(stdout, c.stdout) || !strings.HasPrefix(stderr, c.stderr) || (c.stdout == "") != (stdout == "") {
				t.Errorf("status %d, want %d\nstdout %q\nwant   %q\nstderr %q\nwant   %q", status, c.status, stdout, c.stdout, stderr, c.stderr)
			}
			if left, err := os.ReadFile("handbook.html"); c.status != 0 && c.files["handbook.html"] != "" && (err != nil || string(left) != "mine") {
				t.Errorf("the file that was there: %q, %v", left, err)
			}
		})
	}
}

func TestBytesText(t *testing.T) {
	for n, want := range map[int]string{0: "0 KB", 1: "1 KB", 412_000: "412 KB", 412_001: "413 KB", 999_000: "999 KB", 999_001: "1.0 MB", 2_240_000: "2.2 MB"} {
		if got := bytesText(n); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
}
