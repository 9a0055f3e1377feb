package page

import (
	"strings"
	"testing"
)

// The phone keeps what stands on the machine, and says how it is put back: the
// page's data has the words of each setting that the procedure names.
func TestSettingsOnThePhone(t *testing.T) {
	out := renderAll(t, sourceOf(t, "testdata/repair.txtar"))
	for page, want := range map[string]string{
		"en/heater.html":     `"settings":{"fuse-out":["fuse F2 out","Put F2 back.","cold"],"lamp-fitted":["lamp at X3","Take the lamp off and mate X3."]}`,
		"es/calentador.html": `"settings":{"fuse-out":["fusible F2 fuera","Vuelva a poner F2.","cold"]}`,
	} {
		if html := string(out[page].HTML); !strings.Contains(html, want) {
			_, data, _ := strings.Cut(html, `id="page-data">`)
			t.Errorf("%s: %s", page, data)
		}
	}
}
