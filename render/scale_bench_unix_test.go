//go:build unix

package render

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"syscall"
	"testing"
	"time"
)

// TestYardstick is a process of its own: with a task it converts a folder, once, and is measured from
// outside.
func TestYardstick(t *testing.T) {
	in, out := os.Getenv("YARDSTICK_IN"), os.Getenv("YARDSTICK_OUT")
	switch os.Getenv("YARDSTICK") {
	case "":
		t.Skip("it is run by BenchmarkYardstick")
	case "floor":
		if err := floor(in, out); err != nil {
			t.Fatal(err)
		}
	case "compile":
		var before time.Duration
		result, err := Compile(context.Background(), in, out, Options{Pages: Pace, Progress: func(what string, _, _ int) {
			if what == Packing {
				before = spent(t)
			}
		}})
		if err != nil || result.Failed() {
			t.Fatal(err, result.Remarks)
		}
		fmt.Printf("packed in %d\n", spent(t)-before)
	}
}

// cost is what a process took.
type cost struct {
	cpu, wall time.Duration
	packing   time.Duration // of cpu, what compresses
	peak      int64         // bytes
}

func yardstick(b *testing.B, task, in, out string) cost {
	c := exec.Command(os.Args[0], "-test.run=^TestYardstick$")
	c.Env = append(os.Environ(), "YARDSTICK="+task, "YARDSTICK_IN="+in, "YARDSTICK_OUT="+out)
	began := time.Now()
	said, err := c.CombinedOutput()
	if err != nil {
		b.Fatalf("%s: %v\n%s", task, err, said)
	}
	var packing time.Duration
	_, _ = fmt.Sscanf(string(said), "packed in %d", &packing) // the floor does not
	used := c.ProcessState.SysUsage().(*syscall.Rusage)
	peak := used.Maxrss
	if runtime.GOOS == "linux" {
		peak <<= 10 // it is in KiB there
	}
	return cost{c.ProcessState.UserTime() + c.ProcessState.SystemTime(), time.Since(began), packing, peak}
}

// BenchmarkYardstick compiles handbooks of 100, 1,000 and 10,000 pages, without a cache, each in turn with
// the floor. It tells the median ratio of processor time, of that apart which packs take, and of wall time, the peak of memory,
// and how processor time grows from one size to the next: 1 is in line with the pages.
func BenchmarkYardstick(b *testing.B) {
	took := map[int]float64{} // processor time, by pages
	for _, pages := range []int{100, 1000, 10000} {
		b.Run(fmt.Sprint(pages), func(b *testing.B) {
			f := newFolder(b, yard(pages))
			var cpu, packing, wall, own []float64
			peak := int64(0)
			for i := range b.N {
				out := filepath.Join(b.TempDir(), fmt.Sprint(i))
				least := yardstick(b, "floor", f.dir, out+".floor")
				full := yardstick(b, "compile", f.dir, out)
				cpu = append(cpu, float64(full.cpu-full.packing)/float64(least.cpu))
				packing = append(packing, float64(full.packing)/float64(least.cpu))
				wall = append(wall, float64(full.wall)/float64(least.wall))
				own = append(own, full.cpu.Seconds())
				peak = max(peak, full.peak)
			}
			median := func(list []float64) float64 {
				slices.Sort(list)
				return list[len(list)/2]
			}
			b.ReportMetric(median(cpu), "cpu/floor")
			b.ReportMetric(median(packing), "packing/floor")
			b.ReportMetric(median(wall), "wall/floor")
			b.ReportMetric(float64(peak>>20), "peak-MiB")
			now := median(own)
			b.ReportMetric(now*1000/float64(pages), "cpu-ms/page")
			if took[pages] = now; took[pages/10] > 0 {
				b.ReportMetric(math.Log10(now/took[pages/10]), "exponent")
			}
		})
	}
}
