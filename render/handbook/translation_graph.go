package handbook

import (
	"slices"
	"strings"

	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// sameGraph holds the procedure of a translation against that of its source: what is done, asked and
// found in which order is the same in every language, and so is what a bulletin supersedes. Each difference is an error.
func (r *pageResolver) sameGraph(s *pageResolver) {
	p, of := r.page, s.page
	d := differences{r, of.Source.Path}
	d.text(p.Source.Top(), "`supersedes`", supersessionNames(p.Supersedes), supersessionNames(of.Supersedes), of.Source.Top())
	if r.remarks.Count(remark.Error)+s.remarks.Count(remark.Error) == 0 { // else figures may be wrong for what has a remark
		d.figures(p, of)
	}
	if p.Procedure == nil && of.Procedure == nil {
		return
	}
	d.text(p.Source.Top(), "`sheet`", p.Sheet, of.Sheet, of.Source.Top())
	d.text(p.Source.Top(), "`applicability`", idsOf(p.Applicability), idsOf(of.Applicability), of.Source.Top())
	mine, theirs := p.Procedure, of.Procedure
	if mine == nil || theirs == nil {
		return
	}
	top := p.Source.Top()
	d.text(top, "`states`", idsOf(mine.States), idsOf(theirs.States), theirs.StatesPlace)
	if !d.lagging(mine, theirs) {
		d.text(top, "`hazards`", idsOf(mine.Hazards), idsOf(theirs.Hazards), of.Source.Top())
	}
	d.causes(mine, theirs)
	d.steps(mine, theirs)
}

// differences tells what of a page is otherwise than in its source.
type differences struct {
	*pageResolver
	file string // of the source
}

func (d differences) tell(at remark.Place, what string, of remark.Place) {
	if of.Line == 0 {
		of.File = d.file
	}
	d.page.Translation.Differs = true
	d.remarks.Add(remark.TranslationDiffers, at, what, of)
}

// text compares what each page says in one place.
func (d differences) text(at remark.Place, what, mine, theirs string, of remark.Place) {
	if mine != theirs {
		d.tell(at, what+": "+orNothing(mine)+" here, "+orNothing(theirs)+" there", of)
	}
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return "`" + s + "`"
}

func idsOf[T named](list []T) string {
	var ids []string
	for _, x := range list {
		ids = append(ids, x.id())
	}
	return strings.Join(ids, ", ")
}

func settingNames(list []SettingAt) string {
	var ids []string
	for _, s := range list {
		ids = append(ids, s.ID)
	}
	return strings.Join(ids, ", ")
}

func (d differences) causes(mine, theirs *Procedure) {
	for _, c := range theirs.Causes {
		i := slices.IndexFunc(mine.Causes, func(x *Cause) bool { return x.ID == c.ID })
		if i < 0 {
			d.tell(d.page.Source.Top(), "cause `"+c.ID+"` is missing here", c.Place)
			continue
		}
		x, name := mine.Causes[i], "cause `"+c.ID+"`: "
		d.text(x.Place, name+"`frequency`", plainNumber(x.Frequency), plainNumber(c.Frequency), c.Place)
		d.text(x.Place, name+"`part`", partID(x.Part), partID(c.Part), c.Place)
		d.text(x.Place, name+"`restores`", settingNames(x.Restores), settingNames(c.Restores), c.Place)
		d.text(x.Place, name+"`who`", x.Who, c.Who, c.Place)
		d.text(x.Place, name+"`verification`", x.Verification, c.Verification, c.Place)
	}
	for _, x := range mine.Causes {
		if !slices.ContainsFunc(theirs.Causes, func(c *Cause) bool { return c.ID == x.ID }) {
			d.tell(x.Place, "cause `"+x.ID+"` is missing there", remark.Place{})
		}
	}
}

func partID(p *Part) string {
	if p == nil {
		return ""
	}
	return p.ID
}

// steps compares the steps that both have, and tells of one that stands in another order only
// where none is missing.
func (d differences) steps(mine, theirs *Procedure) {
	missing := map[string]bool{}
	at := d.page.Source.Top() // of the step that one which is missing comes after
	for i, s := range theirs.Steps {
		if x := mine.Heading(s.ID); x != nil {
			at = x.Place
			continue
		}
		missing[s.ID] = true
		if i < len(mine.Steps) && len(mine.Steps) == len(theirs.Steps) && theirs.Heading(mine.Steps[i].ID) == nil {
			at = mine.Steps[i].Place
			missing[mine.Steps[i].ID] = true
			d.tell(at, "step `"+mine.Steps[i].ID+"` is called `"+s.ID+"` there", s.Place)
			d.remarks = slices.DeleteFunc(d.remarks, func(m remark.Remark) bool { // what leads there is right
				return m.ID == remark.LinkNowhere.ID && m.Message == remark.LinkNowhere.At(m.Place, "#"+s.ID).Message
			})
			continue
		}
		d.tell(at, "step `"+s.ID+"` is missing here, behind this", s.Place)
	}
	for _, x := range mine.Steps {
		if theirs.Heading(x.ID) == nil && !missing[x.ID] {
			missing[x.ID] = true
			d.tell(x.Place, "step `"+x.ID+"` is missing there", remark.Place{})
		}
	}
	for i, x := range mine.Steps {
		if len(missing) == 0 && theirs.Steps[i].ID != x.ID {
			d.tell(x.Place, "step `"+x.ID+"` stands here where `"+theirs.Steps[i].ID+"` stands there", theirs.Steps[i].Place)
			break
		}
	}
	for _, x := range mine.Steps {
		if s := theirs.Heading(x.ID); s != nil && !x.Broken && !s.Broken {
			d.step(x, s, missing)
		}
	}
}

func (d differences) step(x, s *Step, missing map[string]bool) {
	name := "step `" + x.ID + "`: "
	d.text(x.Place, name+"minutes", plainNumber(x.Minutes), plainNumber(s.Minutes), s.Place)
	mine, theirs := x.Conduct.facts(), s.Conduct.facts()
	for i, fact := range theirs {
		d.text(x.Place, name+fact[0], mine[i][1], fact[1], s.Place)
	}
	d.text(x.Place, name+"panels", panelNames(d.settled(d.page, x.Panels)), panelNames(d.settled(d.page.Translation.Of, s.Panels)), s.Place)
	spec := func(s *Step) string {
		if s.Reading == nil {
			return ""
		}
		if s.Reading.Spec == nil {
			return "a reading"
		}
		return s.Reading.Spec.ID
	}
	d.text(x.Place, name+"the reading", spec(x), spec(s), s.Place)
	read, asked := x.Reading.facts(), s.Reading.facts()
	for i := range min(len(read), len(asked)) {
		d.text(x.Place, name+asked[i][0], read[i][1], asked[i][1], s.Place)
	}
	type way struct {
		kind string
		to   Target
		at   remark.Place
	}
	ways := func(s *Step) (list []way) {
		if s.Reading != nil {
			for _, o := range s.Reading.Outcomes {
				list = append(list, way{"outcome `" + o.Kind + "`", o.To, o.Place})
			}
		}
		for _, a := range s.Answers {
			list = append(list, way{"answer", a.To, a.Place})
		}
		return list
	}
	own, source := ways(x), ways(s)
	if len(own) != len(source) {
		lacks := func(list, others []way) (lacking []way) {
			rest := slices.Clone(others)
			for _, w := range list {
				i := slices.IndexFunc(rest, func(o way) bool { return o.kind == w.kind && o.to.name() == w.to.name() })
				if i < 0 {
					lacking = append(lacking, w)
				} else {
					rest = slices.Delete(rest, i, i+1)
				}
			}
			return lacking
		}
		if here := lacks(source, own); len(own) < len(source) && len(here) > 0 {
			d.tell(x.Place, name+"the "+here[0].kind+" to `"+here[0].to.name()+"` is missing here", here[0].at)
		} else if there := lacks(own, source); len(there) > 0 {
			d.tell(there[0].at, name+"the "+there[0].kind+" to `"+there[0].to.name()+"` is missing there", s.Place)
		}
		return
	}
	for i, w := range own {
		of := source[i]
		if missing[of.to.ID] || missing[w.to.ID] || w.to.Kind == ToNowhere || of.to.Kind == ToNowhere {
			continue // told there
		}
		mine, theirs := w.kind+" to "+w.to.name(), of.kind+" to "+of.to.name()
		if d.text(w.at, name+"ways", mine, theirs, of.at); mine != theirs {
			return // two that are exchanged are one slip
		}
	}
}

// settled are the panels of a page that are no matter of a translation that is older than its source: such a block has
// its remark, and what the source says now stands on the page.
func (d differences) settled(p *Page, panels []*Safety) []*Safety {
	lags := map[any]bool{}
	for n := range d.page.Translation.lags {
		if b, ok := n.(*source.Block); ok && d.page.Translation.lags[n] {
			lags[p.Blocks[b]] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(panels), func(s *Safety) bool { return lags[s] })
}

// lagging reports whether the heads name other hazards only since panels of the source are new: they are those of
// the source on the page.
func (d differences) lagging(mine, theirs *Procedure) bool {
	fresh := map[*Hazard]bool{}
	for _, s := range theirs.Steps {
		settled := d.settled(d.page.Translation.Of, s.Panels)
		for _, panel := range s.Panels {
			if !slices.Contains(settled, panel) {
				fresh[panel.Hazard] = true
			}
		}
	}
	known := slices.DeleteFunc(slices.Clone(theirs.Hazards), func(h *Hazard) bool { return fresh[h] && !slices.Contains(mine.Hazards, h) })
	return idsOf(known) == idsOf(mine.Hazards)
}

// facts are what a step block says, with names for remarks.
func (c *Conduct) facts() [][2]string {
	if c == nil {
		c = &Conduct{Who: Technician}
	}
	state, needs, detects := "", []string{}, []string{}
	if c.State != nil {
		state = c.State.ID
	}
	for _, n := range c.Needs {
		needs = append(needs, n.Step)
	}
	for id, power := range c.Detects {
		detects = append(detects, id+" "+plainNumber(power))
	}
	slices.Sort(detects)
	yes := map[bool]string{true: "yes"}
	return [][2]string{
		{"`state`", state}, {"`needs`", strings.Join(needs, ", ")}, {"`detects`", strings.Join(detects, ", ")}, {"`again`", yes[c.Again]},
		{"`requires`", settingNames(c.Requires)}, {"`forbids`", settingNames(c.Forbids)},
		{"`restores`", settingNames(c.Restores)}, {"`sets`", settingNames(c.Sets)},
		{"`who`", c.Who}, {"`emissions`", yes[c.Emissions]}, {"`verification`", yes[c.Verification]},
	}
}

func supersessionNames(list []Supersession) string {
	var names []string
	for _, s := range list {
		name := s.of() + " from " + s.From
		if s.Models != nil {
			name += " of " + strings.Join(slices.Sorted(slices.Values(s.Models)), " and ")
		}
		if s.Serials != nil {
			name += " " + s.Serials.From + " to " + s.Serials.To
		}
		names = append(names, name)
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

func panelNames(panels []*Safety) string {
	var list []string
	for _, s := range panels {
		name := s.Level
		if s.Hazard != nil {
			name += " " + s.Hazard.ID
		}
		list = append(list, name)
	}
	slices.Sort(list)
	return strings.Join(list, ", ")
}

// name is what a target is called in every language.
func (t Target) name() string {
	switch t.Kind {
	case ToPage:
		if t.ID != "" && t.Page.Procedure == nil {
			return t.Page.Key // its headings have their ids from the language's words
		}
		return t.Page.Key + "#" + t.ID
	case ToAsset:
		return t.Asset
	}
	return t.ID
}
