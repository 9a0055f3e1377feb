package handbook

import (
	"crypto/sha256"
	"encoding/binary"
	"regexp"
	"slices"
	"strings"

	"github.com/invopop/jsonschema"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// record is what a translation says it was made from: a digest for each block of the source, in
// a line for each section, so that two translators can work on one page. A digest has letters
// only, since YAML takes some figures for others.
type record []recordLine

type recordLine struct {
	section source.Text
	digests []string
	text    source.Expression // in which they stand
}

// place is where one of the digests stands.
func (l recordLine) place(i int) remark.Place {
	text := l.text.Value
	for _, digest := range l.digests[:i] {
		_, text, _ = strings.Cut(text, digest)
	}
	return l.text.PlaceAt(len(l.text.Value) - len(strings.TrimLeft(text, " \t\n")))
}

// Schema implements source.Value.
func (record) Schema(s *source.Shapes) *jsonschema.Schema {
	return &jsonschema.Schema{Type: "object", AdditionalProperties: s.Scalar()}
}

// DecodeYAML takes digests by section.
func (r *record) DecodeYAML(d *source.Decoder, n source.Node, key string) {
	d.Fields(n, key, func(section source.Text, value source.Node) {
		if text, ok := d.Expression(value, section.Value, "digests"); ok {
			*r = append(*r, recordLine{section, strings.Fields(text.Value), text})
		}
	})
}

// line is that of a section, empty where the record has none.
func (r record) line(section string) recordLine {
	for _, line := range r {
		if line.section.Value == section {
			return line
		}
	}
	return recordLine{}
}

// of are the digests of a section, nil where the record has none.
func (r record) of(section string) []string { return r.line(section).digests }

// digestLetters make no words.
const digestLetters = "bcdfghjklmnpqrstvwxz"

// shortDigest is a digest of a text in six letters: of 64 million changes one is overlooked.
func shortDigest(text string) string {
	sum := sha256.Sum256([]byte(text))
	n := binary.BigEndian.Uint64(sum[:8])
	var b [6]byte
	for i := range b {
		b[i] = digestLetters[n%uint64(len(digestLetters))]
		n /= uint64(len(digestLetters))
	}
	return string(b[:])
}

var (
	listMark   = regexp.MustCompile(`(?m)^([\s>]*)(?:[*+]|(\d+)\))([ \t])`)
	underlined = regexp.MustCompile(`(^|[^\pL\pN_\\])(__?)([^\s_](?:[^_]*[^\s_])?)(__?)($|[^\pL\pN_])`)
)

// alikeStress writes a stress with asterisks.
func alikeStress(s string) string {
	m := underlined.FindStringSubmatch(s)
	if m[2] != m[4] {
		return s
	}
	stress := strings.Repeat("*", len(m[2]))
	return m[1] + stress + m[3] + stress + m[5]
}

// alikeMarks writes the marks of lists and of stress in a text of Markdown in one way: with others it is the same text. Code
// stays as it is.
func alikeMarks(text string) string {
	parts := strings.Split(text, "`")
	for i := 0; i < len(parts); i += 2 { // outside of code
		for range 2 { // neighbours have a blank in common
			parts[i] = underlined.ReplaceAllStringFunc(parts[i], alikeStress)
		}
	}
	return listMark.ReplaceAllStringFunc(strings.Join(parts, "`"), func(s string) string {
		m := listMark.FindStringSubmatch(s)
		if m[2] != "" {
			return m[1] + m[2] + "." + m[3]
		}
		return m[1] + "-" + m[3]
	})
}

// Recorded is a section of a page with the digests of its source.
type Recorded struct {
	Section string
	Digests []string
}

// own stands in a record for a block that was made from none of the source.
const own = "-"

// Record says of which state of the source a page would be the translation, the texts of the front
// matter first. same: each block has one of the source and each of the source one here.
func Record(p, of *Page) (list []Recorded, same bool) {
	mine := map[string]bool{}
	for _, x := range p.head {
		mine[x.section] = true
	}
	for _, x := range of.head {
		if mine[x.section] {
			list = append(list, Recorded{x.section, []string{x.digest}})
		}
	}
	blocks, theirs := p.pieces(), of.pieces()
	if p.Translation != nil {
		blocks = p.Translation.pieces
	}
	same = true
	for _, pair := range align(blocks, theirs) {
		same = same && pair.mine >= 0 && pair.theirs >= 0
		if pair.mine < 0 {
			continue
		}
		x, digest := blocks[pair.mine], own
		if pair.theirs >= 0 {
			digest = theirs[pair.theirs].digest
		}
		if len(list) == 0 || list[len(list)-1].Section != x.section {
			list = append(list, Recorded{Section: x.section})
		}
		last := &list[len(list)-1]
		last.Digests = append(last.Digests, digest)
	}
	return list, same
}

// Digests are those that a translation of the page may record, in the page's order.
func (p *Page) Digests() (list []string) {
	if p.Source.Doc == nil { // it could not be read
		return nil
	}
	for _, x := range append(slices.Clone(p.head), p.pieces()...) {
		list = append(list, x.digest)
	}
	return list
}

// WithRecord returns a page's file with the record in its front matter, in the place of the one that
// it had.
func WithRecord(p *source.Page, list []Recorded) []byte {
	var lines strings.Builder
	lines.WriteString("translated:\n")
	for _, x := range list {
		digests := strings.Join(x.Digests, " ")
		if strings.HasPrefix(digests, "-") {
			digests = `"` + digests + `"` // else YAML takes it for a list
		}
		lines.WriteString("  " + x.Section + ": " + digests + "\n")
	}
	file := string(p.File())
	if p.Front == nil {
		return []byte("---\n" + lines.String() + "---\n" + strings.TrimPrefix(file, "\ufeff"))
	}
	var b strings.Builder
	hyphens, inRecord := 0, false
	for line := range strings.Lines(file) {
		plain := strings.TrimRight(line, " \t\r\n")
		if hyphens < 2 {
			inRecord = inRecord && (strings.HasPrefix(line, " ") || plain == "")
			if strings.TrimPrefix(plain, "\ufeff") == "---" {
				if hyphens++; hyphens == 2 {
					b.WriteString(lines.String())
				}
			}
			if inRecord = inRecord || strings.HasPrefix(plain, "translated:"); inRecord {
				continue
			}
		}
		b.WriteString(line)
	}
	return []byte(b.String())
}
