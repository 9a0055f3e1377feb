package phone

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"path"
	"regexp"
	"strings"
	"sync"
	"testing"

	"benchleaf/calc"
	"benchleaf/calc/run"
	"benchleaf/render/handbook"
)

// Budgets in bytes after gzip -9. A first flight of TCP carries some 14,600
// with headers (RFC 6928, ten segments of 1,460 bytes).
const (
	finderBudget   = 14000 // all that the first page loads
	blockingBudget = 14000 // a procedure, which has its style in it
	pageBudget     = 24000 // all that a page loads before it is usable
	moduleBudget   = 2500  // a calculator's module, not compressed
	requestBudget  = 2     // files until the page is usable: the page and its script
)

// rangeScript comes before a page's script where values depend on the serial number, which is one request more.
var rangeScript = regexp.MustCompile(`^assets/range-\w+\.js$`)

// lateScripts load last and hold nothing that a page needs: the edition's name,
// the record of a job, with the stopwatch, for which any watch will do, the sheet of one that is kept, plots, whose tables stand in the page, pictures at large, self-checks, whose
// answers open without it, the day by which a sheet is looked at again, and the index of the search, which grows with the handbook.
var lateScripts = regexp.MustCompile(`^assets/(edition|(job|record|bar|plot|picture|check|due)-\w+|search/[-\w]+)\.js$`)

// packed are sizes by digest: pages share their scripts.
var packed sync.Map

func gzipped(data []byte) int {
	key := sha256.Sum256(data)
	if n, ok := packed.Load(key); ok {
		return n.(int)
	}
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression)
	_, _ = z.Write(data)
	_ = z.Close()
	packed.Store(key, b.Len())
	return b.Len()
}

func TestWeights(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	t.Logf("%-40s %7s %7s %7s %7s", "gzip -9, bytes", "HTML", "style", "script", "all") // the style is part of the HTML
	for _, p := range d.pages {
		data := d.read(t, p)
		root := parse(t, data)
		page, style, script, late, requests := gzipped(data), gzipped([]byte(styleOf(t, p, root))), 0, 0, 1
		for n := range root.Descendants() {
			switch {
			case n.Data == "link" && attribute(n, "rel") == "stylesheet" && attribute(n, "media") != "print":
				t.Errorf("%s waits for a style", p)
			case n.Data == "script" && attribute(n, "src") != "":
				file := path.Join(path.Dir(p), attribute(n, "src"))
				if lateScripts.MatchString(file) {
					late += gzipped(d.read(t, file))
					continue
				}
				script += gzipped(d.read(t, file))
				if !rangeScript.MatchString(file) {
					requests++
				}
			}
		}
		if own := path.Base(p) == handbook.JobsFile; (script == 0) != own || late == 0 { // its script is weighed with the page
			t.Errorf("%s has a script less", p)
		}
		all := page + script
		t.Logf("%-40s %7d %7d %7d %7d", p, page, style, script, all)
		if strings.Contains(p, "/procedures/") && page > blockingBudget {
			t.Errorf("%s with its style has %d bytes, at most %d", p, page, blockingBudget)
		}
		if all > pageBudget {
			t.Errorf("%s has %d bytes, at most %d", p, all, pageBudget)
		}
		if strings.HasSuffix("/"+p, "/index.html") && all+late > finderBudget {
			t.Errorf("%s has %d bytes with all it loads, at most %d", p, all+late, finderBudget)
		}
		if requests > requestBudget {
			t.Errorf("%s makes %d requests, at most %d", p, requests, requestBudget)
		}
	}
}

// TestModules takes the calculators' modules out of the pages: small, without
// imports, and they give the numbers of the Go that they were made from.
func TestModules(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	sizes := map[string]int{}
	for _, p := range d.pages {
		for n := range parse(t, d.read(t, p)).Descendants() {
			if n.Data != "script" || attribute(n, "type") != "application/wasm" {
				continue
			}
			name := attribute(n.Parent, "data-calculator")
			c := d.calculator(p, attribute(n.Parent, "id"))
			if c == nil {
				t.Fatalf("%s: there is no calculator %q", p, name)
			}
			module, err := hex.DecodeString(n.FirstChild.Data)
			if err != nil {
				t.Fatalf("%s: %s: %v", p, name, err)
			}
			if sizes[name] = len(module); len(module) > moduleBudget {
				t.Errorf("%s: %s has %d bytes, at most %d", p, name, len(module), moduleBudget)
			}
			if imports(module) {
				t.Errorf("%s: %s has imports", p, name)
			}
			instance, err := run.Load(module) // asks for run
			if err != nil {
				t.Fatalf("%s: %s: %v", p, name, err)
			}
			got, err := instance.Call(c.Calc.Starts())
			if err != nil {
				t.Fatalf("%s: %s: %v", p, name, err)
			}
			want, err := c.Module.Run(c.Calc.Starts())
			if err != nil {
				t.Fatalf("%s: %s: %v", p, name, err)
			}
			if !c.Calc.Own() {
				want = c.Calc.Native(c.Calc.Starts())
			}
			if !same(got, want) {
				t.Errorf("%s: %s gives %v, want %v", p, name, got, want)
			}
			_ = instance.Close()
		}
	}
	for _, c := range calc.All() {
		if sizes[c.Name] == 0 {
			t.Errorf("the demo does not use %s", c.Name)
		}
		t.Logf("%-20s %5d bytes", c.Name, sizes[c.Name])
	}
}

// calculator finds a calculator by its page's file and its anchor, or nil.
func (d *demo) calculator(file, id string) *handbook.Calculator {
	for _, p := range d.book.Pages {
		for _, c := range p.Calculators {
			if p.Path == file && c.ID == id {
				return c
			}
		}
	}
	return nil
}

// imports tells whether a module has an import section, number 2.
// Source: WebAssembly Core Specification 2.0, 5.5.
func imports(module []byte) bool {
	for rest := module[8:]; len(rest) > 0; {
		id := rest[0]
		size, n := uint32(0), 1
		for shift := 0; ; shift += 7 {
			b := rest[n]
			size |= uint32(b&0x7f) << shift
			n++
			if b < 0x80 {
				break
			}
		}
		if id == 2 {
			return true
		}
		rest = rest[n+int(size):]
	}
	return false
}
