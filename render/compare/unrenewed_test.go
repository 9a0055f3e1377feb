package compare_test

import (
	"strings"
	"testing"

	"benchleaf/render/compare"
)

const ranged = `
-- handbook.yaml --
title: Test
publisher: Example
edition: "1"
languages: [en]
-- models.yaml --
a1: {title: Model A, serial: {from: A-1000}}
-- specs/all.yaml --
gap:
  title: Gap
  unit: mm
  revised: 2026-01-01
  nominal: 0.3
  tolerance: 0.05
  history:
    - {serial: {from: A-1000, to: A-1999}, nominal: 0.4, tolerance: 0.05}
drop: {title: Drop, unit: V, revised: 2026-01-01, max: 9.6}
-- en/a.md --
---
sheet: reference
title: A
---

# A

It is <spec:gap> and <spec:drop>.
`

// TestUnrenewed asks for the remark where a value is another one for any machine, its day the same, and for
// none where its figures are only spelt otherwise: 0.3 ± 0.05 is 0.25 to 0.35.
func TestUnrenewed(t *testing.T) {
	old := facts(t, book(t, ranged))
	for _, c := range []struct{ was, is, told string }{
		{"to: A-1999", "to: A-2499", "`0.4 ± 0.05 mm, serial numbers from A-1000 to A-1999; 0.3 ± 0.05 mm, all others` is `0.4 ± 0.05 mm, serial numbers from A-1000 to A-2499; 0.3 ± 0.05 mm, all others` now"},
		{"nominal: 0.4", "nominal: 0.45", "`0.4 ± 0.05 mm, serial"},
		{"max: 9.6", "max: 9.7", "`at most 9.6 V` is `at most 9.7 V` now"},
		{"max: 9.6", "max: 9.60", ""},
		{"  tolerance: 0.05\n", "  min: 0.250\n  max: 0.35\n", ""},
		{"nominal: 0.4, tolerance: 0.05", "nominal: 0.40, min: 0.35, max: 0.45", ""},
		{"  tolerance: 0.05\n", "  min: 0.26\n  max: 0.35\n", "`0.4 ± 0.05 mm, serial"},
	} {
		remarks := compare.Unrenewed(old, book(t, strings.Replace(ranged, c.was, c.is, 1)))
		switch {
		case c.told == "" && len(remarks) > 0:
			t.Errorf("%s: %v", c.is, remarks)
		case c.told != "" && (len(remarks) != 1 || !strings.Contains(remarks[0].Message, c.told)):
			t.Errorf("%s: %v", c.is, remarks)
		}
	}
}
