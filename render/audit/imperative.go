package audit

import (
	"regexp"
	"strconv"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// instructs holds, by language, the verbs with which a step's instructions begin. Only
// a word of the list counts, so that in other languages nothing is said. Words that are as often a
// part of the machine, tap or key, are none.
var instructs = map[string]map[string]bool{"en": set(`
	add adjust align apply ask attach back-probe bend bleed bridge burn change charge check clamp clean clip close
	compare connect count crank cut discharge disconnect disengage drain dry engage fill find fit follow free gauge go
	heat hold install isolate lift listen loosen look lubricate measure mount move open pinch place press probe prove
	pull pump push put read release remake remove repair repeat replace reset rest restart restore rinse rotate run screw
	seal set shake short shut slide solder spray start stop swing switch take test tighten time torque try turn twist
	undo unclip unplug unscrew wait watch weigh wind wipe write`)}

func set(words string) map[string]bool {
	in := map[string]bool{}
	for _, w := range strings.Fields(words) {
		in[w] = true
	}
	return in
}

// mostInstructions is how many a sentence of a step has at most: what is done, and what is
// read or looked at meanwhile. ASD-STE100 allows one, and two that are done together.
const mostInstructions = 2

// clauseEnd is where the next instruction of a sentence can begin.
var clauseEnd = regexp.MustCompile(`(?i),\s*(?:(?:and|then|or)\s+)*|\s+(?:and|then)\s+(?:then\s+)?`)

// severalInstructions gives advice on sentences of steps, and on their headings, that say to
// do one thing after another.
func severalInstructions(p *handbook.Page, remarks *remark.List) {
	verbs := instructs[languageOf(p)]
	if verbs == nil {
		return
	}
	for _, s := range p.Procedure.Steps {
		heading := &prose{page: p}
		heading.take(s.Heading)
		look := func(t *prose) {
			t.eachSentence(func(sentence string, from int) {
				count := 0
				for _, clause := range clauseEnd.Split(sentence, -1) {
					first, _, _ := strings.Cut(strings.TrimLeft(clause, ` "“'*(`), " ")
					if verbs[strings.ToLower(strings.Trim(first, `.,;:!?"”')*`))] {
						count++
					}
				}
				if count > mostInstructions {
					remarks.Add(remark.InstructionsSeveral, t.place(from), strconv.Itoa(count))
				}
			})
		}
		look(heading)
		for _, n := range s.Body {
			eachProse(p, n, look)
		}
	}
}

// passives are, by language, sentences that say what is done where they should say to do
// it: "the fuse is removed", "must be tightened".
var passives = map[string]*regexp.Regexp{
	"en": regexp.MustCompile(`(?i)\b(?:(?:must|should|shall|has to|have to|needs? to|is to|are to) be ` + participles + `\b|^(?:then |now |next |first )?(?:the|all|both|each|every) (?:[\pL\d-]+ ){1,4}(?:is|are) (?:then |now |next |first )?` + participles + `(?: (?:off|on|out|in|back|again|away))?[.;,!]?(?: (?:and|from|with|for|to|by hand|until|before|after)\b|$))`),
	"es": regexp.MustCompile(`(?i)\b(?:(?:debe|deben|ha de|han de|tiene que|tienen que) ser \pL+[aoi]d[oa]s?\b|^se (?:quita|quitan|desmonta|desmontan|desconecta|desconectan|mide|miden|comprueba|comprueban|aprieta|aprietan|retira|retiran)\b)`),
}

const participles = `(?:adjusted|applied|attached|changed|charged|checked|clamped|cleaned|closed|compared|connected|cranked|discharged|disconnected|drained|filled|fitted|held|installed|isolated|lifted|loosened|measured|moved|opened|plugged|pressed|proved|pulled|pumped|pushed|put|read|released|removed|repaired|replaced|reset|restarted|run|screwed|started|stopped|switched|taken|tested|tightened|tied|timed|turned|unplugged|unscrewed|warmed|watched|wiped)`

// passiveInstructions gives advice on sentences of steps of which nobody knows whether they
// say what is so or what is to be done.
func passiveInstructions(p *handbook.Page, remarks *remark.List) {
	passive := passives[languageOf(p)]
	if passive == nil {
		return
	}
	for _, s := range p.Procedure.Steps {
		for _, n := range s.Body {
			eachProse(p, n, func(t *prose) {
				t.eachSentence(func(sentence string, from int) {
					if m := passive.FindStringIndex(strings.TrimSpace(sentence)); m != nil {
						remarks.Add(remark.InstructionPassive, t.place(from+m[0]), strings.TrimSpace(sentence[m[0]:m[1]]))
					}
				})
			})
		}
	}
}

// languageOf is the language of a page without its region.
func languageOf(p *handbook.Page) string {
	lang, _, _ := strings.Cut(p.Lang, "-")
	return lang
}
