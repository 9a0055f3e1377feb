package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"benchleaf/render"
	"benchleaf/render/compare"
	"benchleaf/render/edition"
	"benchleaf/render/remark"
)

// Exit statuses.
const (
	statusDone    = 0   // no remark, or advice only
	statusRemarks = 1   // an error among the remarks
	statusUsage   = 2   // the command line is wrong
	statusMachine = 3   // a disk, a permission
	statusStopped = 130 // Ctrl-C, as shells have it
)

// command is one of the program's commands.
type command struct {
	name, arguments, about string
	run                    func(c *call) int
}

// call is one use of a command.
type call struct {
	command        *command
	flags          *flag.FlagSet
	arguments      []string
	stdin          io.Reader
	stdout, stderr io.Writer
}

var commands = []*command{
	{"audit", "[FLAGS] [FOLDER]", "say what is wrong with a handbook, and write nothing", runAudit},
	{"begin", "[FLAGS] KIND NAME", "start a handbook, a procedure, a page, a bulletin, a specification or a translation", runBegin},
	{"bind", "[FLAGS] [FOLDER [PAGE ...]]", "make one HTML file of the handbook, or of some pages", runBind},
	{"calculate", "[FLAGS] [NAME [INPUT=VALUE ...]]", "run a calculator, describe it, or list them all", runCalculate},
	{"compare", "[FLAGS] OLD NEW", "say what changed from one compiled handbook to another", runCompare},
	{"compile", "[FLAGS] [FOLDER]", "make the offline handbook", runCompile},
	{"desk", "[FLAGS] [FOLDER]", "show a handbook in the browser while it is written", runDesk},
	{"field", "[FLAGS] FILE ...", "add up the records of jobs, and what they say of frequencies", runField},
	{"language-server", "[-stdio] [FOLDER]", "help an editor with a handbook, over stdin and stdout", runLanguageServer},
	{"publish", "[EDITION] FOLDER", "lay a compiled handbook out in a folder of a web host", runPublish},
	{"schema", "[-out FOLDER]", "write JSON Schemas of a handbook's data files and front matter", runSchema},
	{"sign", "[FLAGS] [EDITION]", "sign a compiled handbook, or make the key for it", runSign},
	{"translated", "[FLAGS] PAGE", "record that a translation was held against its source", runTranslated},
	{"verify", "[-key FILE] [EDITION]", "say whether a compiled handbook is whole, and who signed it", runVerify},
	{"version", "", "say which benchleaf this is", runVersion},
}

// Run runs the program with its arguments, without its name, and returns the
// exit status.
func Run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if terminal(stdout) != nil { // one that went away is nobody's loss
		return dispatch(args, stdin, stdout, stderr)
	}
	out := &output{Writer: stdout}
	status := dispatch(args, stdin, out, stderr)
	if out.err != nil && status < statusUsage { // a status above says it already
		fmt.Fprintf(stderr, "benchleaf %s: %v\n", args[0], out.err)
		return statusMachine
	}
	return status
}

// output is where a command's own output goes, with the first error that came of it: a full disk is one of the command,
// whatever else it did.
type output struct {
	io.Writer
	err error
}

func (o *output) Write(p []byte) (int, error) {
	n, err := o.Writer.Write(p)
	if o.err == nil {
		o.err = err
	}
	return n, err
}

// dispatch runs the command that the first argument names.
func dispatch(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		usage(stderr)
		return statusUsage
	}
	if help := []string{"help", "-h", "-help", "--help"}; slices.Contains(help, args[0]) {
		if len(args) == 1 || slices.Contains(help, args[1]) {
			usage(stdout)
			return statusDone
		}
		args = []string{args[1], "-h"}
	}
	for _, c := range commands {
		if c.name == args[0] {
			flags := flag.NewFlagSet(c.name, flag.ContinueOnError)
			return c.run(&call{c, flags, args[1:], stdin, stdout, stderr})
		}
	}
	names := make([]string, len(commands))
	for i, c := range commands {
		names[i] = c.name
	}
	fmt.Fprintf(stderr, "benchleaf: there is no command %q", args[0])
	if near := remark.Nearest(args[0], names); near != "" {
		fmt.Fprintf(stderr, "; did you mean %q?", near)
	}
	fmt.Fprintln(stderr)
	usage(stderr)
	return statusUsage
}

func usage(w io.Writer) {
	fmt.Fprintln(w, "benchleaf turns a folder of Markdown into an offline handbook.")
	fmt.Fprintln(w)
	for _, c := range commands {
		fmt.Fprintf(w, "  benchleaf %-43s %s\n", strings.TrimSpace(c.name+" "+c.arguments), c.about)
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w, "benchleaf help COMMAND says more of one.")
	fmt.Fprintln(w, "FOLDER is the handbook's source, content if left out; EDITION what compile made of it, edition if left out.")
	fmt.Fprintln(w, "Exit status: 0 done, 1 the handbook or a value has errors, 2 wrong command line, 3 disk or permission, 130 stopped.")
}

// parse reads flags and arguments, flags first or last. ok is false where the
// command is over already, with its status.
func (c *call) parse(most int) (rest []string, status int, ok bool) {
	c.flags.SetOutput(io.Discard)
	for args := c.arguments; len(args) > 0; {
		if err := c.flags.Parse(args); err != nil {
			out, status := c.stderr, statusUsage
			if errors.Is(err, flag.ErrHelp) {
				out, status = c.stdout, statusDone
			} else {
				fmt.Fprintf(out, "benchleaf %s: %s\n", c.command.name, c.refused(err))
			}
			c.help(out)
			return nil, status, false
		}
		if args = c.flags.Args(); len(args) > 0 {
			rest, args = append(rest, args[0]), args[1:]
		}
	}
	if len(rest) > most {
		fmt.Fprintf(c.stderr, "benchleaf %s: %q is one argument too many\n", c.command.name, rest[most])
		c.help(c.stderr)
		return nil, statusUsage, false
	}
	return rest, statusDone, true
}

// refused says what is wrong with a flag.
func (c *call) refused(err error) string {
	if name, ok := strings.CutPrefix(err.Error(), "flag needs an argument: "); ok {
		return name + " needs a value"
	}
	if text, ok := strings.CutPrefix(err.Error(), "invalid boolean value "); ok {
		name, _, _ := strings.Cut(text[strings.LastIndex(text, " for -")+len(" for "):], ":")
		return name + " takes no value"
	}
	name, ok := strings.CutPrefix(err.Error(), "flag provided but not defined: -")
	if !ok {
		return strings.Replace(err.Error(), ": parse error", ": it is no number", 1)
	}
	var names []string
	c.flags.VisitAll(func(f *flag.Flag) { names = append(names, f.Name) })
	if near := remark.Nearest(name, names); near != "" {
		return fmt.Sprintf("there is no flag -%s; did you mean -%s?", name, near)
	}
	return "there is no flag -" + name
}

// help tells of the command and its flags. The word of a flag's usage between backquotes is
// what its value is.
func (c *call) help(w io.Writer) {
	fmt.Fprintf(w, "usage: benchleaf %s\n       to %s\n", strings.TrimSpace(c.command.name+" "+c.command.arguments), c.command.about)
	var rows [][2]string
	width := 0
	c.flags.VisitAll(func(f *flag.Flag) {
		value, says := flag.UnquoteUsage(f)
		if f.DefValue != "" && f.DefValue != "false" && f.DefValue != "0" {
			says += "; " + f.DefValue + " if left out"
		}
		row := [2]string{strings.TrimSpace("-" + f.Name + " " + strings.ToUpper(value)), says}
		rows, width = append(rows, row), max(width, len(row[0]))
	})
	for _, row := range rows {
		fmt.Fprintf(w, "  %-*s  %s\n", width, row[0], row[1])
	}
}

// trouble reports what the machine refused, or the command line asked for, or that
// somebody stopped the command.
func (c *call) trouble(err error) int {
	if errors.Is(err, context.Canceled) {
		fmt.Fprintf(c.stderr, "benchleaf %s: stopped; nothing was written\n", c.command.name)
		return statusStopped
	}
	fmt.Fprintf(c.stderr, "benchleaf %s: %v\n", c.command.name, err)
	for _, usage := range []error{render.ErrApart, render.ErrNoSource, render.ErrThere, render.ErrLanguage, edition.ErrForeign, edition.ErrFile, edition.ErrHere, edition.ErrWithin, edition.ErrNowhere, edition.ErrNoFacts, compare.ErrFile, compare.ErrForm, render.ErrReplaced, render.ErrUnbound, render.ErrChoice, render.ErrNoTranslation, render.ErrNoSection} {
		if errors.Is(err, usage) {
			return statusUsage
		}
	}
	return statusMachine
}

func folder(arguments []string) string {
	if len(arguments) == 0 {
		return "content"
	}
	return arguments[0]
}

func runCompile(c *call) int {
	out := c.flags.String("out", "edition", "`folder` for the edition")
	fresh := c.flags.Bool("fresh", false, "make all of it anew, and keep nothing for the next time")
	since := c.flags.String("since", "", "an older `edition`: pages are marked where they changed since, and one tells of all")
	rest, status, ok := c.parse(1)
	if !ok {
		return status
	}
	ctx, done := stoppable()
	defer done()
	bar := c.progress()
	o := render.Options{Progress: bar.tell, Since: *since, Pages: render.Pace}
	if dir, err := os.UserCacheDir(); err == nil && !*fresh {
		o.Cache = filepath.Join(dir, "benchleaf")
	}
	result, err := render.Compile(ctx, folder(rest), *out, o)
	bar.end()
	c.report(result.Remarks)
	switch {
	case err != nil:
		return c.trouble(err)
	case result.Failed():
		fmt.Fprintf(c.stderr, "%s; nothing was written\n", counts(result.Remarks))
		return statusRemarks
	}
	if len(result.Remarks) > 0 {
		fmt.Fprintln(c.stderr, counts(result.Remarks))
	}
	fmt.Fprintf(c.stdout, "%s made. Open %s\n", plural(result.Pages, "page"), filepath.Join(*out, filepath.FromSlash(result.First)))
	return statusDone
}

func counts(l remark.List) string {
	var parts []string
	if n := l.Count(remark.Error); n > 0 {
		parts = append(parts, plural(n, "error"))
	}
	if n := l.Count(remark.Warning); n > 0 {
		parts = append(parts, plural(n, "warning"))
	}
	if n := l.Count(remark.Advice); n > 0 {
		parts = append(parts, fmt.Sprintf("%d of advice", n))
	}
	if len(parts) == 0 {
		return "no remarks"
	}
	return strings.Join(parts, ", ")
}

func plural(n int, noun string) string {
	if n == 1 {
		return fmt.Sprintf("%d %s", n, noun)
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
