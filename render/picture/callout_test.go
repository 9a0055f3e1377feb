package picture

import (
	"fmt"
	"testing"
)

// TestCallouts: where the numbers of a drawing stand, in hundredths.
func TestCallouts(t *testing.T) {
	for _, c := range []struct{ root, body, want string }{
		{`viewBox="0 0 160 200"`, `<text class="a callout" x="80" y="52">2</text><text x="9" y="9">3</text>`, "map[2:{50 25}]"},
		{`viewBox="-40,-50 160 200"`, `<g class="callout"><circle cx="40" cy="50" r="9"/><text x="41" y="55"> 1 </text></g>`, "map[1:{50 50}]"},
		{`width="80" height="40"`, `<text class="callout"><tspan x="20" y="11">7</tspan></text>`, "map[7:{25 25}]"},
		// Not known.
		{`viewBox="0 0 160 200"`, `<g transform="scale(2)"><text class="callout" x="8" y="9">1</text></g><text class="callout">2</text><text class="callout" x="50%" y="9">3</text>`, "map[]"},
		{`viewBox="0 0 160 200"`, `<text class="callout" x="200" y="9">1</text><text class="callout" x="8" y="9">one</text>`, "map[]"},
		{`viewBox="0 0 160 200"`, `<text x="8" y="9">1</text>`, "map[]"},
	} {
		_, info, _, err := Clean([]byte(`<svg xmlns="http://www.w3.org/2000/svg" ` + c.root + `>` + c.body + `</svg>`))
		if got := fmt.Sprint(info.Callouts); err != nil || got != c.want {
			t.Errorf("%s %s: %s, %v, want %s", c.root, c.body, got, err, c.want)
		}
	}
}
