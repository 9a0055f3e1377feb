package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// try runs the program in a folder of its own that holds the handbook given.
func try(t *testing.T, files map[string]string, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	for name, text := range files {
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var out, errs bytes.Buffer
	status = Run(args, strings.NewReader(""), &out, &errs)
	return status, out.String(), errs.String()
}

var (
	book = "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en]\n"
	good = map[string]string{
		"content/handbook.yaml": book, "content/models.yaml": "", "content/parts.yaml": "",
		"content/specs/a.yaml": "", "content/en/a.md": "# A\n",
	}
	advised = map[string]string{"content/a.md": "# A\n"}
	broken  = map[string]string{
		"content/handbook.yaml": book, "content/models.yaml": "", "content/parts.yaml": "",
		"content/specs/a.yaml": "", "content/en/a.md": "# A\n\n[x](b.md)\n",
	}
)

const usageText = `benchleaf turns a folder of Markdown into an offline handbook.

  benchleaf audit [FLAGS] [FOLDER]                      say what is wrong with a handbook, and write nothing
  benchleaf begin [FLAGS] KIND NAME                     start a handbook, a procedure, a page, a bulletin, a specification or a translation
  benchleaf bind [FLAGS] [FOLDER [PAGE ...]]            make one HTML file of the handbook, or of some pages
  benchleaf calculate [FLAGS] [NAME [INPUT=VALUE ...]]  run a calculator, describe it, or list them all
  benchleaf compare [FLAGS] OLD NEW                     say what changed from one compiled handbook to another
  benchleaf compile [FLAGS] [FOLDER]                    make the offline handbook
  benchleaf desk [FLAGS] [FOLDER]                       show a handbook in the browser while it is written
  benchleaf field [FLAGS] FILE ...                      add up the records of jobs, and what they say of frequencies
  benchleaf language-server [-stdio] [FOLDER]           help an editor with a handbook, over stdin and stdout
  benchleaf publish [EDITION] FOLDER                    lay a compiled handbook out in a folder of a web host
  benchleaf schema [-out FOLDER]                        write JSON Schemas of a handbook's data files and front matter
  benchleaf sign [FLAGS] [EDITION]                      sign a compiled handbook, or make the key for it
  benchleaf translated [FLAGS] PAGE                     record that a translation was held against its source
  benchleaf verify [-key FILE] [EDITION]                say whether a compiled handbook is whole, and who signed it
  benchleaf version                                     say which benchleaf this is

benchleaf help COMMAND says more of one.
FOLDER is the handbook's source, content if left out; EDITION what compile made of it, edition if left out.
Exit status: 0 done, 1 the handbook or a value has errors, 2 wrong command line, 3 disk or permission, 130 stopped.
`

const compileUsage = `usage: benchleaf compile [FLAGS] [FOLDER]
       to make the offline handbook
  -fresh          make all of it anew, and keep nothing for the next time
  -out FOLDER     folder for the edition; edition if left out
  -since EDITION  an older edition: pages are marked where they changed since, and one tells of all
`

const linkRemark = "en/a.md:3:1: error: `b.md` leads nowhere [link-nowhere]\n     3 | [x](b.md)\n       | ^~~\n    Link to a page by its file, to a heading or step by # and its id.\n"

func TestRun(t *testing.T) {
	for _, c := range []struct {
		name           string
		files          map[string]string
		args           string
		status         int
		stdout, stderr string
	}{
		{"nothing", nil, "", 2, "", usageText},
		{"help", nil, "help", 0, usageText, ""},
		{"-h", nil, "-h", 0, usageText, ""},
		{"unknown command", nil, "complie", 2, "", "benchleaf: there is no command \"complie\"; did you mean \"compile\"?\n" + usageText},
		{"help of a command", nil, "compile -h", 0, compileUsage, ""},
		{"help with a command", nil, "help compile", 0, compileUsage, ""},
		{"help with help", nil, "help help", 0, usageText, ""},
		{"help with no command", nil, "help compilr", 2, "", "benchleaf: there is no command \"compilr\"; did you mean \"compile\"?\n" + usageText},
		{"unknown flag", nil, "compile -fast", 2, "", "benchleaf compile: there is no flag -fast\n" + compileUsage},
		{"flag misspelt", nil, "compile -frehs", 2, "", "benchleaf compile: there is no flag -frehs; did you mean -fresh?\n" + compileUsage},
		{"flag without value", nil, "compile -out", 2, "", "benchleaf compile: -out needs a value\n" + compileUsage},
		{"flag with a value that it does not take", nil, "compile -fresh=often", 2, "", "benchleaf compile: -fresh takes no value\n" + compileUsage},
		{"too many arguments", nil, "compile a b", 2, "", "benchleaf compile: \"b\" is one argument too many\n" + compileUsage},
		{"a file as source", good, "compile content/en/a.md", 2, "", "benchleaf compile: content/en/a.md: there is no such folder; name the handbook's, or begin one: benchleaf begin handbook\n"},
		{"no source", nil, "compile", 2, "", "benchleaf compile: content: there is no such folder; name the handbook's, or begin one: benchleaf begin handbook\n"},
		{"compile", good, "compile", 0, "4 pages made. Open edition/index.html\n", ""},
		{"compile elsewhere", good, "compile content -out x/y", 0, "4 pages made. Open x/y/index.html\n", ""},
		{"audit", good, "audit content", 0, "no remarks\n", ""},
		{"audit with an error", broken, "audit", 1, linkRemark + "1 error\n", ""},
		{"compile with an error", broken, "compile", 1, "", linkRemark + "1 error; nothing was written\n"},
		{"into the source", good, "compile -out content/x", 2, "", "benchleaf compile: the edition's folder and its source lie one in the other; choose another one with -out: content/x and content\n"},
		{"over something else", map[string]string{"content/a.md": "# A\n", "edition/mine.txt": "x"}, "compile", 2, "",
			advice + "benchleaf compile: edition: the folder holds files that are no edition; choose another one\n"},
		{"advice only", advised, "compile", 0, "4 pages made. Open edition/index.html\n", advice + "4 of advice\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, stdout, stderr := try(t, c.files, strings.Fields(c.args)...)
			if status != c.status || stdout != c.stdout || stderr != c.stderr {
				t.Errorf("status %d, want %d\nstdout %q\nwant   %q\nstderr %q\nwant   %q", status, c.status, stdout, c.stdout, stderr, c.stderr)
			}
		})
	}
}

const advice = `handbook.yaml: advice: the handbook has no handbook.yaml [data-missing]
    Add one with title, publisher, edition and languages.
models.yaml: advice: the handbook has no models.yaml [data-missing]
    Add one, so that limits can differ by model.
parts.yaml: advice: the handbook has no parts.yaml [data-missing]
    Add one, so that the build can tell which part nobody examines.
specs/: advice: the handbook has no specs/*.yaml [data-missing]
    Add one, so that a limit is written once and shown wherever it is used.
`

func TestVersion(t *testing.T) {
	status, stdout, stderr := try(t, nil, "version")
	if status != 0 || stderr != "" || !strings.HasPrefix(stdout, "benchleaf ") || strings.Count(stdout, "\n") != 1 {
		t.Errorf("%d %q %q", status, stdout, stderr)
	}
}
