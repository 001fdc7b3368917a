package nest

import (
	"flag"
	"testing"
	"time"
)

var forHow = flag.Duration("for", 5*time.Second, "how long each public instance is searched in the benchmark")

func BenchmarkStrip(b *testing.B) {
	for _, row := range published {
		b.Run(row.name, func(b *testing.B) {
			job := instance(b, row.name)
			for b.Loop() {
				end := time.Now().Add(*forHow)
				l, err := Strip(job, Effort{Steps: 1 << 60, Starts: 1, Random: 1, Stop: func() bool { return time.Now().After(end) }})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(density(job, l), "density_%")
				b.ReportMetric(row.best-density(job, l), "below_best")
				b.ReportMetric(float64(l.Steps)/forHow.Seconds(), "tries/s")
			}
		})
	}
}
