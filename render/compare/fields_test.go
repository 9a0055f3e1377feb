package compare_test

import (
	"os"
	"reflect"
	"strings"
	"testing"

	"benchleaf/calc"
	"benchleaf/render/handbook"
)

// told says of the fields of the handbook's model which case of testdata/planted changes them or
// their like, or, after a dash, why nobody is told of them by themselves.
var told = []struct{ of, how, fields string }{
	{"handbook.Handbook", "handbook", "Title Publisher CheckBy Address Notice"},
	{"handbook.Handbook", "words", "Meters Synonyms Labels"},
	{"handbook.Handbook", "language", "Languages System"},
	{"handbook.Handbook", "-at the head of every comparison", "Edition Date"},
	{"handbook.Handbook", "-told by their own fields", "States Settings Hazards Models Specs Parts Circuits Pages Glossary"},
	{"handbook.Handbook", "-told by the pages that show them", "Assets"},
	{"handbook.Handbook", "-none is compared that is bound for one model", "Others"},
	{"handbook.Handbook", "-for authors", "Rules Torn"},
	{"handbook.State", "state", "ID Title Text Minutes From"},
	{"handbook.Setting", "setting", "ID Title Restore States"},
	{"handbook.Hazard", "hazard", "ID Title"},
	{"handbook.Meter", "words", "Unit Accuracy Resolution Min Max"},
	{"handbook.Accuracy", "words", "Share Added"},
	{"handbook.Model", "model", "ID Title Serials Text"},
	{"handbook.Serials", "model", "From To"},
	{"handbook.Serials", "-made from its ends", "Head Tail Low High"},
	{"handbook.Spec", "value", "ID ByModel General"},
	{"handbook.Spec", "value-words", "Title Conditions Source"},
	{"handbook.Spec", "value-unit", "Unit Revised Possible"},
	{"handbook.Spec", "history", "History"},
	{"handbook.Spec", "-for authors", "Faulty"},
	{"handbook.Limit", "value", "Nominal Min Max Tolerance"},
	{"handbook.Number", "value", "Text"},
	{"handbook.Number", "-told by its text", "Value"},
	{"handbook.Earlier", "history", "From Until Serials Bulletin General ByModel"},
	{"handbook.Part", "part", "ID Title System Number"},
	{"handbook.Part", "part-models", "Models"},
	{"handbook.Circuit", "circuit", "ID Title Key States Points Ground Elements"},
	{"handbook.Circuit", "practice", "Faults"},
	{"handbook.Point", "circuit", "Name Title Wire"},
	{"handbook.Element", "circuit", "ID Title From To Volts Ohms Fuse Coil Pull Drop OpenedBy ClosedBy ClosedIn"},
	{"handbook.Amount", "circuit", "All ByState Spec"},
	{"handbook.Fault", "practice", "Cause Title Element From To Volts In Intermittent Magnitudes Shows"},
	{"handbook.Magnitude", "practice", "Text"},
	{"handbook.Magnitude", "-told by its text", "Value"},
	{"handbook.Shown", "practice", "Answer Outcome"},
	{"handbook.Page", "pages", "Path Key Lang Index"},
	{"handbook.Page", "head", "Title Purpose Procedure"},
	{"handbook.Page", "models-of-page", "CheckBy Applicability Sheet Revised"},
	{"handbook.Page", "bulletin", "Supersedes Superseded Notices"},
	{"handbook.Page", "practice", "Circuit"},
	{"handbook.Page", "translation", "Translation"},
	{"handbook.Page", "calculator", "Calculators"},
	{"handbook.Page", "paragraph", "Source Links IDs Callouts"},
	{"handbook.Page", "safety", "Blocks"},
	{"handbook.Page", "-for authors", "Allowances"},
	{"handbook.Supersession", "bulletin", "Spec Procedure From Models Serials"},
	{"handbook.Notice", "bulletin", "Bulletin Spec From Models Serials"},
	{"handbook.Procedure", "head", "Symptom States Hazards Equipment"},
	{"handbook.Procedure", "paragraph", "Intro"},
	{"handbook.Procedure", "cause", "Causes"},
	{"handbook.Procedure", "end", "Ends"},
	{"handbook.Procedure", "step", "Steps"},
	{"handbook.Cause", "cause", "ID Title Frequency Remedy Part Restores Who Emissions Verification"},
	{"handbook.Cause", "-it follows from the steps", "Unchecked"},
	{"handbook.SettingAt", "-told by its setting's id", "Setting"},
	{"handbook.Ending", "end", "Text Restores Log Again"},
	{"handbook.Step", "step", "ID Number Heading Minutes Conduct"},
	{"handbook.Step", "answers", "Answers"},
	{"handbook.Step", "reading", "Reading"},
	{"handbook.Step", "safety", "Panels Body"},
	{"handbook.Step", "-for authors", "Broken"},
	{"handbook.Answers", "answers", "Answers"},
	{"handbook.Answer", "answers", "Text To"},
	{"handbook.Target", "answers", "Kind ID Page Cause"},
	{"handbook.Target", "paragraph", "Asset Spec Part Hazard Callout"},
	{"handbook.Reading", "reading", "Measure Meter Red Black Conditions Spec Outcomes"},
	{"handbook.Reading", "timing", "Timing"},
	{"handbook.Reading", "probes", "Probes"},
	{"handbook.Outcome", "reading", "Kind To"},
	{"handbook.Probes", "probes", "Function Red Black With"},
	{"handbook.Timing", "timing", "Start Marks Tolerance Curve"},
	{"handbook.Mark", "timing", "Title Text"},
	{"handbook.Mark", "-told by its text and title", "ID At"},
	{"handbook.Plot", "plot", "Title Calculator Over Show Min Max Limits"},
	{"handbook.Plot", "-numbered", "ID"},
	{"handbook.Calculator", "calculator", "ID Title Calc Presets Limits Meters"},
	{"handbook.Calculator", "formula", "Module Examples"},
	{"handbook.Module", "formula", "Bytes"},
	{"handbook.Preset", "calculator", "Text Spec Within From"},
	{"handbook.Preset", "-told by its text", "SI Shown"},
	{"handbook.Chain", "calculator", "Calculator Result"},
	{"calc.Calculator", "formula", "Name Title About Formula Sources Inputs Results Examples"},
	{"calc.Calculator", "-what it reckons is told", "Code Func"},
	{"calc.Calculator", "-no page shows it", "Doc"},
	{"calc.Example", "formula", "Inputs Results"},
	{"calc.Assignment", "formula", "Name Value"},
	{"calc.Quantity", "formula", "Name Label Symbol Unit Kind Options Min Max Start Optional Metered Follows Digits Fixed"},
	{"handbook.Safety", "safety", "Level Hazard Text"},
	{"handbook.Conduct", "step", "State Needs Detects Again Requires Forbids Restores Sets Who Emissions Verification"},
	{"handbook.Need", "step", "Step"},
	{"handbook.Translation", "translation", "Unrecorded Head Causes Marks Before"},
	{"handbook.Translation", "-what follows from it is told", "Of Differs Record"},
	{"handbook.Counterpart", "translation", "Source Stale After"},
	{"handbook.Callouts", "-the items of its list are told", "Number First Last"},
	{"handbook.Term", "glossary", "Term Meaning InsteadOf"},
	{"handbook.Labels", "words", "Paper Columns Rows Width Height Gap"},
	{"handbook.Paper", "words", "Name"},
	{"handbook.Paper", "-told by its name", "Width Height"},
	{"handbook.Page", "-told by the drawing's file", "Drawn"},
	{"handbook.Drawn", "-told by the drawing's file", "Text"},
	{"handbook.Picture", "picture", "Asset Text Spots"},
	{"handbook.Spot", "picture", "X Y"},
	{"handbook.SelfCheck", "self-check", "Question Explanation Answers Text"},
	{"handbook.SelfCheck", "-numbered", "ID"},
	{"handbook.Choice", "self-check", "Text Right"},
	{"handbook.Glossary", "glossary", "Lang Terms"},
	{"handbook.CircuitTable", "circuit", "Circuit"},
}

// TestEveryFact asks that a field that the model gets is thought of here: what is in no fact
// is in no comparison.
func TestEveryFact(t *testing.T) {
	known := map[string]string{}
	for _, x := range told {
		for field := range strings.FieldsSeq(x.fields) {
			known[x.of+"."+field] = x.how
		}
	}
	seen := map[reflect.Type]bool{}
	var walk func(reflect.Type)
	walk = func(x reflect.Type) {
		for x.Kind() == reflect.Pointer || x.Kind() == reflect.Slice || x.Kind() == reflect.Array {
			x = x.Elem()
		}
		if x.Kind() == reflect.Map {
			walk(x.Elem())
			return
		}
		own := strings.HasSuffix(x.PkgPath(), "render/handbook") || strings.HasSuffix(x.PkgPath(), "benchleaf/calc")
		if x.Kind() != reflect.Struct || !own || seen[x] {
			return
		}
		seen[x] = true
		for i := range x.NumField() {
			f := x.Field(i)
			if !f.IsExported() {
				continue
			}
			name := x.String() + "." + f.Name
			switch how, ok := known[name]; {
			case strings.HasSuffix(name, "Place") || strings.HasSuffix(name, "Places") || strings.HasSuffix(name, "Unknown") || strings.HasSuffix(name, "At") && f.Type.Name() == "Place":
				continue // of remarks
			case !ok:
				t.Errorf("%s: is it told?", name)
			case strings.HasPrefix(how, "-"):
			default:
				if _, err := os.Stat("testdata/planted/" + how + ".txtar"); err != nil {
					t.Errorf("%s: %v", name, err)
				}
			}
			delete(known, name)
			walk(f.Type)
		}
	}
	for _, x := range []any{handbook.Handbook{}, handbook.Answers{}, handbook.Picture{}, handbook.Plot{}, handbook.SelfCheck{}, handbook.Glossary{}, handbook.CircuitTable{}, calc.Calculator{}} {
		walk(reflect.TypeOf(x))
	}
	for name := range known {
		t.Errorf("there is no field %s", name)
	}
}
