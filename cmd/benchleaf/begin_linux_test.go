package main

import (
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// TestKilledBegin kills the beginning of a page at many moments: the page is there whole, or not at all.
func TestKilledBegin(t *testing.T) {
	if testing.Short() {
		t.Skip("a killed process tells nothing; TestBegin begins one of each")
	}
	begin := func() *exec.Cmd {
		c := exec.Command(os.Args[0], "begin", "-title", "Coil", "page", "coil")
		c.Env = append(os.Environ(), asProgram+"=1")
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		return c
	}
	if status, _, errs := try(t, good, "audit"); status != statusDone {
		t.Fatal(errs)
	}
	from := time.Now()
	if err := begin().Wait(); err != nil {
		t.Fatal(err)
	}
	took := time.Since(from)
	pages, err := filepath.Glob("content/en/*/coil.md")
	if err != nil || len(pages) != 1 {
		t.Fatalf("%q, %v", pages, err)
	}
	whole, err := os.ReadFile(pages[0])
	if err != nil || len(whole) < 100 {
		t.Fatalf("%q, %v", whole, err)
	}
	random := rand.New(rand.NewPCG(7, 8))
	for range 40 {
		_ = os.Remove(pages[0])
		c := begin()
		time.Sleep(took/2 + time.Duration(random.Int64N(int64(took)))) // whenever it is: the outcome is one of two
		_ = c.Process.Kill()
		_ = c.Wait()
		if text, err := os.ReadFile(pages[0]); err == nil && string(text) != string(whole) {
			t.Fatalf("killed, it left %d bytes of %d", len(text), len(whole))
		}
	}
}
