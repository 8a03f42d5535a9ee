package loudness

import "testing"

func BenchmarkMeter(b *testing.B) {
	samples := signal(testHz, 2, stereo(10, -20))
	for b.Loop() {
		m, _ := NewMeter(testHz, 2)
		m.Add(samples)
		m.Read()
	}
	b.ReportMetric(10*float64(b.N)/b.Elapsed().Seconds(), "x_realtime")
}
