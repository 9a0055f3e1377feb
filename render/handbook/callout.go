package handbook

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Callouts is a numbered list directly beneath a picture: it says what the
// picture's numbers are.
type Callouts struct {
	Number      int // of the picture, among those of the page that have such a list
	First, Last int // of the list

	picture ast.Node // *ast.Image or *source.Block
	list    *ast.List
	step    int // the step of a procedure in which it stands, 0 before the first
	line    int
}

// CalloutAnchor is the id of a callout's text on its page.
func CalloutAnchor(picture, number int) string { return fmt.Sprintf("callout-%d-%d", picture, number) }

// mention is a callout that a text names and no list has.
type mention struct {
	name source.Text
	of   *Callouts // nil where no picture of the step has a list
}

// findCallouts looks for pictures with numbered lists beneath, before the links
// that name their numbers are resolved.
func (r *pageResolver) findCallouts() {
	p := r.page
	p.Callouts = map[*ast.List]*Callouts{}
	for _, n := range r.lists {
		picture := pictureAbove(n)
		if picture == nil || !n.IsOrdered() {
			continue
		}
		c := &Callouts{
			Number: len(r.callouts) + 1, First: n.Start, Last: n.Start + n.ChildCount() - 1,
			picture: picture, list: n, line: p.Source.PlaceOf(picture).Line,
		}
		c.step = r.stepAt(c.line)
		r.callouts = append(r.callouts, c)
		p.Callouts[n] = c
	}
}

// pictureAbove returns the picture that stands alone directly above a list, or nil.
func pictureAbove(list *ast.List) ast.Node {
	switch above := list.PreviousSibling().(type) {
	case *source.Block:
		if above.Name == "picture" {
			return above
		}
	case *ast.Paragraph:
		if picture, ok := above.FirstChild().(*ast.Image); ok && above.ChildCount() == 1 {
			return picture
		}
	}
	return nil
}

// stepAt returns the number of the step in which a line of a procedure stands.
func (r *pageResolver) stepAt(line int) int {
	n, _ := slices.BinarySearch(r.stepLines, line+1)
	return n
}

// callout resolves a reference to a number: of the nearest picture above it in its
// step, or of the first below.
func (r *pageResolver) callout(name source.Text) Target {
	step := r.stepAt(name.Place.Line)
	var of *Callouts
	for _, c := range r.callouts {
		if c.step == step && (of == nil || c.line <= name.Place.Line) {
			of = c
		}
	}
	number, err := strconv.Atoi(name.Value)
	if of == nil || err != nil || number < of.First || number > of.Last {
		r.mentions = append(r.mentions, mention{name, of})
		return Target{}
	}
	return Target{Kind: ToCallout, ID: CalloutAnchor(of.Number, number), Callout: number}
}

// checkCallouts holds lists against what is drawn, where the picture says it, and
// then what the texts name. images are those of the page's own text.
func (r *pageResolver) checkCallouts(images []*ast.Image) {
	before := len(r.remarks)
	beneath := map[ast.Node]*Callouts{}
	for _, c := range r.callouts {
		beneath[c.picture] = c
	}
	check := func(n ast.Node) {
		if numbers := r.numbersOf(n); numbers != nil {
			r.checkPicture(n, numbers, beneath[n])
		}
	}
	for _, n := range images {
		check(n)
	}
	for _, b := range r.blocks {
		check(b)
	}
	if len(r.remarks) > before {
		return // what names a number of such a picture is most likely right
	}
	for _, m := range r.mentions {
		why := remark.CalloutUnknown.At(m.name.Place, m.name.Value)
		if m.of != nil {
			why = why.Instead("There is: %d to %d.", m.of.First, m.of.Last)
		}
		r.remarks = append(r.remarks, why)
	}
}

// checkPicture remarks on numbers of a picture without a text, and on texts whose
// numbers it does not have.
func (r *pageResolver) checkPicture(picture ast.Node, drawn []int, c *Callouts) {
	var bare []int
	for _, n := range drawn {
		if c == nil || n < c.First || n > c.Last {
			bare = append(bare, n)
		}
	}
	if bare != nil {
		r.remarks.Add(remark.CalloutText, r.page.Source.PlaceOf(picture), joined(bare))
	}
	if c == nil {
		return
	}
	item := c.list.FirstChild()
	for n := c.First; n <= c.Last; n++ {
		if !slices.Contains(drawn, n) {
			r.remarks = append(r.remarks, remark.CalloutUnknown.At(r.page.Source.PlaceOf(item), strconv.Itoa(n)).
				Instead("It has %s.", joined(drawn)))
			return // those that follow are most likely shifted
		}
		item = item.NextSibling()
	}
}

// numbersOf returns the numbers of a picture, in order; none where it cannot say so.
func (r *pageResolver) numbersOf(n ast.Node) []int {
	switch n := n.(type) {
	case *ast.Image:
		return r.whole.callouts(r.page.Links[n].Asset)
	case *source.Block:
		picture, ok := r.page.Blocks[n].(*Picture)
		if !ok {
			return nil
		}
		numbers := r.whole.callouts(picture.Asset)
		for i := range picture.Spots {
			numbers = append(numbers, i+1)
		}
		slices.Sort(numbers)
		return slices.Compact(numbers)
	}
	return nil
}

func joined(numbers []int) string {
	return strings.ReplaceAll(strings.Trim(fmt.Sprint(numbers), "[]"), " ", ", ")
}

// callouts returns the numbers that a drawing says it has, in order.
func (r *resolver) callouts(asset string) []int {
	if !strings.EqualFold(path.Ext(asset), ".svg") {
		return nil
	}
	if known, ok := r.drawn.Load(asset); ok {
		return slices.Clone(known.([]int))
	}
	var numbers []int
	if data, err := r.tree.ReadAsset(asset); err == nil {
		for _, c := range drawnCallouts(data) {
			if n, err := strconv.Atoi(c.text); err == nil {
				numbers = append(numbers, n)
			}
		}
	}
	slices.Sort(numbers)
	numbers = slices.Compact(numbers)
	r.drawn.Store(asset, slices.Clone(numbers))
	return numbers
}

// drawnCallout is what stands in an element of the class callout.
type drawnCallout struct {
	text string
	line int
}

// drawnCallouts reads the callouts of an SVG. One that cannot be read to its end has
// a remark of its own.
func drawnCallouts(data []byte) []drawnCallout {
	var list []drawnCallout
	d := xml.NewDecoder(bytes.NewReader(data))
	depth, inside := 0, 0 // inside is the depth of the callout that it is in, or 0
	for {
		token, err := d.Token()
		if err != nil {
			return list
		}
		switch t := token.(type) {
		case xml.StartElement:
			depth++
			if inside == 0 && slices.ContainsFunc(t.Attr, func(a xml.Attr) bool {
				return a.Name.Local == "class" && slices.Contains(strings.Fields(a.Value), "callout")
			}) {
				inside = depth
				line, _ := d.InputPos()
				list = append(list, drawnCallout{line: line})
			}
		case xml.EndElement:
			if depth == inside {
				inside = 0
				last := &list[len(list)-1]
				last.text = strings.TrimSpace(last.text)
			}
			depth--
		case xml.CharData:
			if inside > 0 {
				list[len(list)-1].text += string(t)
			}
		}
	}
}
