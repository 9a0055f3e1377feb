package handbook

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// pageResolver resolves one page. It writes to its page and its remarks only,
// so that pages can be resolved side by side.
type pageResolver struct {
	whole   *resolver
	page    *Page
	remarks remark.List
	*resolving

	owned []source.Text // names of the page's own calculators
	// ids holds what # can lead to on the page. idTwice: a heading has the id of
	// another, so that its own may be missing.
	ids     map[string]bool
	idTwice bool
	shown   []shownPicture
	said    []Supersession  // what the page itself says that it supersedes
	used    map[string]bool // assets that the page leads to
	reads   map[Read]bool
	loose   bool // what the page reads is not all known
	// unrecorded: it is a translation, and does not say of what state of its source.
	unrecorded bool
	face       *Face  // of a page that was restored, or once it is asked for
	seen       string // the digest of what others see of that, once it is asked for
}

// resolving is what nobody asks for once a page is resolved.
type resolving struct {
	front    *frontYAML
	causes   []causeText
	broken   map[*source.Block]bool // blocks that are not whole
	keyTwice bool                   // one of the front matter, which may have been meant for a cause that is missing
	// calculatorUnknown: nobody knows which calculator a block of the page is.
	calculatorUnknown bool
	chains            []chain
	examples          []examples
	calculators       int // blocks so far
	plots             int
	selfChecks        int
	// linkBytes is the length of all links so far.
	linkBytes int
	sought    int // links to nothing for which a name was sought that may be meant
	// steps holds the ids of level-2 headings, which are steps in a procedure.
	steps  []string
	isStep map[string]bool
	// callouts are the lists beneath pictures, in order; mentions what is named and in none of them.
	callouts  []*Callouts
	mentions  []mention
	stepLines []int // of the headings that are steps
	// lists, blocks and images are those of the page, in order; images also those of its other texts.
	lists  []*ast.List
	blocks []*source.Block
	images []*ast.Image
	lower  string // what the page says, in lower case, once it is asked for
}

func newPageResolver(whole *resolver, page *Page) *pageResolver {
	return &pageResolver{whole: whole, page: page, resolving: &resolving{front: &noFront}}
}

// rest makes the resolver of a page of which nothing is known.
func (r *pageResolver) rest() {
	*r = pageResolver{whole: r.whole, page: r.page, resolving: &atRest}
}

// noFront is the front matter of a page that has none, or that was not parsed; atRest is for pages that are not being
// resolved. Nobody writes to them.
var (
	noFront frontYAML
	atRest  = resolving{front: &noFront}
)

type frontYAML struct {
	Sheet         source.Text           `yaml:"sheet"`
	Title         source.Text           `yaml:"title"`
	Purpose       source.Text           `yaml:"purpose"`
	Applicability []source.Text         `yaml:"applicability"`
	Revised       source.Text           `yaml:"revised"`
	CheckBy       source.Text           `yaml:"check-by"`
	Symptom       source.Text           `yaml:"symptom"`
	States        []source.Text         `yaml:"states"`
	Hazards       []source.Text         `yaml:"hazards"`
	Equipment     []source.Text         `yaml:"support-equipment"`
	Causes        source.Map[causeYAML] `yaml:"causes" noun:"a cause"`
	Ends          endsYAML              `yaml:"ends" noun:"the ends"`

	Supersedes []supersessionYAML `yaml:"supersedes" noun:"what is superseded"`

	Allow      source.Map[source.Text] `yaml:"allow" noun:"what is allowed"`
	Translated record                  `yaml:"translated"`
}

type causeYAML struct {
	Title     source.Text     `yaml:"title,needed"`
	Frequency number          `yaml:"frequency"`
	Remedy    source.Markdown `yaml:"remedy"`
	Part      source.Text     `yaml:"part"`

	Restores     []source.Text `yaml:"restores"`
	Who          source.Text   `yaml:"who"`
	Emissions    source.Text   `yaml:"emissions"`
	Verification source.Text   `yaml:"verification"`
}

// causeText keeps what of a cause is resolved in the second pass.
type causeText struct {
	cause *Cause
	yaml  causeYAML
}

var sheets = []string{"bulletin", "procedure", "reference", "theory"}

// outline reads what other pages may need to know of this one.
func (r *pageResolver) outline() {
	p := r.page
	r.resolving = &resolving{front: &noFront}
	r.read(ReadSiblings, p.Key)
	if p.Source.Front != nil {
		r.front = &frontYAML{}
		source.Decode(p.Source.Front, r.front, "the front matter", &r.remarks)
	}
	frontWhole := len(r.remarks) == 0
	r.keyTwice = slices.ContainsFunc(r.remarks, func(k remark.Remark) bool { return k.ID == remark.IDDuplicate.ID })
	f := r.front
	p.Purpose = f.Purpose.Value
	if f.Sheet.Given() {
		p.Sheet = r.choice(f.Sheet, "sheet", sheets)
	}
	p.SheetUnknown = r.sheetUnknown()
	if f.Revised.Given() {
		p.Revised = r.whole.revised(&r.remarks, f.Revised)
		r.read(ReadRevised, p.Revised)
	}
	p.CheckBy = checkBy(&r.remarks, f.CheckBy, r.whole.book.Date)
	r.read(ReadCheckBy, p.CheckBy)
	p.Applicability = r.whole.book.Models
	if len(f.Applicability) > 0 {
		p.Applicability = nil
		for _, name := range distinct(&r.remarks, f.Applicability) {
			m := findIn(&r.remarks, r.whole.complete[kindModel], kindModel, r.whole.book.Models, name)
			if m != nil { // or what was probably meant
				p.Applicability, p.ModelPlaces = append(p.Applicability, m), append(p.ModelPlaces, name.Place)
			}
			p.ModelsUnknown = p.ModelsUnknown || m == nil || m.ID != name.Value
		}
	}
	if p.Sheet == "procedure" {
		p.Procedure = &Procedure{Symptom: f.Symptom.Value, SymptomPlace: f.Symptom.Place, ConductUnknown: !frontWhole, FiguresUnknown: !frontWhole}
		for _, e := range f.Causes {
			c := &Cause{ID: e.ID.Value, Title: e.Value.Title.Value, Remedy: e.Value.Remedy, Place: e.ID.Place}
			before := len(r.remarks)
			c.Frequency = e.Value.Frequency.between(&r.remarks, "relative frequency", "12", 0, math.Inf(1))
			p.Procedure.FiguresUnknown = p.Procedure.FiguresUnknown || len(r.remarks) > before
			p.Procedure.Causes = append(p.Procedure.Causes, c)
			r.causes = append(r.causes, causeText{c, e.Value})
		}
		if p.Procedure.Symptom == "" && !r.wrote("symptom") {
			r.remarks.Add(remark.ProcedureSymptom, p.Source.Top())
		}
	} else if !r.frontBroken() && (r.page.Sheet != "" || !r.wrote("sheet")) {
		r.procedureKeysElsewhere()
	}
	r.supersedes()
	r.allowances()
	if p.Source.Doc == nil {
		r.plainHeadings()
	} else {
		r.headings()
	}
	p.Title = f.Title.Value
	if p.Title == "" {
		r.titleFromHeading()
	}
}

// wrote tells whether the front matter may have the key for all we know: if it
// is empty or misspelt, it has a remark of its own.
func (r *pageResolver) wrote(key string) bool {
	front := r.page.Source.Front
	return front != nil && (front.Broken || front.Torn || front.HasKey(key))
}

// procedureKeysElsewhere remarks on keys that only a procedure has, once. A page
// that says nothing of its sheet is one, most likely.
func (r *pageResolver) procedureKeysElsewhere() {
	keys := r.procedureKeys()
	if keys == nil {
		return
	}
	var also []string
	for _, k := range keys[1:] {
		also = append(also, "`"+k.Value+"`")
	}
	page := "a page that is no procedure"
	if also != nil {
		page += "; so too " + strings.Join(also, ", ")
	}
	why := remark.KeyUnknown.At(keys[0].Place, keys[0].Value, page, "sheet, title, purpose, applicability, revised, check-by, allow, translated")
	if !r.front.Sheet.Given() {
		why = why.Instead("Add `sheet: procedure`, or take the keys of a procedure out.")
	}
	r.remarks = append(r.remarks, why)
}

// procedureKeys are the keys of the front matter that only a procedure has, in the
// order of the sheet.
func (r *pageResolver) procedureKeys() (keys []source.Text) {
	f := r.front
	causes := remark.Place{}
	if len(f.Causes) > 0 {
		causes = f.Causes[0].ID.Place
	}
	for _, k := range []source.Text{
		{Value: "symptom", Place: f.Symptom.Place}, {Value: "states", Place: firstPlace(f.States)}, {Value: "hazards", Place: firstPlace(f.Hazards)},
		{Value: "support-equipment", Place: firstPlace(f.Equipment)}, {Value: "causes", Place: causes}, {Value: "ends", Place: f.Ends.Place},
	} {
		if k.Given() {
			keys = append(keys, k)
		}
	}
	return keys
}

func firstPlace(list []source.Text) remark.Place {
	if len(list) == 0 {
		return remark.Place{}
	}
	return list[0].Place
}

func (r *pageResolver) choice(t source.Text, key string, choices []string) string {
	for _, c := range choices {
		if c == t.Value {
			return c
		}
	}
	why := remark.ValueChoice.At(t.Place, t.Value, key, strings.Join(choices, ", "))
	near := remark.Nearest(t.Value, choices)
	if near != "" {
		why = why.Instead("Did you mean `%s`?", near)
	}
	r.remarks = append(r.remarks, why)
	return near // what was probably meant, so that one slip is one remark
}

// sheetUnknown tells whether the page may be a procedure for all we know.
func (r *pageResolver) sheetUnknown() bool {
	return r.frontBroken() || r.page.Sheet == "" && (r.front.Sheet.Given() || r.wrote("sheet") || r.procedureKeys() != nil)
}

// headings gives every heading its id: the one that its author wrote, else one
// made of its words. Written ids come first, so that a made one gives way.
func (r *pageResolver) headings() {
	p := r.page
	p.IDs, r.ids, r.isStep = map[*ast.Heading]string{}, map[string]bool{}, map[string]bool{}
	taken := map[string]remark.Place{}
	count := map[string]int{}
	var headings, unnamed []*ast.Heading
	source.EachBlock(p.Source.Doc, func(n ast.Node) {
		switch n := n.(type) {
		case *ast.Heading:
			headings = append(headings, n)
		case *ast.List:
			r.lists = append(r.lists, n)
		case *source.Block:
			r.blocks = append(r.blocks, n)
		}
	})
	for _, h := range headings {
		id, at, ok := r.writtenID(h)
		if !ok {
			unnamed = append(unnamed, h)
			continue
		}
		if first, ok := taken[id]; ok {
			r.remarks.Add(remark.IDDuplicate, at, id, first)
			r.idTwice = true
		} else {
			taken[id] = at
		}
		p.IDs[h], r.ids[id] = id, true
	}
	for _, h := range unnamed {
		p.IDs[h] = r.made(plainText(h, p.Source.Text), count)
	}
	for _, h := range headings {
		if id := p.IDs[h]; h.Level == 2 && h.Parent() == p.Source.Doc {
			r.steps = append(r.steps, id)
			r.isStep[id] = true
		}
	}
	if p.Sheet == "procedure" {
		for _, h := range headings {
			if r.isStep[p.IDs[h]] {
				r.stepLines = append(r.stepLines, p.Source.PlaceOf(h).Line)
			}
		}
	}
}

// plainHeadings does the same for a page that was not parsed: its headings have no written ids.
func (r *pageResolver) plainHeadings() {
	r.ids = map[string]bool{}
	count := map[string]int{}
	for _, h := range r.page.Source.Headings {
		r.made(h.Words, count)
	}
}

// made makes an id of a heading's words, which nobody has. count is how often words were
// taken already.
func (r *pageResolver) made(words string, count map[string]int) string {
	id := IDOfWords(words)
	if reserved(id) {
		id = "section-" + id
	}
	for base := id; r.ids[id]; {
		count[base]++
		id = fmt.Sprintf("%s-%d", base, count[base]+1)
	}
	r.ids[id] = true
	return id
}

// writtenID returns the id of an <id:...> in the heading.
func (r *pageResolver) writtenID(h *ast.Heading) (id string, at remark.Place, ok bool) {
	for n := h.FirstChild(); n != nil; n = n.NextSibling() {
		scheme, name := r.reference(n)
		if scheme != "id" {
			continue
		}
		at = r.page.Source.PlaceOf(n)
		if !source.IsID(name) || reserved(name) {
			r.remarks.Add(remark.ValueText, at, name, "id", "free-link: lower-case letters, digits and hyphens, a letter first")
			name = IDOfWords(name) // what was probably meant
			if reserved(name) {
				continue
			}
		}
		return name, at, true
	}
	return "", at, false
}

// reference splits an autolink such as <spec:idle> into its scheme and name.
func (r *pageResolver) reference(n ast.Node) (scheme, name string) {
	a, ok := n.(*ast.AutoLink)
	if !ok || a.AutoLinkType != ast.AutoLinkURL {
		return "", ""
	}
	scheme, name, _ = strings.Cut(string(a.URL(r.page.Source.Text)), ":")
	return strings.ToLower(scheme), name
}

// IDOfWords makes an id of a heading: letters and digits of every script are
// kept, all else becomes hyphens.
func IDOfWords(words string) string {
	var id strings.Builder
	id.Grow(len(words))
	gap := false
	for _, c := range strings.ToLower(words) {
		if unicode.IsLetter(c) || unicode.IsDigit(c) || unicode.IsMark(c) {
			if gap && id.Len() > 0 {
				id.WriteByte('-')
			}
			gap = false
			id.WriteRune(c)
		} else if c != '\'' && c != '’' {
			gap = true
		}
	}
	if id.Len() == 0 {
		return "section"
	}
	return id.String()
}

func (r *pageResolver) titleFromHeading() {
	p := r.page
	for _, words := range r.headingWords() {
		if p.Title = strings.TrimSpace(words); p.Title != "" {
			return
		}
	}
	p.Title = p.Key
	if !r.wrote("title") {
		r.remarks.Add(remark.PageTitle, remark.Place{File: p.Source.Path})
	}
}

// headingWords are the words of the headings that stand in the page itself, in order.
func (r *pageResolver) headingWords() (list []string) {
	p := r.page.Source
	for _, h := range p.Headings {
		list = append(list, h.Words)
	}
	if p.Doc == nil {
		return list
	}
	for n := p.Doc.FirstChild(); n != nil; n = n.NextSibling() {
		if h, ok := n.(*ast.Heading); ok {
			list = append(list, plainText(h, p.Text))
		}
	}
	return list
}

// plainText is what a reader sees of a node: without markup, without autolinks.
func plainText(n ast.Node, src []byte) string {
	var text strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			text.Write(visible(n, src))
			if n.SoftLineBreak() || n.HardLineBreak() {
				text.WriteByte(' ')
			}
		case *ast.String:
			text.Write(n.Value)
		}
		return ast.WalkContinue, nil
	})
	return text.String()
}

// visible resolves what Markdown writes otherwise: escapes and entities.
func visible(n *ast.Text, src []byte) []byte {
	value := n.Value(src)
	if n.IsRaw() {
		return value
	}
	return util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(value)))
}
