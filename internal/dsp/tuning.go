package dsp

import (
	"context"
	"math"
)

// Tuning returns how many cents the recording lies off equal temperament at
// A4 = 440 Hz, -50 to 50: the circular mean over the spectral peaks from 110 to 1600 Hz,
// each with the logarithm of how far it stands out. 0 when the peaks do not
// agree on any tuning (speech, noise).
func Tuning(ctx context.Context, src Source) (float64, error) {
	const (
		size      = 8192
		standsOut = 3.0 // power of a peak over the mean of the spectrum around
		agree     = 0.1 // length of the mean vector: white noise gives up to 0.04, chatter 0.03, guitar and voice in noise over 0.4
	)
	hz := float64(src.Rate()) / size * 2
	binHz := float64(src.Rate()) / size
	lo, hi := int(110/binHz), int(1600/binHz)
	var x, y, total float64
	err := LowPowerFrames(ctx, src, size, 4, hz, 0, int(Seconds(src)*hz), func(_ int, power []float32) {
		var mean float64
		for _, p := range power[lo:hi] {
			mean += float64(p)
		}
		mean = mean/float64(hi-lo) + 1e-14
		least := float32(standsOut * mean)
		for k := lo; k < hi; k++ {
			if power[k] < least || power[k] <= power[k-1] || power[k] < power[k+1] {
				continue
			}
			logOf := func(v float32) float64 { return math.Log(float64(v) + 1e-20) }
			off, _ := Parabola(logOf(power[k-1]), logOf(power[k]), logOf(power[k+1]))
			note := 69 + 12*math.Log2((float64(k)+off)*binHz/440)
			weight := math.Log(float64(power[k]) / mean)
			s, c := math.Sincos(2 * math.Pi * note)
			x, y, total = x+weight*c, y+weight*s, total+weight
		}
	})
	if err != nil || total == 0 || math.Hypot(x, y) < agree*total {
		return 0, err
	}
	return math.Atan2(y, x) / (2 * math.Pi) * 100, nil
}
