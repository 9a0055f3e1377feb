package phone

import (
	"testing"

	"benchleaf/calc/unit"
)

// TestLimitUnits: a limit in kPa stands in psi as well for a reader who works in
// inches. By hand, 1 psi = 6.894757 kPa: 650 kPa are 94.27 psi.
func TestLimitUnits(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	p := d.page(t, "bench/cylinder")
	b := open(t, "")
	b.goLive(d.address(p.Path))
	text := func() string {
		return eval[string](b, `document.querySelector("#calculator-compression [data-limit] dd .converted").textContent`)
	}
	for model, want := range map[string]string{"": "", "medlar-245": d.words.Fill("limit.min", "min", "94.27\u00a0psi") + " = "} {
		b.choose(model)
		b.chooseSystem(unit.Metric)
		if got := text(); got != "" {
			t.Errorf("model %q, metric: %q", model, got)
		}
		b.chooseSystem(unit.Inch)
		if got := text(); got != want {
			t.Errorf("model %q, inch: %q, want %q", model, got, want)
		}
	}
}
