package page

import "strings"

// coloured are the lexers that listings are coloured with, by their own names. A lexer is a list of patterns, some of
// which take time that grows with the square of a text or faster: on 4 KB of blank lines one of those left out
// takes seconds, on 16 KB a minute. These were held against random marks, long lines, blanks and open brackets.
var coloured = set(`
Ada, Arduino, ArmAsm, Awk, Bash, Bash Session, Batchfile, C, C#, C++, CMake, CSS, Common Lisp, Dart, Diff, Docker, Elixir, Erlang, FSharp, Fish,
Fortran, GAS, Go, GraphQL, Groovy, HCL, HTML, HTTP, Haskell, INI, JSON, Java, JavaScript, Julia, Kotlin, Lua, Makefile, Matlab, NASM,
Nginx configuration file, Nix, OCaml, Objective-C, Octave, PHP, Perl, PowerShell, PromQL, Protocol Buffer, Python, R, Ruby, Rust, SCSS, SQL, SYSTEMD,
Scala, Scheme, Sed, Swift, TOML, Tcl, TeX, TypeScript, VB.net, VHDL, VimL, XML, YAML, markdown, properties, react, verilog`)

func set(list string) map[string]bool {
	names := map[string]bool{}
	for name := range strings.SplitSeq(list, ",") {
		names[strings.TrimSpace(name)] = true
	}
	return names
}
