package calc

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

func TestFind(t *testing.T) {
	var names []string
	for _, c := range All() {
		names = append(names, c.Name)
		if found, ok := Find(c.Name); !ok || found != c {
			t.Errorf("Find(%q) = %v, %v", c.Name, found, ok)
		}
	}
	if !slices.IsSorted(names) || len(names) == 0 {
		t.Errorf("calculators are not in the order of their names: %v", names)
	}
	if c, ok := Find("voltage"); ok {
		t.Errorf("Find(voltage) = %s", c.Name)
	}
}

func TestDescriptions(t *testing.T) {
	name := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	for _, c := range All() {
		if !strings.HasPrefix(c.Doc, c.Func+" ") || strings.Contains(c.Doc, "Formula:") || strings.Contains(c.Doc, "Source:") {
			t.Errorf("%s: prose %q", c.Name, c.Doc)
		}
		if len(c.Formula) == 0 || len(c.Sources) == 0 {
			t.Errorf("%s: %d formulas, %d sources", c.Name, len(c.Formula), len(c.Sources))
		}
		if !strings.HasPrefix(c.Code, "func "+c.Func+"(") || !strings.HasSuffix(c.Code, "\n}") {
			t.Errorf("%s: code\n%s", c.Name, c.Code)
		}
		formulas := strings.Join(c.Formula, "\n")
		seen := map[string]bool{}
		for i, q := range slices.Concat(c.Inputs, c.Results) {
			where := c.Name + "." + q.Name
			if !name.MatchString(q.Name) || seen[q.Name] {
				t.Errorf("%s: not a name of its own", where)
			}
			seen[q.Name] = true
			// One formula may stand for several quantities: Rᵢ, i = 1, 2, 3.
			each := strings.TrimRight(q.Symbol, "₀₁₂₃₄₅₆₇₈₉") + "ᵢ"
			if q.Kind == Number && !strings.Contains(formulas, q.Symbol) && !strings.Contains(formulas, each) {
				t.Errorf("%s: symbol %s is in no formula", where, q.Symbol)
			}
			input := i < len(c.Inputs)
			switch {
			case q.Kind == Choice && len(q.Options) < 2:
				t.Errorf("%s: options %v", where, q.Options)
			case input && !(q.Min < q.Max):
				t.Errorf("%s: range %v to %v", where, q.Min, q.Max)
			case input && !(q.Min <= q.Start && q.Start <= q.Max) && !(q.Optional && math.IsNaN(q.Start)):
				t.Errorf("%s: starts at %v, outside %v to %v", where, q.Start, q.Min, q.Max)
			case !input && q.Kind == Number && (q.Digits < 2 || q.Digits > 6):
				t.Errorf("%s: %d digits", where, q.Digits)
			}
		}
	}
}

// Each option word has its constant: a choice's index is the constant's value.
func TestOptionsMatchConstants(t *testing.T) {
	constants := map[string]int{}
	for name, file := range parseSources(t) {
		for _, d := range file.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.CONST {
				continue
			}
			if typed, ok := g.Specs[0].(*ast.ValueSpec).Type.(*ast.Ident); ok {
				if constants[typed.Name] != 0 {
					t.Errorf("%s: constants of %s in two places", name, typed.Name)
				}
				constants[typed.Name] = len(g.Specs)
			}
		}
	}
	for _, c := range All() {
		f := reflect.TypeOf(c.function)
		for _, side := range []struct {
			of         reflect.Type
			quantities []Quantity
		}{{f.In(0), c.Inputs}, {f.Out(0), c.Results}} {
			for i, q := range side.quantities {
				if typeName := side.of.Field(i).Type.Name(); q.Kind == Choice && constants[typeName] != len(q.Options) {
					t.Errorf("%s.%s: %d options, %d constants of type %s", c.Name, q.Name, len(q.Options), constants[typeName], typeName)
				}
			}
		}
	}
}

// The calculators' files import nothing but the elementary functions, and all
// of the package's files but the catalogue's own are embedded.
func TestSourceFiles(t *testing.T) {
	for name, file := range parseSources(t) {
		for _, i := range file.Imports {
			if i.Path.Value != `"benchleaf/calc/elementary"` {
				t.Errorf("%s imports %s", name, i.Path.Value)
			}
		}
	}
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	embedded := Subset().Files
	for _, e := range entries {
		name := e.Name()
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") || name == "catalogue.go" || name == "describe.go" {
			continue
		}
		if embedded[name] == nil {
			t.Errorf("%s is not embedded", name)
		}
	}
}

func parseSources(t *testing.T) map[string]*ast.File {
	t.Helper()
	parsed := map[string]*ast.File{}
	for name, text := range Subset().Files {
		file, err := parser.ParseFile(token.NewFileSet(), name, text, 0)
		if err != nil {
			t.Fatal(err)
		}
		parsed[name] = file
	}
	return parsed
}

func TestNativeWants(t *testing.T) {
	c, _ := Find("idle-speed")
	if out := c.Native([]float64{1}); out != nil {
		t.Errorf("one input gives %v", out)
	}
	if out := c.Native(c.Starts()); len(out) != len(c.Results) {
		t.Errorf("%d results, want %d", len(out), len(c.Results))
	}
}

// The catalogue's words: every key that it needs is there in each language, and
// none is left over.
func TestMessages(t *testing.T) {
	var want []string
	formulas := map[string]string{}
	for _, c := range All() {
		want = append(want, "calculator."+c.Name, "calculator."+c.Name+".about")
		for i, line := range c.Formula {
			if wordsOf(line) != "" {
				want = append(want, c.FormulaKey(i))
				formulas[c.FormulaKey(i)] = line
			}
		}
		for _, q := range slices.Concat(c.Inputs, c.Results) {
			key := c.Name + "." + q.Name
			want = append(want, key)
			for _, o := range q.Options {
				want = append(want, key+"."+o)
			}
		}
	}
	for _, lang := range []string{"ar", "de", "en", "es", "fr", "pt"} {
		text, err := os.ReadFile("../theme/messages/" + lang + "/calculators.json")
		if err != nil {
			t.Fatal(err)
		}
		var messages map[string]string
		if err := json.Unmarshal(text, &messages); err != nil {
			t.Fatalf("%s: %v", lang, err)
		}
		for _, key := range want {
			if message, ok := messages[key]; !ok || strings.TrimSpace(message) == "" {
				t.Errorf("%s: no message %s", lang, key)
			}
			if line, ok := formulas[key]; ok {
				if lang == "en" && messages[key] != line {
					t.Errorf("%s is %q, and in the calculator %q", key, messages[key], line)
				}
				if got, want := reckoned(messages[key]), reckoned(line); got != want {
					t.Errorf("%s: %s computes %s, not %s", lang, key, got, want)
				}
			}
			delete(messages, key)
		}
		for key := range messages {
			t.Errorf("%s: message %s is of no use", lang, key)
		}
	}
}

// inFormulas are units, functions and standards that are written alike in every language.
var inFormulas = map[string]bool{
	"exp": true, "ln": true, "cos": true, "max": true, "rpm": true, "km": true, "kg": true, "kPa": true, "inHg": true, "Pa": true, "Hz": true,
	"SAE": true, "ISO": true, "AWG": true,
}

var letters = regexp.MustCompile(`[\pL\pM]+`)

// wordsOf are the words of a formula that a language has to say: all letters in a row but a symbol with its index, and
// what is written alike.
func wordsOf(formula string) string {
	var words []string
	for _, w := range letters.FindAllString(formula, -1) {
		plain := strings.TrimRightFunc(w, func(c rune) bool { return unicode.Is(unicode.Lm, c) }) // an index
		if utf8.RuneCountInString(plain) > 1 && !inFormulas[plain] && !strings.HasPrefix(plain, "Δ") && plain != "Hρ" {
			words = append(words, w)
		}
	}
	return strings.Join(words, " ")
}

// reckoned are the figures, signs and indices of a formula in order, which no language changes. Letters and what parts
// phrases may.
func reckoned(formula string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsDigit(c) || unicode.In(c, unicode.Sm, unicode.No, unicode.Greek) || strings.ContainsRune("·/()|^%.₀₁₂₃ₘₛᵢᵣ", c) {
			return c
		}
		return -1
	}, formula)
}

// TestWordsOf: what counts as a word of a formula.
func TestWordsOf(t *testing.T) {
	for formula, want := range map[string]string{
		"R = U / I": "", "Uₘᵢₙ = √((T₁ − Tₐ) · R / Rₜ)": "", "ΔUₘ ≥ 0.5 kPa": "", "Hρ = 44.331 km · exp(φ)": "",
		"k = 1 solid, 1.02 stranded": "solid stranded", "U = U₆, or U₀": "or", "N in rpm": "in", "λ = max(a, b) où": "où",
	} {
		if got := wordsOf(formula); got != want {
			t.Errorf("%s: %q, want %q", formula, got, want)
		}
	}
}
