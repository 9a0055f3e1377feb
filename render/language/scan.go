package language

import (
	"bytes"
	"path"
	"regexp"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/source"
)

// kind is a kind of name, as messages call it.
type kind string

// The kinds. What is nameless may become a name of several kinds.
const (
	kindSpec       kind = "specification"
	kindPart       kind = "part"
	kindCause      kind = "cause"
	kindStep       kind = "step"
	kindHazard     kind = "hazard"
	kindSetting    kind = "setting"
	kindState      kind = "engine state"
	kindModel      kind = "model"
	kindCalculator kind = "calculator"
	kindEnd        kind = "end"
	kindBuiltIn    kind = "built-in calculator"
	kindProcedure  kind = "procedure" // by its page's path without language and ending
	kindBulletin   kind = "bulletin"  // the same
	kindCircuit    kind = "circuit"
	kindPoint      kind = "point"   // of a circuit
	kindElement    kind = "element" // of a circuit
	kindInput      kind = "input"   // of a calculator
	kindResult     kind = "result"  // of a calculator
	kindFigure     kind = "figure"  // of a calculator: a constant, or a value between
	kindFormula    kind = "formula" // a name in a formula, of which kind the block tells
	kindBlock      kind = "block"
	kindRemark     kind = "remark"
	kindWay        kind = "way"     // where a reading's outcome leads, without a scheme yet
	kindLink       kind = "link"    // the same of a link in a text
	kindPage       kind = "page"    // the same of a label: a page of any language
	kindPicture    kind = "picture" // the file of one
	kindAnswer     kind = "answer"  // of a step, or an outcome of its reading
	kindUnit       kind = "unit"
	kindMarkdown   kind = "markdown" // no name: a text with links
	kindSection    kind = "section"  // what a translation records digests of
	kindDigest     kind = "digest"   // of a block of the source
)

// ofPage tells whether a name of the kind is one of a page, the same in each language.
func (k kind) ofPage() bool { return k == kindCause || k == kindStep || k == kindCalculator }

// ofCalculator tells whether a name of the kind is one of a calculator.
func (k kind) ofCalculator() bool { return k == kindInput || k == kindResult || k == kindFigure }

// ofCircuit tells whether a name of the kind is one of a circuit's file.
func (k kind) ofCircuit() bool { return k == kindPoint || k == kindElement }

// site is a place of a file where a name stands, or could.
type site struct {
	kind       kind
	name       string
	start, end int    // offsets of the name
	scope      string // the key of the page whose name it is or that measures it, or that and its calculator's name; "" for one of the handbook
	defines    bool
	made       bool   // it is no name that anybody wrote: a heading's words
	formula    bool   // it stands in a formula
	tight      bool   // a key's colon stands right before it, and YAML wants a blank
	title      string // of what it defines
}

// scanner finds the sites of a file. It reads lines and brackets only, so that a text that
// is being typed has sites too.
type scanner struct {
	path      string
	key       string
	data      []byte
	languages []string
	sites     []site
	entries   map[string]int // of what has been defined, by the keys that lead there
	name      string         // of the rules
	rules     []rule
	measured  string // the key of the page that a circuit is about
	form      string // the name of the calculator that a block is, or is about
	indent    int    // of the line where the outermost brackets begin
	ask       int    // the offset of the spot that is asked for
	spot      *spot
	bare      bool // the line has no key yet
	mapping   int  // the offset of the first key of the mapping that is scanned
	keysOf    map[int][]string
	looked    int // how many bytes were looked at, so that a test can hold it against the text's length
}

// scan finds the sites of a file of the handbook.
func scan(name string, data []byte, languages []string) []site {
	return scanned(name, data, languages, -1).sites
}

// scanned is a scanner that has scanned a file, and met the spot at an offset, if that is none below 0.
func scanned(name string, data []byte, languages []string, ask int) *scanner {
	s := &scanner{path: name, key: keyOf(name, languages), data: data, languages: languages, entries: map[string]int{}, ask: ask}
	folder, base := path.Split(name)
	switch {
	case path.Ext(name) == ".md":
		s.page()
	case folder == "":
		s.yaml(base, 0, len(data))
	default:
		s.yaml(strings.TrimSuffix(folder, "/"), 0, len(data))
	}
	for i := range s.sites { // a circuit may name its procedure after its faults
		if x := &s.sites[i]; s.ofCircuit() {
			x.scope = s.scope(x.kind, x.scope)
		}
	}
	if p := s.spot; p != nil {
		p.name = s.nameOf(p)
	}
	slices.SortStableFunc(s.sites, func(a, b site) int { return a.start - b.start })
	return s
}

// keyOf is a page's path without language and ending, which is the same in all languages.
func keyOf(name string, languages []string) string {
	name = strings.TrimSuffix(name, path.Ext(name))
	if folder, rest, ok := strings.Cut(name, "/"); ok && slices.Contains(languages, folder) {
		return rest
	}
	return name
}

// ofCircuit tells whether the file is a circuit's.
func (s *scanner) ofCircuit() bool { return strings.HasPrefix(s.path, "circuits/") }

// scope is that of a name of a kind once all of the file is known; within is the calculator's or the step's name.
func (s *scanner) scope(k kind, within string) string {
	switch {
	case k == kindAnswer:
		return s.measured + "#" + within
	case s.ofCircuit() && (k.ofPage() || k == kindPoint && s.measured != ""): // the procedure's readings name the points
		return s.measured
	case k.ofPage() || k.ofCircuit():
		return s.key
	case k.ofCalculator():
		return s.key + "/" + within
	}
	return ""
}

// add keeps a site. Only names of a page, and of a circuit's file, have a scope yet.
func (s *scanner) add(k kind, start, end int, scope string) *site {
	if !k.ofPage() && !k.ofCircuit() {
		scope = ""
	}
	s.sites = append(s.sites, site{kind: k, name: string(s.data[start:end]), start: start, end: end, scope: scope})
	return &s.sites[len(s.sites)-1]
}

// line returns where the line at an offset ends, and where the next begins.
func (s *scanner) line(at int) (end, next int) {
	defer func() { s.looked += next - at }()
	if i := bytes.IndexByte(s.data[at:], '\n'); i >= 0 {
		return at + len(bytes.TrimRight(s.data[at:at+i], "\r")), at + i + 1
	}
	return len(s.data), len(s.data)
}

// fence is the line that begins or ends a fenced block.
var fence = regexp.MustCompile("^\\s*(```+|~~~+)\\s*([^`]*)$")

// allows begins a comment that allows a remark.
var allows = regexp.MustCompile(`^\s*<!--\s*allow[ \t]((?:[a-z][a-z-]*)?)`)

// page scans a page: its front matter, its blocks, and the text between.
func (s *scanner) page() {
	at := 0
	if bytes.HasPrefix(s.data, []byte("\xef\xbb\xbf")) {
		at = 3
	}
	end, next := s.line(at)
	if string(bytes.TrimRight(s.data[at:end], " \t")) == "---" {
		start := next
		for at = next; at < len(s.data); at = next {
			end, next = s.line(at)
			if string(bytes.TrimRight(s.data[at:end], " \t")) == "---" {
				break
			}
		}
		s.yaml("front", start, at)
		at = next
	}
	comment := false
	for at < len(s.data) {
		end, next := s.line(at)
		line := s.data[at:end]
		m := fence.FindSubmatchIndex(line)
		switch {
		case comment || bytes.HasPrefix(bytes.TrimSpace(line), []byte("<!--")):
			if a := allows.FindSubmatchIndex(line); a != nil && !comment {
				s.allowed(at+a[2], at+a[3])
			}
			comment = !bytes.Contains(line, []byte("-->"))
		case m != nil:
			at = s.block(at, m, next)
			continue
		default:
			s.prose(at, end)
		}
		at = next
	}
}

// allowed adds what is allowed: a kind of remark, and the digest of the block that it is allowed for.
func (s *scanner) allowed(start, end int) {
	kind, digest := handbook.AllowedBlock(string(s.data[start:end]))
	s.add(kindRemark, start, start+len(kind), "")
	if digest != "" {
		s.add(kindDigest, end-len(digest), end, "")
	}
}

// block scans a fenced block whose first line stands at an offset, and returns where what
// follows begins.
func (s *scanner) block(at int, m []int, body int) int {
	mark := string(s.data[at+m[2] : at+m[3]])
	info, infoAt := string(s.data[at+m[4]:at+m[5]]), at+m[4]
	bodyEnd, next := len(s.data), len(s.data)
	for line := body; line < len(s.data); {
		end, after := s.line(line)
		if t := bytes.TrimSpace(s.data[line:end]); bytes.HasPrefix(t, []byte(mark)) && len(bytes.Trim(t, mark[:1])) == 0 {
			bodyEnd, next = line, after
			break
		}
		line = after
	}
	before := len(s.sites)
	name, arg, hasArg := strings.Cut(info, " ")
	shape := name
	s.add(kindBlock, infoAt, infoAt+len(name), "")
	argStart := infoAt + len(name) + 1
	arg = strings.TrimRight(arg, " \t")
	own := strings.TrimSpace(arg) == ""
	switch {
	case !slices.Contains(source.BlockNames, name):
		return next // a listing
	case name == "calculator" && hasArg:
		shape = "built-in"
		s.add(kindBuiltIn, argStart, argStart+len(arg), "")
		if !own {
			c := s.add(kindCalculator, argStart, argStart+len(arg), s.key)
			c.defines, c.made = true, true
		}
	case name == "plot" && hasArg:
		s.add(kindCalculator, argStart, argStart+len(arg), s.key)
	case name == "picture" && hasArg:
		s.add(kindPicture, argStart, argStart+len(arg), "")
	case name == "circuit" && hasArg:
		s.add(kindCircuit, argStart, argStart+len(arg), "")
	}
	if _, isYAML := rules[shape]; isYAML {
		s.entries, s.form = map[string]int{}, strings.TrimSpace(arg)
		s.yaml(shape, body, bodyEnd)
		s.settle(before)
		for i := range s.sites[before:] { // a block may name its calculator after what is of it
			if x := &s.sites[before+i]; x.kind.ofCalculator() && x.scope == "" {
				x.scope = s.key + "/" + s.form
			}
		}
		return next
	}
	for body < bodyEnd {
		end, after := s.line(body)
		s.prose(body, end)
		body = after
	}
	return next
}

// settle finds which kinds the names in the formulas of a block are of. What it does not define is a function or a unit.
func (s *scanner) settle(before int) {
	kinds := map[string]kind{}
	for _, x := range s.sites[before:] {
		if x.defines && x.kind.ofCalculator() {
			kinds[x.name] = x.kind
		}
	}
	left := s.sites[:before]
	for _, x := range s.sites[before:] {
		if x.kind == kindFormula {
			x.kind, x.formula = kinds[x.name], true
		}
		if x.kind != "" {
			left = append(left, x)
		}
	}
	s.sites = left
}

// schemes are the kinds of references.
var schemes = map[string]kind{
	"spec": kindSpec, "part": kindPart, "cause": kindCause, "hazard": kindHazard, "calculator": kindCalculator, "end": kindEnd,
}

var (
	heading  = regexp.MustCompile(`^ {0,3}#{1,6}[ \t]+(.*?)[ \t#]*$`)
	codeSpan = regexp.MustCompile("`[^`]*`")
	ownID    = regexp.MustCompile(`<id:([^>\s]*)>?`)
	marksOf  = regexp.MustCompile(`<[^<>]*>|\]\([^()]*\)|[*_\[\]]`)
	// What begins a reference, and what a link leads to.
	autolink = regexp.MustCompile(`<(spec|part|cause|hazard|calculator|end):([\pL\pM\pN-]*)`)
	isName   = regexp.MustCompile(`^[\pL\pM\pN-]*`)
	linkTo   = regexp.MustCompile(`(?:(!\[[^\]]*)?\]\(\s*<?|^\s{0,3}\[[^\]]+\]:\s+<?)([^)\s>]*)`)
)

// prose scans a line of Markdown.
func (s *scanner) prose(start, end int) {
	line := codeSpan.ReplaceAllFunc(bytes.Clone(s.data[start:end]), func(code []byte) []byte { return bytes.Repeat([]byte{0}, len(code)) })
	if m := heading.FindSubmatchIndex(line); m != nil {
		if id := ownID.FindSubmatchIndex(line); id != nil {
			step := s.add(kindStep, start+id[2], start+id[3], s.key)
			step.defines, step.title = true, words(line[m[2]:m[3]])
		} else if m[2] < m[3] {
			step := s.add(kindStep, start+m[2], start+m[3], s.key)
			step.defines, step.made, step.title = true, true, words(line[m[2]:m[3]])
			step.name = handbook.IDOfWords(step.title)
		}
	}
	for _, m := range autolink.FindAllSubmatchIndex(line, -1) {
		s.add(schemes[string(line[m[2]:m[3]])], start+m[4], start+m[5], s.key)
	}
	for _, m := range linkTo.FindAllSubmatchIndex(line, -1) {
		if m[2] >= 0 {
			s.add(kindPicture, start+m[4], start+m[5], "")
		} else {
			s.way(kindLink, start+m[4], start+m[5])
		}
	}
}

// words are a heading's words, without what marks them and without references.
func words(line []byte) string {
	return strings.TrimSpace(string(marksOf.ReplaceAll(bytes.ReplaceAll(line, []byte{0}, nil), nil)))
}

// way scans where something leads: a reference, a step of this or another page, a page.
func (s *scanner) way(as kind, start, end int) {
	to := string(s.data[start:end])
	scheme, name, hasScheme := strings.Cut(to, ":")
	file, step, hasStep := strings.Cut(to, "#")
	named := func(k kind, at int, name, key string) { s.add(k, at, at+len(isName.FindString(name)), key) }
	switch {
	case hasScheme && schemes[scheme] != "":
		named(schemes[scheme], start+len(scheme)+1, name, s.key)
	case hasScheme && !hasStep:
	case hasStep && file == "":
		named(kindStep, start+1, step, s.key)
	case hasStep:
		named(kindStep, start+len(file)+1, step, keyOf(path.Join(path.Dir(s.path), file), s.languages))
	default:
		s.add(as, start, end, "")
	}
}
