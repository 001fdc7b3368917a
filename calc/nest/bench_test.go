//go:build unix

package nest

import (
	"flag"
	"syscall"
	"testing"
	"time"
)

var (
	searchFor = flag.Duration("search", 2*time.Second, "how long the benchmark searches each public instance")
	starts    = flag.Int("starts", 2, "how many searches run side by side in it")
)

// cpuSeconds is the processor time that this process has had.
func cpuSeconds(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano()).Seconds()
}

// BenchmarkStrip packs the public instances: density in per cent, how many points that lies below the best
// published one, and how many cores it had on average.
func BenchmarkStrip(b *testing.B) {
	for _, row := range published {
		b.Run(row.name, func(b *testing.B) {
			job := instance(b, row.name)
			for b.Loop() {
				begin, cpu := time.Now(), cpuSeconds(b)
				l, err := Strip(job, Effort{Steps: 1 << 60, Starts: *starts, Random: 1, Spent: func() float64 { return time.Since(begin).Seconds() / searchFor.Seconds() }})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(density(job, l), "density_%")
				b.ReportMetric(row.best-density(job, l), "below_best")
				b.ReportMetric((cpuSeconds(b)-cpu)/time.Since(begin).Seconds(), "cores")
				b.ReportMetric(float64(l.Steps), "tries")
				b.ReportMetric(0, "ns/op")
			}
		})
	}
}
