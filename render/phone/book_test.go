package phone

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"benchleaf/render/handbook"
)

// The handbook of testdata has own calculators, chains, plots and meters, for
// readers of the metric system in English. Its twin has the same pages for
// readers of inches in a language with a decimal comma.
var (
	benchOnce = sync.OnceValues(func() (*demo, error) { return compile(filepath.Join("testdata", "bench"), "bench") })
	twinOnce  = sync.OnceValues(func() (*demo, error) {
		from, to := filepath.Join("testdata", "bench"), filepath.Join(scratch, "twin-source")
		if err := os.CopyFS(to, os.DirFS(from)); err != nil {
			return nil, err
		}
		if err := os.Rename(filepath.Join(to, "en"), filepath.Join(to, "es")); err != nil {
			return nil, err
		}
		front := filepath.Join(to, "handbook.yaml")
		text, err := os.ReadFile(front)
		if err != nil {
			return nil, err
		}
		text = bytes.Replace(text, []byte("languages: [en]"), []byte("languages: [es]"), 1)
		text = bytes.Replace(text, []byte("units: metric"), []byte("units: inch"), 1)
		if err := os.WriteFile(front, text, 0o600); err != nil {
			return nil, err
		}
		return compile(to, "twin")
	})
)

// benches returns the handbook and its twin.
func benches(t testing.TB) []*demo {
	t.Helper()
	var list []*demo
	for _, once := range []func() (*demo, error){benchOnce, twinOnce} {
		d, err := once()
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, d)
	}
	return list
}

// page returns a page by its key.
func (d *demo) page(t testing.TB, key string) *handbook.Page {
	t.Helper()
	for _, p := range d.book.Pages {
		if p.Key == key {
			return p
		}
	}
	t.Fatalf("there is no page %q", key)
	return nil
}

// calculatorOf returns a calculator of a page by its name.
func calculatorOf(p *handbook.Page, name string) *handbook.Calculator {
	return p.Calculators[slices.IndexFunc(p.Calculators, func(c *handbook.Calculator) bool { return c.Calc.Name == name })]
}
