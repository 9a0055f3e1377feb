package handbook

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Translation is what is known of a page that stands in the source language too.
type Translation struct {
	Of *Page // in the source language
	// Unrecorded: nothing says from which state of the source the page was made.
	Unrecorded bool
	// Differs: the page does something else than its source, which has its remark.
	Differs bool
	// Record is what the page says it was made from: digests by section.
	Record map[string][]string
	// Head: the title or another text of the front matter is older than its source.
	Head bool
	// Causes are those of the source whose finding or remedy was changed since, by their id.
	Causes map[string]*Cause
	// Marks are the blocks at which the page is not as its source, by the node of the
	// translation.
	Marks map[ast.Node]*Counterpart
	// Before are blocks of the source that stand before all of the translation.
	Before []ast.Node

	pieces []piece // of the translation, with the digests that it has recorded
	// lags are the blocks of both pages that stand, or stand so, in one of them only since the source was changed.
	lags map[ast.Node]bool
}

// Counterpart says what the source has at a block of the translation.
type Counterpart struct {
	Source ast.Node // what it was made from, as it is now; nil: nothing of the source is like it
	Stale  bool     // the source was changed since
	After  []ast.Node
}

// Marked tells whether the page is somewhere not as its source.
func (t *Translation) Marked() bool {
	return t.Unrecorded || t.Head || len(t.Causes) > 0 || len(t.Marks) > 0 || len(t.Before) > 0
}

// piece is a block of a page as translations know it.
type piece struct {
	section string       // the id of the heading that it stands below, or _top
	kind    string       // what a block must be to be a translation of it
	step    string       // the id of a heading that both languages must have
	digest  string       // in a translation that of the source's block which it was made from
	self    string       // of its own text
	noted   remark.Place // where the digest stands in the record of a translation
	says    string       // its text, for remarks
	node    ast.Node
	place   remark.Place
}

// topSection is the name of what stands before the first heading. No heading has it as its id.
const topSection = "_top"

// pieces are the blocks of a page's text in order. Comments are none, nor is a list of footnotes:
// each footnote belongs to the block in whose text it is written.
func (p *Page) pieces() []piece {
	var list []piece
	section := topSection
	for n := p.Source.Doc.FirstChild(); n != nil; n = n.NextSibling() {
		text := p.Source.Written(n)
		if n.Kind() == ast.KindHTMLBlock || text == "" {
			continue
		}
		x := piece{kind: n.Kind().String(), node: n, place: p.Source.PlaceOf(n)}
		switch n := n.(type) {
		case *ast.Heading:
			section = p.IDs[n]
			x.kind += string("0123456"[n.Level])
			if n.Level == 2 && p.Procedure != nil {
				x.step = section
			}
		case *source.Block:
			x.kind = n.Name
		}
		x.section = section
		x.says = strings.Join(strings.Fields(text), " ")
		switch n.Kind() {
		case source.KindBlock:
			x.self = shortDigest(text) // indentation means something in YAML
		case ast.KindFencedCodeBlock, ast.KindCodeBlock:
			x.self = shortDigest(x.says)
		default:
			x.self = shortDigest(strings.Join(strings.Fields(alikeMarks(text)), " "))
		}
		x.digest = x.self
		list = append(list, x)
	}
	return list
}

// headPieces are the texts of the front matter, by the name under which a translation records
// them. A name that begins with _ is no heading's id.
func (r *pageResolver) headPieces() []piece {
	var list []piece
	add := func(name string, at remark.Place, texts ...string) {
		if says := strings.Join(strings.Fields(strings.Join(texts, " ")), " "); says != "" {
			list = append(list, piece{section: name, says: says, digest: shortDigest(says), place: at})
		}
	}
	f := r.front
	add("_title", f.Title.Place, f.Title.Value)
	add("_purpose", f.Purpose.Place, f.Purpose.Value)
	add("_symptom", f.Symptom.Place, f.Symptom.Value)
	var equipment []string
	for _, e := range f.Equipment {
		equipment = append(equipment, e.Value)
	}
	add("_equipment", firstPlace(f.Equipment), equipment...)
	if r.page.Procedure == nil {
		return list
	}
	for _, c := range r.page.Procedure.Causes {
		add(CauseAnchor(c.ID), c.Place, c.Title, string(c.Remedy.Text))
	}
	for _, id := range Ends {
		if e := r.page.Procedure.Ends[id]; e != nil {
			add(EndAnchor(id), e.Place, append([]string{string(e.Text.Text), e.Again}, e.Log...)...)
		}
	}
	return list
}

// translations holds each page against the same page in the source language.
func (r *resolver) translations() {
	if len(r.languageAt) == 0 {
		return // nobody knows which language is the source's
	}
	for _, p := range r.book.Pages {
		if p.Lang == r.book.Languages[0] || p.Blocks == nil { // or it is known from before
			continue
		}
		t, s := r.pageAt[p.Source.Path], r.inSource(p.Key)
		if s == nil {
			continue
		}
		t.loose = t.loose || s.loose
		own := maps.Clone(t.reads)
		for read := range s.reads { // what the source says now may stand on the page
			t.reads[read] = true
		}
		t.read(ReadSources, p.Key)
		if s.page.Blocks == nil || s.frontBroken() || t.frontBroken() {
			continue
		}
		p.Translation = &Translation{Of: s.page, Record: map[string][]string{}, Causes: map[string]*Cause{}, Marks: map[ast.Node]*Counterpart{}, lags: map[ast.Node]bool{}}
		t.translated(s)
		t.sameGraph(s)
		if len(p.Translation.Marks)+len(p.Translation.Before) > 0 { // what the source says now stands on the page
			for _, spec := range r.book.Specs {
				if read := (Read{ReadSpec, spec.ID}); s.reads[read] && !own[read] {
					p.Notices = append(p.Notices, r.noticesOf(p, kindSpec+" "+spec.ID, spec)...)
				}
			}
		}
	}
}

// untranslated tells for each language which pages are missing in it, and which have no source.
func (r *resolver) untranslated() {
	if len(r.languageAt) == 0 || len(r.tree.UnreadPages()) > 0 {
		return // languages are guessed, or it may be one of those
	}
	for _, p := range r.book.Pages {
		if p.Lang != r.book.Languages[0] && !p.Index && r.inSource(p.Key) == nil { // each language has a finder
			r.remarks.Add(remark.TranslationPage, p.Source.Top(), r.book.Languages[0])
		}
	}
	for _, lang := range r.book.Languages[1:] {
		var missing []string
		there := false
		for _, p := range r.book.Pages {
			there = there || p.Lang == lang
			if p.Lang == r.book.Languages[0] && !r.keyed.has(p.Key, lang) {
				missing = append(missing, p.Source.Path)
			}
		}
		if len(missing) > 0 && there { // a language without any page has its remark
			r.remarks.Add(remark.PageUntranslated, r.languageAt[lang], lang, listed(missing), missing[0])
		}
	}
}

// unrecorded tells for each language of the translations that do not say what they were made from: of
// one on itself, of several together. One that is allowed counts for itself.
func (r *resolver) unrecorded() {
	for _, lang := range r.book.Languages {
		var names []string
		for _, p := range r.book.Pages {
			name := p.Source.Path
			if p.Lang != lang || !r.pageAt[name].unrecorded {
				continue
			}
			if slices.ContainsFunc(p.Allowances, func(a remark.Allowance) bool { return a.ID == remark.TranslationUnrecorded.ID }) {
				r.remarks.Add(remark.TranslationUnrecorded, p.Source.Top(), name, name)
			} else {
				names = append(names, name)
			}
		}
		switch at := r.languageAt[lang]; len(names) {
		case 0:
		case 1:
			r.remarks.Add(remark.TranslationUnrecorded, r.pageAt[names[0]].page.Source.Top(), names[0], names[0])
		default:
			r.remarks.Add(remark.TranslationUnrecorded, at, listed(names), names[0])
		}
	}
}

// listed are names as a remark lists them.
func listed(names []string) string {
	const most = 5
	if len(names) > most {
		return strings.Join(names[:most], ", ") + " and " + strconv.Itoa(len(names)-most) + " more"
	}
	return strings.Join(names, ", ")
}

// PagesIn are the pages that a reader of a language is led to: those of the language, and those of
// the source language that it lacks.
func (h *Handbook) PagesIn(lang string) (pages []*Page) {
	has := map[string]bool{}
	for _, p := range h.Pages {
		has[p.Key] = has[p.Key] || p.Lang == lang
	}
	for _, p := range h.Pages {
		if p.Lang == lang || p.Lang == h.Languages[0] && !has[p.Key] {
			pages = append(pages, p)
		}
	}
	return pages
}

// instead is the page of the source language to which a link to a page leads that is not there in
// its language, or nil.
func (r *pageResolver) instead(name string) *pageResolver {
	first := r.whole.book.Languages[0]
	rest, ok := strings.CutPrefix(name, r.page.Lang+"/")
	if !ok || r.page.Lang == first {
		return nil
	}
	other := r.whole.pageAt[first+"/"+rest]
	if other != nil {
		r.read(ReadSiblings, other.page.Key)
	}
	return other
}

// inSource is a page in the source language, or nil.
func (r *resolver) inSource(key string) *pageResolver {
	for p := range r.keyed.All(key) {
		if p.Lang == r.book.Languages[0] {
			return r.pageAt[p.Source.Path]
		}
	}
	return nil
}

// translated finds what of the page is older than its source, missing, or of its own.
func (r *pageResolver) translated(s *pageResolver) {
	p, t := r.page, r.page.Translation
	if len(r.front.Translated) == 0 {
		t.Unrecorded, r.unrecorded = true, true
	}
	for _, line := range r.front.Translated {
		t.Record[line.section.Value] = line.digests
	}
	r.translatedHead(s)
	mine, theirs := p.pieces(), s.page.pieces()
	counted := r.recorded(mine)
	t.pieces = mine
	last := (*Counterpart)(nil)
	lacks := func(page *Page, section string) bool { // a step, which is told as a difference
		return p.Procedure != nil && s.page.Procedure != nil && page.Procedure.Heading(section) == nil
	}
	section := topSection // of the last block
	missing := func(x piece, at remark.Place) {
		t.lags[x.node] = !t.Unrecorded // and is shown
		switch {
		case t.Unrecorded || lacks(p, x.section):
		case counted[section] == nil:
			r.aboutBlock(remark.TranslationMissing, at, x.digest, x.place, shortened(x.says), x.digest)
		default:
			counted[section].seems("none is for `%s` (%s)", shortened(x.says), x.place)
		}
		if last == nil {
			t.Before = append(t.Before, x.node)
		} else {
			last.After = append(last.After, x.node)
		}
	}
	at := p.Source.Top()
	for _, pair := range align(mine, theirs) {
		if pair.mine < 0 {
			missing(theirs[pair.theirs], at)
			continue
		}
		x := mine[pair.mine]
		at, section, last = x.place, x.section, &Counterpart{}
		// A mark is kept only if there is something to say; blocks that are missing come later.
		t.Marks[x.node] = last
		switch {
		case pair.theirs < 0:
			t.lags[x.node] = x.digest != ""
			switch {
			case t.Unrecorded || lacks(s.page, x.section):
			case counted[x.section] == nil:
				r.aboutBlock(remark.TranslationExtra, x.place, x.self, s.page.Source.Path, x.self)
			default:
				counted[x.section].seems("%s has none like that of line %d", s.page.Source.Path, x.place.Line)
			}
		case x.digest != theirs[pair.theirs].digest:
			now := theirs[pair.theirs]
			last.Source, last.Stale = now.node, !t.Unrecorded
			t.lags[x.node], t.lags[now.node] = last.Stale, last.Stale
			if x.digest != "" {
				r.aboutStale(x.place, x.noted, x.digest, now)
			}
		default:
			r.sameValues(x, theirs[pair.theirs], s.page)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(counted)) {
		r.remarks = append(r.remarks, counted[name].Remark)
	}
	for n, m := range t.Marks {
		if m.Source == nil && m.After == nil {
			delete(t.Marks, n)
		}
	}
}

// aboutStale adds the remark on a block that was made from an older one, whose digest stands in the record.
func (r *pageResolver) aboutStale(at, noted remark.Place, was string, now piece) {
	r.aboutBlock(remark.TranslationStale, at, now.digest, now.place, shortened(now.says), now.digest)
	if was != "" {
		r.remarks[len(r.remarks)-1].Fix = remark.Fix{Title: "Record it as the translation of what the source says now", Place: noted, Old: was, New: now.digest}
	}
}

// aboutBlock adds a remark of one of the kinds that an allowance names with the digest of a block.
func (r *pageResolver) aboutBlock(k *remark.Kind, at remark.Place, digest string, args ...any) {
	x := k.At(at, args...)
	x.Block = digest
	r.remarks = append(r.remarks, x)
}

// translatedHead does that with the texts of the front matter.
func (r *pageResolver) translatedHead(s *pageResolver) {
	mine := map[string]piece{}
	for _, x := range r.page.head {
		mine[x.section] = x
	}
	for _, now := range s.page.head {
		x, ok := mine[now.section]
		delete(mine, now.section)
		recorded := r.front.Translated.of(now.section)
		switch {
		case !ok:
			if !r.page.Translation.Unrecorded && !strings.HasPrefix(now.section, CauseAnchor("")) { // told as a difference
				r.aboutBlock(remark.TranslationMissing, r.page.Source.Top(), now.digest, now.place, shortened(now.says), now.digest)
			}
		case r.page.Translation.Unrecorded:
		case !slices.Equal(recorded, []string{now.digest}):
			r.page.Translation.Head = true
			for _, c := range s.causes {
				if CauseAnchor(c.cause.ID) == now.section {
					r.page.Translation.Causes[c.cause.ID] = c.cause
				}
			}
			line := r.front.Translated.line(now.section)
			r.aboutStale(x.place, line.place(0), strings.Join(line.digests, " "), now)
		default:
			r.sameValues(x, now, s.page)
		}
	}
}

// recorded gives each block of a translation the digest of what it was made from, as the front
// matter has it; "" where that does not say. A section whose heading was reworded has its record
// under the old one: as many as are left over are taken in their order. It returns the sections with another number of
// digests, each with its remark: what of them is missing or of its own is told by that.
func (r *pageResolver) recorded(list []piece) (counted map[string]*miscount) {
	counted = map[string]*miscount{}
	record := r.front.Translated
	var sections, strange []string
	count := map[string]int{}
	for i := range list {
		list[i].digest = ""
		if count[list[i].section]++; count[list[i].section] == 1 {
			sections = append(sections, list[i].section)
		}
	}
	unsaid := slices.DeleteFunc(slices.Clone(sections), func(s string) bool { return record.of(s) != nil })
	for _, e := range record {
		name := e.section.Value
		if !slices.Contains(sections, name) && (name == topSection || !strings.HasPrefix(name, "_")) &&
			!strings.HasPrefix(name, CauseAnchor("")) && !strings.HasPrefix(name, EndAnchor("")) {
			strange = append(strange, name)
		}
	}
	renamed := map[string]string{}
	if len(strange) == len(unsaid) {
		for i, name := range unsaid {
			renamed[name] = strange[i]
			r.page.Translation.Record[name] = record.of(strange[i]) // else it is lost when another section is recorded
		}
	}
	seen := map[string]int{}
	for i := range list {
		name := list[i].section
		line := record.line(cmp.Or(renamed[name], name))
		digests := line.digests
		if len(digests) == count[name] {
			list[i].noted = line.place(seen[name])
			if list[i].digest = digests[seen[name]]; list[i].digest == own {
				list[i].digest, list[i].kind = "", own
			}
		} else if seen[name] == 0 && len(record) > 0 {
			counted[name] = &miscount{Remark: remark.TranslationCount.At(list[i].place, name, strconv.Itoa(count[name]), strconv.Itoa(len(digests)), r.page.Source.Path)}
		}
		seen[name]++
	}
	return counted
}

// miscount is the remark on a section with another number of digests than blocks. Which of several blocks of one kind is
// missing or of its own can only be guessed: the first guess is part of how to mend it.
type miscount struct {
	remark.Remark
	guessed bool
}

func (m *miscount) seems(guess string, args ...any) {
	if !m.guessed {
		m.Remark = m.Instead("By the kinds of its blocks %s; among several of one kind it may be another. %s", fmt.Sprintf(guess, args...), m.Mend)
		m.guessed = true
	}
}

// shortened is a text as a remark quotes it.
func shortened(says string) string {
	const most = 160
	if c := []rune(says); len(c) > most {
		return string(c[:most]) + "…"
	}
	return says
}
