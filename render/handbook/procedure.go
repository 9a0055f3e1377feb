package handbook

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// resolve is the second pass over a page: blocks, links, and the steps of a
// procedure. Every page's outline is known by now.
func (r *pageResolver) resolve() {
	p := r.page
	p.Blocks, p.Links, r.broken = map[*source.Block]any{}, map[ast.Node]Target{}, map[*source.Block]bool{}
	blocks := r.blocks
	for _, b := range blocks {
		if b.Name == "calculator" {
			r.calculator(b)
		}
	}
	r.chained()
	r.checkExamples()
	r.findCallouts()
	r.links(p.Source.Doc, p.Source.Text, p.Source.PlaceOf)
	images := r.images // so far: of the page's own text
	for _, c := range r.causes {
		if c.yaml.Part.Given() {
			c.cause.Part = findIn(&r.remarks, r.whole.complete[kindPart], kindPart, r.whole.book.Parts, c.yaml.Part)
		}
		c.cause.Restores = r.settingsNamed(c.yaml.Restores)
		c.cause.Who = r.who(c.yaml.Who)
		c.cause.Emissions = yes(&r.remarks, c.yaml.Emissions, "emissions")
		r.check(c)
		r.links(c.cause.Remedy.Doc, c.cause.Remedy.Text, c.cause.Remedy.PlaceOf)
	}
	for _, b := range blocks {
		switch b.Name {
		case "answers":
			r.answers(b)
		case "circuit":
			r.circuitTable(b)
		case "picture":
			r.pictureBlock(b)
		case "glossary":
			r.glossaryBlock(b)
		case "plot":
			r.plot(b)
		case "reading":
			r.reading(b)
		case "safety":
			r.safety(b)
		case "self-check":
			r.selfCheck(b)
		case "step":
			r.conduct(b)
		case "timing":
			r.timing(b)
		}
	}
	r.checkCallouts(images)
	if p.Procedure != nil {
		r.endings()
		r.procedure(blocks)
	}
	r.notices()
	p.head = r.headPieces()
}

func (r *pageResolver) blocksOf(doc ast.Node) []*source.Block {
	var blocks []*source.Block
	source.EachBlock(doc, func(n ast.Node) {
		if b, ok := n.(*source.Block); ok {
			blocks = append(blocks, b)
		}
	})
	return blocks
}

// procedure gathers the steps: level-2 headings of the page's own level, each
// with what follows it.
func (r *pageResolver) procedure(blocks []*source.Block) {
	p := r.page
	pr := p.Procedure
	for _, name := range distinct(&r.remarks, r.front.States) {
		if s := findIn(&r.remarks, r.whole.complete[kindState], kindState, r.whole.book.States, name); s != nil {
			pr.States = append(pr.States, s)
		} else {
			pr.ConductUnknown = true
		}
	}
	pr.StatesPlace = firstPlace(r.front.States)
	for _, name := range distinct(&r.remarks, r.front.Hazards) {
		if h := findIn(&r.remarks, r.whole.complete[kindHazard], kindHazard, r.whole.book.Hazards, name); h != nil {
			pr.Hazards, pr.HazardPlaces = append(pr.Hazards, h), append(pr.HazardPlaces, name.Place)
		} else {
			pr.PanelsUnknown = true
		}
	}
	for _, e := range r.front.Equipment {
		pr.Equipment = append(pr.Equipment, e.Value)
	}
	var step *Step
	for n := p.Source.Doc.FirstChild(); n != nil; n = n.NextSibling() {
		if h, ok := n.(*ast.Heading); ok && h.Level == 2 {
			step = &Step{ID: p.IDs[h], Number: len(pr.Steps) + 1, Heading: h, Minutes: r.minutes(h), Place: p.Source.PlaceOf(h)}
			pr.Steps = append(pr.Steps, step)
			continue
		}
		if step == nil {
			pr.Intro = append(pr.Intro, n)
			continue
		}
		step.Body = append(step.Body, n)
	}
	placed := map[*source.Block]bool{}
	for _, s := range pr.Steps {
		leadsOn := false // a block above has the step's ways on
		for _, n := range s.Body {
			for _, b := range r.blocksOf(n) {
				placed[b] = true
				leadsOn = leadsOn || b.Name == "answers" || b.Name == "reading" || b.Name == "timing"
				switch form := p.Blocks[b].(type) {
				case *Answers:
					s.Answers = append(s.Answers, form.Answers...)
				case *Reading:
					if s.Reading != nil {
						r.remarks.Add(remark.ReadingSecond, b.Place, s.ID)
						continue
					}
					s.Reading = form
				case *Safety:
					s.Panels = append(s.Panels, form)
					if leadsOn {
						r.remarks.Add(remark.PanelBelow, b.Place, s.ID)
					}
				case *Conduct:
					if s.Conduct != nil {
						r.remarks.Add(remark.StepSecond, b.Place, s.ID)
						continue
					}
					s.Conduct = form
				}
				s.Broken = s.Broken || r.broken[b]
			}
		}
	}
	for _, b := range blocks {
		if !placed[b] && (b.Name == "answers" || b.Name == "reading" || b.Name == "step" || b.Name == "timing") {
			r.remarks.Add(remark.BlockPlace, b.Place, "`"+b.Name+"`")
		}
	}
}

// minutes reads the <minutes:...> of a step's heading.
func (r *pageResolver) minutes(h *ast.Heading) (minutes float64) {
	var first remark.Place
	for n := h.FirstChild(); n != nil; n = n.NextSibling() {
		scheme, text := r.reference(n)
		if scheme != "minutes" {
			if remark.Nearest(scheme, headingSchemes) == "minutes" { // a slip of the pen has a remark
				r.page.Procedure.FiguresUnknown = true
			}
			continue
		}
		at := r.page.Source.PlaceOf(n)
		if first.File != "" {
			r.remarks.Add(remark.IDDuplicate, at, "minutes", first)
			r.page.Procedure.FiguresUnknown = true
			continue
		}
		first = at
		m, err := strconv.ParseFloat(text, 64)
		if err != nil || !(m >= 0 && m < 1e6) {
			r.remarks.Add(remark.ValueText, at, text, "number of minutes", "<minutes:3>")
			r.page.Procedure.FiguresUnknown = true
			continue
		}
		minutes = m
	}
	return minutes
}

// onlyInSteps reports whether the page can hold a block that leads on.
func (r *pageResolver) onlyInSteps(b *source.Block) bool {
	if r.page.Procedure == nil {
		if r.sheetUnknown() {
			return false
		}
		r.remarks.Add(remark.BlockPlace, b.Place, "`"+b.Name+"`")
		return false
	}
	return true
}

// answers resolves a list of answers. An item is a link, or a text and an
// arrow before a link; the text is what the technician would say.
func (r *pageResolver) answers(b *source.Block) {
	if !r.onlyInSteps(b) {
		return
	}
	m := b.List(&r.remarks)
	form := &Answers{}
	for list := m.Doc.FirstChild(); list != nil; list = list.NextSibling() {
		if list.Kind() != ast.KindList {
			r.remarks.Add(remark.AnswerForm, m.PlaceOf(list))
			r.broken[b] = true
			continue
		}
		for item := list.FirstChild(); item != nil; item = item.NextSibling() {
			if a, ok := r.answer(m, item); ok {
				form.Answers = append(form.Answers, a)
			} else {
				r.broken[b] = true
			}
		}
	}
	if m.Doc.FirstChild() == nil {
		r.remarks.Add(remark.AnswerForm, b.Place)
		r.broken[b] = true
	}
	r.page.Blocks[b] = form
}

func (r *pageResolver) answer(m source.Markdown, item ast.Node) (Answer, bool) {
	var links []*ast.Link
	_ = ast.Walk(item, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Link:
			links = append(links, n)
		case *ast.AutoLink:
			r.remarks = append(r.remarks, remark.AnswerForm.At(m.PlaceOf(n)).
				Instead("Write the words or the figure out: a button shows plain text."))
		}
		return ast.WalkContinue, nil
	})
	if len(links) != 1 {
		r.remarks.Add(remark.AnswerForm, m.PlaceOf(item))
		return Answer{}, false
	}
	text := strings.TrimSpace(plainText(item, m.Text))
	text = beforeArrow(text)
	at := m.PlaceOf(links[0])
	to := r.leadsTo(source.Text{Value: destination(links[0].Destination), Place: at})
	if text == "" {
		r.remarks.Add(remark.AnswerForm, m.PlaceOf(item))
	}
	return Answer{text, to, at}, text != ""
}

// beforeArrow is an answer's text without the arrow and what it points to.
func beforeArrow(text string) string {
	for _, arrow := range []string{"->", "→"} {
		if i := strings.LastIndex(text, arrow); i >= 0 {
			return strings.TrimSpace(text[:i])
		}
	}
	return text
}

// leadsTo resolves where an answer or an outcome leads: a step, a cause, an
// end, or another page.
func (r *pageResolver) leadsTo(to source.Text) Target {
	target, outward := r.target(to.Value, to.Place)
	switch {
	case outward, target.Kind == ToSpec, target.Kind == ToPart, target.Kind == ToAsset, target.Kind == ToHazard, target.Kind == ToCallout, target.Kind == ToCalculator:
		r.remarks = append(r.remarks, remark.LinkNowhere.At(to.Place, to.Value).
			Instead("An answer leads to a step, a cause, an end or another page."))
		return Target{}
	case target.Kind == ToPage && target.Page == r.page:
		r.remarks.Add(remark.AnswerOwn, to.Place)
		return Target{}
	case target.Kind == ToHeading && !r.isStep[target.ID]:
		r.nowhere(to.Value, to.Place, r.meant(target.ID, r.stepIDs), "#", "")
		target = Target{}
	}
	if name, ok := strings.CutPrefix(to.Value, "#"); ok && target.Kind == ToNowhere {
		// A slip of the pen leads where it was meant to, so that one mistake is
		// not followed by remarks on a step that nothing reaches.
		target.ID = r.meant(name, r.stepIDs)
	}
	return target
}

func (r *pageResolver) stepIDs() []string { return r.steps }

type readingYAML struct {
	Measure    source.Text   `yaml:"measure"`
	Spec       source.Text   `yaml:"spec,needed"`
	Meter      source.Text   `yaml:"meter"`
	Red        source.Text   `yaml:"red"`
	Black      source.Text   `yaml:"black"`
	Conditions source.Text   `yaml:"conditions"`
	At         []source.Text `yaml:"at,needed with with"`
	With       []source.Text `yaml:"with"`
	Low        source.Text   `yaml:"low"`
	Within     source.Text   `yaml:"within"`
	High       source.Text   `yaml:"high"`
	None       source.Text   `yaml:"none"`
	Unstable   source.Text   `yaml:"unstable"`
}

// reading resolves a measurement. Its limits are proved with the procedure.
func (r *pageResolver) reading(b *source.Block) {
	if !r.onlyInSteps(b) {
		return
	}
	var text readingYAML
	before := len(r.remarks)
	source.Decode(b.YAML(&r.remarks), &text, "a reading", &r.remarks)
	r.broken[b] = len(r.remarks) > before
	form := &Reading{
		Measure: text.Measure.Value, Meter: text.Meter.Value, Red: text.Red.Value, Black: text.Black.Value,
		Conditions: text.Conditions.Value, SpecPlace: text.Spec.Place, at: text.At, with: text.With,
	}
	if text.Spec.Given() {
		form.Spec = r.specNamed(text.Spec)
	}
	form.Outcomes = r.outcomes(text.Low, text.Within, text.High, text.None, text.Unstable)
	r.page.Blocks[b] = form
}

// specNamed finds the specification of a reading. Nothing is proved of one that
// was only probably meant.
func (r *pageResolver) specNamed(name source.Text) *Spec {
	if s := r.spec(name); s != nil && s.ID == name.Value {
		return s
	}
	return nil
}

// outcomes resolves where a reading leads.
func (r *pageResolver) outcomes(low, within, high, none, unstable source.Text) (list []Outcome) {
	for _, o := range []struct {
		kind string
		to   source.Text
	}{{"low", low}, {"within", within}, {"high", high}, {"none", none}, {"unstable", unstable}} {
		if o.to.Given() {
			list = append(list, Outcome{o.kind, r.leadsTo(o.to), o.to.Place})
		}
	}
	return list
}

type safetyYAML struct {
	Level  source.Text     `yaml:"level,needed"`
	Hazard source.Text     `yaml:"hazard"`
	Text   source.Markdown `yaml:"text,needed"`
}

var levels = []string{"danger", "warning", "caution", "notice"}

// Rank is 0 for the highest level, and more for each level below.
func (s *Safety) Rank() int { return slices.Index(levels, s.Level) }

// safety resolves a safety message; it may stand on any page.
func (r *pageResolver) safety(b *source.Block) {
	var text safetyYAML
	before := len(r.remarks)
	source.Decode(b.YAML(&r.remarks), &text, "a safety message", &r.remarks)
	form := &Safety{Text: text.Text}
	if text.Level.Given() {
		form.Level = r.choice(text.Level, "level", levels)
	}
	if text.Hazard.Given() {
		form.HazardPlace = text.Hazard.Place
		form.Hazard = findIn(&r.remarks, r.whole.complete[kindHazard], kindHazard, r.whole.book.Hazards, text.Hazard)
	}
	if said := text.Text; said.Doc != nil && !strings.ContainsFunc(string(said.Text), unicode.IsLetter) {
		r.remarks = append(r.remarks, remark.ValueEmpty.At(said.PlaceOf(said.Doc), "text").Instead("Say what the danger is, and how to keep clear of it."))
	}
	r.links(text.Text.Doc, text.Text.Text, text.Text.PlaceOf)
	if (len(r.remarks) > before || text.Hazard.Given() && form.Hazard == nil) && r.page.Procedure != nil {
		r.page.Procedure.PanelsUnknown = true
	}
	r.page.Blocks[b] = form
}
