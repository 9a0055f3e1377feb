package handbook

import (
	"math"
	"strings"
	"testing"
)

// TestLabelSheets holds the place of labels against what makers of label sheets
// state of two common ones (figures from memory, common practice): the A4 sheet of
// 21 has margins of 7.2 mm and 15.1 mm; the Letter sheet of 30, 2.625 by 1 inch,
// margins of 0.1875 inch and 0.5 inch.
func TestLabelSheets(t *testing.T) {
	for _, c := range []struct {
		labels    Labels
		left, top float64
	}{
		{Labels{Paper: papers[0], Columns: 3, Rows: 7, Width: 63.5, Height: 38.1, Gap: 2.5}, 7.2, 15.1},
		{Labels{Paper: papers[1], Columns: 3, Rows: 10, Width: 66.675, Height: 25.4, Gap: 3.175}, 0.1875 * 25.4, 0.5 * 25.4},
	} {
		if left, top := c.labels.Left(), c.labels.Top(); math.Abs(left-c.left) > 0.1 || math.Abs(top-c.top) > 0.1 {
			t.Errorf("%s: margins %v and %v, want %v and %v", c.labels.Paper.Name, left, top, c.left, c.top)
		}
	}
}

// TestLabelCode: level Q while its modules have 0.4 mm, else level M.
func TestLabelCode(t *testing.T) {
	address := "https://handbook.example/en/fuel.html" // 3-M has 37 modules with its border, 4-Q 41
	for height, modules := range map[float64]int{
		38.1: 41,
		19.5: 41, // 16.5 mm for the code; 41 × 0.4 = 16.4
		19.3: 37, // 16.3 mm
	} {
		l := Labels{Width: 63.5, Height: height}
		c, err := l.Code(address)
		if err != nil {
			t.Fatal(err)
		}
		if c.Modules() != modules {
			t.Errorf("a label of %v mm has a code of %d modules, want %d", height, c.Modules(), modules)
		}
	}
	// Words below the code: 50 mm high, 40 mm wide.
	if l := (&Labels{Width: 40, Height: 50}); l.Beside() || l.CodeSide() != 35 {
		t.Errorf("beside: %t, side: %v", l.Beside(), l.CodeSide())
	}
}

// TestAt: addresses are those that a browser would write.
func TestAt(t *testing.T) {
	h := &Handbook{Address: "https://handbook.example/engines/"}
	for _, c := range [][3]string{
		{"index.html", "", "https://handbook.example/engines/index.html"},
		{"en/fuel pump.html", "", "https://handbook.example/engines/en/fuel%20pump.html"},
		{"es/árbol.html", "tapón", "https://handbook.example/engines/es/%C3%A1rbol.html#tap%C3%B3n"},
		{"en/a:b.html", "", "https://handbook.example/engines/en/a:b.html"},
		{"a:b.html", "", "https://handbook.example/engines/a:b.html"},
		{"en/50% #1?.html", "", "https://handbook.example/engines/en/50%25%20%231%3F.html"},
	} {
		if got := h.At(c[0], c[1]); got != c[2] {
			t.Errorf("%s, want %s", got, c[2])
		}
	}
	if got := (&Handbook{}).At("index.html", ""); got != "" {
		t.Errorf("a handbook without address gives %s", got)
	}
	if got := CodePath("en/" + strings.Repeat("a", 3) + ".flow.html"); got != "qr/en/aaa.flow.png" {
		t.Error(got)
	}
}
