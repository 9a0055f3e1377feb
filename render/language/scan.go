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
	kindWay        kind = "way"      // where a reading's outcome leads, without a scheme yet
	kindLink       kind = "link"     // the same of a link in a text
	kindMarkdown   kind = "markdown" // no name: a text with links
)

// ofPage tells whether a name of the kind is one of a page, the same in each language.
func (k kind) ofPage() bool { return k == kindCause || k == kindStep || k == kindCalculator }

// site is a place of a file where a name stands, or could.
type site struct {
	kind       kind
	name       string
	start, end int    // offsets of the name
	scope      string // the key of the page whose name it is; "" for one of the handbook
	defines    bool
	made       bool   // it is no name that anybody wrote: a heading's words
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
	rules     []rule
	measured  string // the key of the page that a circuit is about
}

// rule says what stands in a place of YAML. at are the keys that lead there; * is any, and
// = at the end the key itself.
type rule struct {
	at      string
	kind    kind
	defines bool
}

// rules are those of data files, of front matter and of blocks.
var rules = map[string][]rule{
	"handbook.yaml": {
		{"states/=", kindState, true}, {"settings/=", kindSetting, true}, {"hazards/=", kindHazard, true},
		{"states/*/from/=", kindState, false}, {"settings/*/states", kindState, false}, {"labels/pages/page", kindLink, false},
	},
	"models.yaml": {{"=", kindModel, true}},
	"parts.yaml":  {{"=", kindPart, true}, {"*/models", kindModel, false}},
	"specs":       {{"=", kindSpec, true}, {"*/models/=", kindModel, false}},
	"circuits": {
		{"states", kindState, false}, {"elements/*/opened-by", kindSetting, false}, {"elements/*/closed-by", kindSetting, false},
		{"elements/*/closed-in", kindState, false}, {"elements/*/volts/=", kindState, false}, {"elements/*/ohms/=", kindState, false},
		{"shows/=", kindStep, false}, {"faults/=", kindCause, false}, {"faults/*/shows/=", kindStep, false}, {"faults/*/in", kindState, false},
	},
	"front": {
		{"applicability", kindModel, false}, {"states", kindState, false}, {"hazards", kindHazard, false}, {"causes/=", kindCause, true},
		{"causes/*/part", kindPart, false}, {"causes/*/restores", kindSetting, false}, {"causes/*/verification", kindStep, false},
		{"causes/*/remedy", kindMarkdown, false}, {"ends/*/text", kindMarkdown, false}, {"ends/*/restores", kindSetting, false},
	},
	"step": {
		{"state", kindState, false}, {"needs", kindStep, false}, {"detects", kindCause, false}, {"detects/=", kindCause, false},
		{"requires", kindSetting, false}, {"forbids", kindSetting, false}, {"sets", kindSetting, false}, {"restores", kindSetting, false},
	},
	"reading": append(ways, rule{"spec", kindSpec, false}, rule{"with", kindSetting, false}),
	"timing":  append(ways, rule{"spec", kindSpec, false}, rule{"curve/calculator", kindCalculator, false}),
	"safety":  {{"hazard", kindHazard, false}, {"text", kindMarkdown, false}},
	"plot":    {{"limits", kindSpec, false}},
	"calculator": {
		{"name", kindCalculator, true}, {"results/*/limits", kindSpec, false}, {"inputs/*/from", kindCalculator, false}, {"*/from", kindCalculator, false},
	},
}

var ways = []rule{{"low", kindWay, false}, {"within", kindWay, false}, {"high", kindWay, false}, {"none", kindWay, false}, {"unstable", kindWay, false}}

// matches tells whether the rule is for the place; key says that the last of keys is what
// is looked at.
func (r rule) matches(keys []string, key bool) bool {
	at := strings.Split(r.at, "/")
	if len(at) != len(keys) || (at[len(at)-1] == "=") != key {
		return false
	}
	for i, want := range at {
		if want != "*" && want != "=" && want != keys[i] {
			return false
		}
	}
	return true
}

// scan finds the sites of a file of the handbook.
func scan(name string, data []byte, languages []string) []site {
	s := &scanner{path: name, key: keyOf(name, languages), data: data, languages: languages, entries: map[string]int{}}
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
		if strings.HasPrefix(name, "circuits/") && s.sites[i].kind.ofPage() {
			s.sites[i].scope = s.measured
		}
	}
	slices.SortStableFunc(s.sites, func(a, b site) int { return a.start - b.start })
	return s.sites
}

// keyOf is a page's path without language and ending, which is the same in all languages.
func keyOf(name string, languages []string) string {
	name = strings.TrimSuffix(name, path.Ext(name))
	if folder, rest, ok := strings.Cut(name, "/"); ok && slices.Contains(languages, folder) {
		return rest
	}
	return name
}

// add keeps a site. Only names of a page have a scope.
func (s *scanner) add(k kind, start, end int, scope string) *site {
	if !k.ofPage() {
		scope = ""
	}
	s.sites = append(s.sites, site{kind: k, name: string(s.data[start:end]), start: start, end: end, scope: scope})
	return &s.sites[len(s.sites)-1]
}

// line returns where the line at an offset ends, and where the next begins.
func (s *scanner) line(at int) (end, next int) {
	if i := bytes.IndexByte(s.data[at:], '\n'); i >= 0 {
		return at + len(bytes.TrimRight(s.data[at:at+i], "\r")), at + i + 1
	}
	return len(s.data), len(s.data)
}

// fence is the line that begins or ends a fenced block.
var fence = regexp.MustCompile("^\\s*(```+|~~~+)\\s*([^`]*)$")

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
	name, arg, hasArg := strings.Cut(info, " ")
	argStart := infoAt + len(name) + 1
	arg = strings.TrimRight(arg, " \t")
	own := strings.TrimSpace(arg) == ""
	switch {
	case !slices.Contains(source.BlockNames, name):
		return next // a listing
	case name == "calculator" && hasArg:
		s.add(kindBuiltIn, argStart, argStart+len(arg), "")
		if !own {
			c := s.add(kindCalculator, argStart, argStart+len(arg), s.key)
			c.defines, c.made = true, true
		}
	case name == "plot" && hasArg:
		s.add(kindCalculator, argStart, argStart+len(arg), s.key)
	}
	if _, isYAML := rules[name]; isYAML {
		s.entries = map[string]int{}
		s.yaml(name, body, bodyEnd)
		return next
	}
	for body < bodyEnd {
		end, after := s.line(body)
		s.prose(body, end)
		body = after
	}
	return next
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
	linkTo   = regexp.MustCompile(`(?:\]\(\s*<?|^\s{0,3}\[[^\]]+\]:\s+<?)([^)\s>]*)`)
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
		s.way(kindLink, start+m[2], start+m[3])
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
