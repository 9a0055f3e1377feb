package main

import (
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// TestSameAnywhere compiles a copy of a handbook, written in another order into a folder of
// another depth with times of long ago, in other time zones and languages of the machine, with
// other masks and numbers of workers: the bytes are the same.
func TestSameAnywhere(t *testing.T) {
	if status, _, errs := try(t, good, "compile", "-fresh", "-out", "whole"); status != statusDone {
		t.Fatal(errs)
	}
	want := within(t, "whole")
	for i, env := range [][]string{
		{"TZ=Pacific/Kiritimati", "LC_ALL=tr_TR.UTF-8", "LANG=tr_TR.UTF-8", "GOMAXPROCS=7"},
		{"TZ=America/Los_Angeles", "LC_ALL=C", "GOMAXPROCS=1"},
	} {
		parent := filepath.Join(t.TempDir(), "Ä b", "c", "d")
		names := slices.Sorted(maps.Keys(good))
		if i == 0 {
			slices.Reverse(names)
		}
		for _, name := range names {
			name, text := filepath.Join(parent, name), good[name]
			long := time.Unix(int64(i)*1_000_000_000, 0)
			for _, err := range []error{
				os.MkdirAll(filepath.Dir(name), 0o755), os.WriteFile(name, []byte(text), 0o644), os.Chtimes(name, long, long),
			} {
				if err != nil {
					t.Fatal(err)
				}
			}
		}
		out := filepath.Join(t.TempDir(), "x", "other")
		c := exec.Command("sh", "-c", `umask 0$3; exec "$0" compile -fresh -out "$1" "$2"`, os.Args[0], out, filepath.Join(parent, "content"), []string{"77", "0"}[i])
		c.Env = append(append(os.Environ(), env...), asProgram+"=1")
		if said, err := c.CombinedOutput(); err != nil {
			t.Fatalf("%v %s", err, said)
		}
		if got := within(t, out); !maps.Equal(got, want) {
			t.Errorf("%q makes something else", env)
		}
	}
}
