package typo

import "testing"

// Counted by hand; "ca" to "abc" is 3 here, since a letter is moved once at most.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     int
	}{
		{"", "", 0}, {"relay", "relay", 0}, {"", "fuse", 4}, {"fuse", "", 4},
		{"relay", "rely", 1}, {"relay", "rellay", 1}, {"relay", "reley", 1}, {"relay", "reyal", 2}, {"relay", "realy", 1},
		{"ca", "abc", 3}, {"Ω", "Ωm", 1}, {"kitten", "sitting", 3},
	} {
		for _, pair := range [][2]string{{c.from, c.to}, {c.to, c.from}} {
			if got := Distance([]rune(pair[0]), []rune(pair[1])); got != c.want {
				t.Errorf("%q to %q: %d, want %d", pair[0], pair[1], got, c.want)
			}
		}
	}
}
