package formula

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

// FuzzCompile compiles two formulas that rest on one another: nothing panics or
// runs on, problems stand within their formula, and what has none gives numbers.
func FuzzCompile(f *testing.F) {
	for _, m := range mistakes {
		f.Add("supply * current", strings.NewReplacer("«", "", "»", "").Replace(m.formula))
	}
	f.Add("supply * current", "choose(share > 0, loss / share, 0)")
	f.Add("power", "loss")
	f.Add(strings.Repeat("(", 1999)+"1", strings.Repeat("-", 1999)+"1")
	f.Add(strings.Repeat("!", 1999), strings.Repeat("choose(1>0,", 180))
	f.Add(strings.Repeat("pow(", 99)+"share"+strings.Repeat(",2)", 99), strings.Repeat("sqrt(", 99)+"share"+strings.Repeat(")", 99)+"*loss")
	f.Add("choose(share>0&&(share>0||share>0&&(share>0||share>0)),1,2)", strings.Repeat("choose(share>angle||share<angle/2,", 40)+"loss"+strings.Repeat(",loss)", 40))
	f.Add("1/(share-angle)", "loss/(loss-supply*current)")
	f.Fuzz(func(t *testing.T, value, result string) {
		d := bench(t, result)
		d.Values[0].Formula = value
		var p *Program
		var problems []Problem
		const most = 5 * time.Second
		took := func() time.Duration {
			began := time.Now()
			p, problems = Compile(d)
			return time.Since(began)
		}
		if took() > most { // what a busy machine held up once is quick the second time
			if again := took(); again > most {
				t.Fatalf("takes %v", again)
			}
		}
		for _, problem := range problems {
			text := map[Section]string{InValues: value, InResults: result}[problem.Section]
			if problem.Offset < 0 || problem.End < problem.Offset || problem.End > len(text) || problem.Message == "" || !strings.HasSuffix(problem.Mend, ".") || !utf8.ValidString(problem.Message) {
				t.Fatalf("%q: %+v", text, problem)
			}
		}
		if p == nil {
			if len(problems) == 0 {
				t.Fatal("no program and no problem")
			}
			return
		}
		in := make([]float64, len(d.Inputs))
		for i, q := range d.Inputs {
			in[i] = q.Unit.ToSI(q.Start)
		}
		if got := call(t, p, in); !finite(got[0]) {
			t.Fatalf("%q, %q: gives %v\n%s", value, result, got[0], p.Code)
		}
	})
}
