package audit

import (
	"regexp"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// cautions are, by language, how sentences begin that a technician had to read before: a
// signal word, or what is to be done before what was said.
var cautions = map[string]*regexp.Regexp{
	"en": regexp.MustCompile(`(?i)^(?:(?:danger|warning|caution|attention)\s*[:!.]|(?:but )?(?:first|before (?:that|this|doing (?:so|this|that)|you do (?:so|this|that)))\s*[,:])`),
	"es": regexp.MustCompile(`(?i)^(?:(?:peligro|advertencia|precaución|atención)\s*[:!.]|¡(?:peligro|atención|cuidado)!?|(?:pero )?antes(?: de (?:ello|eso|esto))?\s*[,:])`),
}

// lateCautions gives advice on cautions that stand below what they are about: in a step,
// which shows its panels first, as a sentence after another one; on other pages as a panel
// beneath a numbered list.
func lateCautions(p *handbook.Page, remarks *remark.List) {
	if p.Procedure == nil {
		latePanels(p, remarks)
		return
	}
	late := cautions[languageOf(p)]
	if late == nil {
		return
	}
	for _, s := range p.Procedure.Steps {
		first := true
		for _, n := range s.Body {
			eachProse(p, n, func(t *prose) {
				t.eachSentence(func(sentence string, from int) {
					if m := late.FindString(sentence); m != "" && !first {
						remarks.Add(remark.CautionLate, t.place(from), m)
					}
					first = false
				})
			})
		}
	}
}

// latePanels tells of panels right beneath a numbered list, for a hazard of which nothing
// above warns.
func latePanels(p *handbook.Page, remarks *remark.List) {
	warned := map[*handbook.Hazard]bool{}
	for n := p.Source.Doc.FirstChild(); n != nil; n = n.NextSibling() {
		b, _ := n.(*source.Block)
		panel, ok := p.Blocks[b].(*handbook.Safety)
		if !ok {
			continue
		}
		list, is := above(p, n).(*ast.List)
		if is && list.IsOrdered() && p.Callouts[list] == nil && !warned[panel.Hazard] {
			remarks.Add(remark.CautionLate, b.Place, "safety")
		}
		warned[panel.Hazard] = true
	}
}

// above is what stands before a panel, other panels left out.
func above(p *handbook.Page, n ast.Node) ast.Node {
	for n = n.PreviousSibling(); n != nil; n = n.PreviousSibling() {
		b, _ := n.(*source.Block)
		if _, panel := p.Blocks[b].(*handbook.Safety); !panel {
			return n
		}
	}
	return nil
}
