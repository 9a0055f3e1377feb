package audit

import (
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Facts are what the audit finds on one page: what is wrong with it by itself, and what
// the rules about several pages ask of each. They hang on that page and on what it reads of the
// handbook and of other pages, so that they can be kept while those stay the same.
type Facts struct {
	Remarks remark.List
	Proved  bool // nothing hides the ways through the procedure, and what they do

	Remedies   bool        // a cause of the page has a remedy
	Remediless remark.List // what is said of those without one where others have it
	Panels     []PanelFact
	Readings   []ReadingFact
	Beyond     []BeyondFact
	LeadsTo    source.List // keys of other pages of its language
	Lost       bool        // a link leads nowhere
	Crossings  []CrossingFact
	Parts      []string // ids of those that it examines
	Settings   []string // and of those that it names
	States     []string // ids of engine states in which its complaint shows or a step is done
	Models     []string // ids of those that it holds for
	Unsure     bool     // a state or a model of it is not known
	Roles      []RoleFact
	Meets      []MetFact
	Checks     bool // the page has, or may have, a check after the repair
	Elsewhere  []ElsewhereFact
	Glossary   bool        // the page shows it
	Figures    source.List // with their units, as they are typed

	// Passed tells for a step at which answers of other pages begin what is lacking
	// then; of the steps that were asked for.
	Passed map[string][]string
}

// PanelFact is a safety message.
type PanelFact struct {
	Hazard, Level string
	Place         remark.Place
}

// CrossingFact is a way from a step into another procedure.
type CrossingFact struct {
	Step, To, Heading string // To is the path of the other page's source
	Check             bool   // the step is a check after the repair
	Place             remark.Place
}

// RoleFact is a setting that stands while a step is done, or a remedy that puts it back, and who
// may do that. Name is what remarks call the step or the cause.
type RoleFact struct {
	Setting, Name, Who string
	Place              remark.Place
}

// MetFact is a step in an engine state, and the hazards that it names.
type MetFact struct {
	State, Step string
	Hazards     []string
	Unsure      bool // another mistake of the page may be why it names none
	Place       remark.Place
}

// ElsewhereFact is a cause whose check stands on another page, and the pages to which its
// remedy leads, by the path of their source.
type ElsewhereFact struct {
	Cause string
	Pages []string
	Place remark.Place
}

// Page judges one page.
func Page(h *handbook.Handbook, p *handbook.Page) *Facts {
	f := &Facts{}
	if h.Torn {
		return f
	}
	if p.Procedure != nil {
		f.Proved = proveProcedure(h, p, &f.Remarks)
		differs := p.Translation != nil && p.Translation.Differs
		if !differs && f.Remarks.Count(remark.Error) == 0 { // else figures may be wrong for what has a remark
			proveCircuit(h, p, &f.Remarks)
		}
		if f.Proved && f.Remarks.Count(remark.Error) == 0 { // else it may be what leads astray
			evidence(p.Procedure, &f.Remarks)
			f.elsewhere(p)
		}
		if f.Proved && !p.CircuitUnknown && f.Remarks.Count(remark.Error) == 0 { // else a wrong way may be why nothing is shown
			idleDetects(p, &f.Remarks)
		}
		absentParts(p, &f.Remarks)
		crossings(p, &f.Remarks)
		ownRemedies(p, &f.Remarks)
		customs(p.Procedure, p, &f.Remarks)
	}
	style(h, p, &f.Remarks)
	f.links(p)
	f.glossary(p)
	f.figures(p)
	f.panels(p)
	if p.Procedure != nil {
		f.remedies(p)
		f.readings(h, p)
		f.crossings(p)
		f.roles(p.Procedure)
		f.meets(p)
		f.serves(p)
		for part := range examines(p) {
			f.Parts = append(f.Parts, part.ID)
		}
		slices.Sort(f.Parts)
		for _, s := range p.Procedure.Course().Settings {
			f.Settings = append(f.Settings, s.ID)
		}
	}
	return f
}

// Whole applies the rules about several pages, whose facts are in the order of the
// handbook's pages. Of most pages it asks no more than facts and face; whole
// returns one of which it needs all.
func Whole(h *handbook.Handbook, facts []*Facts, whole func(*handbook.Page) *handbook.Page) remark.List {
	var remarks remark.List
	if h.Torn {
		return remarks
	}
	sameSymptoms(h, &remarks)
	withoutRemedy(facts, &remarks)
	notices(h, facts, &remarks)
	unsaidProbes(facts, &remarks)
	unlinkedPages(h, facts, &remarks)
	beyondMeters(h, facts, &remarks)
	proveEntries(h, facts, whole, &remarks)
	if !slices.ContainsFunc(facts, (*Facts).absent) { // else one part stands for another
		unexaminedParts(h, facts, &remarks)
	}
	unusedSettings(h, facts, &remarks)
	unserved(h, facts, &remarks)
	unsaidRoles(h, facts, &remarks)
	stateHazards(h, facts, &remarks)
	checkedNowhere(h, facts, &remarks)
	unshownGlossary(h, facts, &remarks)
	if n := newNaming(h); n != nil {
		pastData(h, n, &remarks)
		pastNamed(h, n, facts, whole, &remarks)
	}
	sameNames(h, &remarks)
	return remarks
}

func (f *Facts) absent() bool {
	return slices.ContainsFunc(f.Remarks, func(r remark.Remark) bool { return r.ID == remark.PartAbsent.ID })
}
