package phone

import (
	"encoding/json"
	"fmt"
	"testing"

	"benchleaf/theme"
)

// TestDays: the build and the browser say every day of a year in the same words, in each language of the theme.
func TestDays(t *testing.T) {
	t.Parallel()
	look, err := theme.Load()
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	for _, lang := range []string{"en", "es", "de", "fr", "pt", "ar"} {
		var days, want []string
		for month := 1; month <= 12; month++ {
			for _, day := range []int{1, 2, 10, 28} {
				days = append(days, fmt.Sprintf("2027-%02d-%02d", month, day))
				want = append(want, look.Words(lang).Day(days[len(days)-1]))
			}
		}
		text, _ := json.Marshal(days)
		got := eval[[]string](b, fmt.Sprintf(`%s.map((day) => new Intl.DateTimeFormat("%s-u-nu-latn", { dateStyle: "long", timeZone: "UTC" }).format(new Date(day)))`, text, lang))
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%s in %s: the browser says %q, the build %q", days[i], lang, got[i], want[i])
			}
		}
	}
}
