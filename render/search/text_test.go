package search

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"benchleaf/calc/typo"
	"benchleaf/calc/unit"
)

func terms(l language, text string, typed bool) string {
	var list []string
	for _, t := range l.tokens(text, typed) {
		if t.empty {
			continue
		}
		list = append(list, t.term)
		if t.other != "" {
			list = append(list, "or "+t.other)
		}
	}
	return strings.Join(list, ", ")
}

// The figures are worked by hand: 200 mV are 0.2 V, 100 °C are 212 °F, 1 psi is
// 6.894757 kPa (NIST SP 811), 10 N·m are 88.5075 lbf·in.
func TestTokens(t *testing.T) {
	for _, c := range []struct{ lang, text, want string }{
		{"en", "Choke plates, boxes and BATTERIES", "choke, plate, box, battery"},
		{"en", "gas glass bus axis", "gas, glass, bus, axis"},
		{"en", "fuses hoses switches lenses", "fuse, hose, switch, lense"},
		{"en", "pull-off hose", "pull, off, pulloff, hose"},
		{"en", "CH-1104 X3 12th", "ch, 1104, ch1104, x3, 12th"},
		{"en", "carburettor’s jet, 5' long", "carburettor, jet, 5, long"},
		{"en", "won't, wont, can’t and cannot: no spark", "not, not, not, not, not, spark"},
		{"en", "Œuvre Straße", "oeuvre, strasse"},
		{"en", "1,750 rpm and 1750rpm", "1750~rpm, 1750~rpm"},
		{"en", "0.2 V, 200 mV, 0,2 V", "0.2~v, 0.2~v, 0.2~v"},
		{"en", "13.1 to 14.6 V", "13.1~v, 14.6~v"},
		{"en", "1,750\u00a0±\u00a050\u00a0rpm", "1750~rpm, 50~rpm"},
		{"en", "−10 °C, 212 °F", "-10~°c, 100~°c"},
		{"en", "1 psi", "6.89476~kpa"},
		{"en", "9,4 Ω 9.4 ohms 9.4 \u2126", "9.4~ω, 9.4~ω, 9.4~ω"},
		{"en", "2 MΩ, 2 mΩ", "2000000~ω, 0.002~ω"},
		{"en", "88.5075 lbf·in", "10~n·m"},
		{"en", "2 a day", "2, a, day"},
		{"en", "14 AWG", "14, awg"},
		{"en", "12,345.5 and 12.345,5", "12345.5, 12345.5"},
		{"en", "10\u202f500", "10500"},
		{"en", "a gap of .030 in, -.5 V (.75 mm) or ,5 V", "a, gap, 0.762~mm, -0.5~v, 0.75~mm, 0.5~v"},
		{"en", "Fig.5, .5.5, 12 V... 3 A .7z", "fig, 5~v, 5.5~v, 12~v, 3~a, 7z"},
		{"es", ".5 V y ,030 mm", "0.5~v, 0.03~mm"},
		{"es", "conectores y conector, voltajes y voltaje", "conector, conector, voltaj, voltaj"},
		{"es", "Bujías, relés y luz", "bujia, rele, luz"},
		{"es", "1.750 rpm", "1750~rpm, or 1.75~rpm"},
		{"es", "0,2 voltios 0.2 V 1.234,5 s", "0.2~v, 0.2~v, 1234.5~s"},
	} {
		if got := terms(languageOf(c.lang), c.text, false); got != c.want {
			t.Errorf("%s: %q\n is read as %s\nwant       %s", c.lang, c.text, got, c.want)
		}
	}
	if got := terms(languageOf("en"), "2 a 5 v", true); got != "2~a, 5~v" {
		t.Errorf("typed units are read as %s", got)
	}
}

// A figure is the same in figures of Arabic, of Persian and in others, with the marks of each: typed, and in a page's text.
func TestFiguresOfArabic(t *testing.T) {
	for _, c := range []struct{ lang, text, want string }{
		{"ar", "السرعة ١٧٥٠ rpm", "سرعة, 1750~rpm"},
		{"ar", "١٬٧٥٠ rpm، ٩٫٣ V", "1750~rpm, 9.3~v"},
		{"fa", "۱٬۷۵۰ rpm", "1750~rpm"},
		{"en", "١٧٥٠", "1750"},
		{"es", "١٬٧٥٠٫٥", "1750.5"},
		{"ar", "X٣", "x3"},
	} {
		l := languageOf(c.lang)
		for _, typed := range []bool{true, false} {
			if got := terms(l, unit.Western(c.text, l.decimal), typed); got != c.want {
				t.Errorf("%s, typed %v: %s has %s, want %s", c.lang, typed, c.text, got, c.want)
			}
		}
	}
}

// An Arabic word is the same with the article and without, with particles before that, with vowels or with none, and with the
// hamza on a letter or left out, as phones type it. A word that merely begins with its letters keeps them where less than two would be left, and
// so does one of another language.
func TestArabicArticle(t *testing.T) {
	for _, c := range []struct{ lang, text, want string }{
		{"ar", "السخان والسخان بالسخان كالسخان فالسخان للسخان سخان", "سخان, سخان, سخان, سخان, سخان, سخان, سخان"},
		{"ar", "السَّخّان أنبوب انبوب", "سخان, انبوب, انبوب"},
		{"ar", "الم ألم لل والد", "الم, الم, لل, والد"},
		{"ar", "الدم", "دم"},
		{"fa", "الکترونیک", "الکترونیک"},
	} {
		if got := terms(languageOf(c.lang), c.text, false); got != c.want {
			t.Errorf("%s: %q\n is read as %s\nwant       %s", c.lang, c.text, got, c.want)
		}
	}
}

// Each place of a token is its text.
func TestTokenPlaces(t *testing.T) {
	text := "Measure −3.5 mV at X3 pull-off, 1,750 ± 50 rpm"
	l := languageOf("en")
	var got []string
	for _, k := range l.tokens(text, false) {
		got = append(got, text[k.start:k.end])
	}
	want := []string{"Measure", "−3.5 mV", "at", "X3", "pull", "off", "pull-off", "1,750", "50 rpm"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestMeasuresAreApart(t *testing.T) {
	seen := map[string]bool{}
	for _, symbol := range measures {
		if symbol = strings.ToLower(symbol); seen[symbol] {
			t.Errorf("two measures have the terms of %q", symbol)
		}
		seen[symbol] = true
	}
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		word, term string
		unfinished bool
		want       int
	}{
		{"relay", "relay", false, 0},
		{"rleay", "relay", false, 1}, // a swap
		{"relya", "relay", false, 1},
		{"rely", "relay", false, 1},
		{"relaay", "relay", false, 1},
		{"belay", "relay", false, 1},
		{"beley", "relay", false, 2},
		{"carbut", "carburettor", true, 1},
		{"carbut", "carburettor", false, 3}, // further: more than two
		{"regualtr", "regulator", false, 2},
	} {
		if got := typo.Within([]rune(c.word), []rune(c.term), 2, c.unfinished); min(got, 3) != c.want {
			t.Errorf("from %s to %s (unfinished %v) there are %d slips, want %d", c.word, c.term, c.unfinished, got, c.want)
		}
	}
}

// readNumber reads what writeNumber wrote, as the phone does.
func readNumber(s string) (n int, rest string) {
	worth := 1
	for {
		d := strings.IndexByte(digitsOf, s[0])
		n += d * worth
		s = s[1:]
		if d < lastDigits {
			return n, s
		}
		worth *= moreDigits
	}
}

func TestNumbersAreReadAsWritten(t *testing.T) {
	if strings.ContainsAny(digitsOf, "|~\"\\") {
		t.Error("a digit is a mark, or takes more than one byte in JSON")
	}
	random := rand.New(rand.NewPCG(1, 2))
	for i := range 5000 {
		n := i
		if i > 3000 {
			n = random.IntN(1 << 30)
		}
		var b bytes.Buffer
		writeNumber(&b, n)
		if got, rest := readNumber(b.String() + "x"); got != n || rest != "x" {
			t.Fatalf("%d is written as %q and read as %d", n, b.String(), got)
		}
		if n < lastDigits && b.Len() != 1 {
			t.Errorf("%d takes %d bytes", n, b.Len())
		}
	}
}

// FuzzTokens asks that no text makes the reader of texts fail, and that each token
// is within the text.
func FuzzTokens(f *testing.F) {
	for _, s := range []string{"1,750 ± 50 rpm", "−3.5 mV CH-1104", ".030 in (.5", "1.750.5,2 mm² é\u0301", "\xff 5 \xff", "--5 V"} {
		f.Add(s)
	}
	languages := []language{languageOf("en"), languageOf("es")}
	f.Fuzz(func(t *testing.T, text string) {
		for _, l := range languages {
			for _, typed := range []bool{false, true} {
				for _, k := range l.tokens(text, typed) {
					if k.term == "" && k.folded != "" || k.start < 0 || k.start >= k.end || k.end > len(text) {
						t.Errorf("%q has the token %+v", text, k)
					}
				}
			}
		}
	})
}
