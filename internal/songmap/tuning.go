package songmap

import (
	"context"
	"math"

	"takeweave/internal/dsp"
)

// tuning returns how many cents the record lies off A4 = 440 Hz, -50..50: the
// circular mean over its spectral peaks from 110 to 1600 Hz, a louder peak
// weighing more. 0 when they agree on nothing.
func tuning(ctx context.Context, src dsp.Source) (float64, error) {
	const (
		size  = 8192
		agree = 0.1 // of the mean direction; noise gives under 0.03, instruments over 0.3
	)
	hz := 2 * float64(src.Rate()) / size
	binHz := float64(src.Rate()) / size
	lo, hi := int(110/binHz), int(1600/binHz)
	var x, y, total float64
	err := dsp.PowerFrames(ctx, src, size, hz, 0, int(dsp.Seconds(src)*hz), func(_ int, power []float32) {
		var mean float64
		for _, p := range power[lo:hi] {
			mean += float64(p) / float64(hi-lo)
		}
		for k := lo; k < hi; k++ {
			p := float64(power[k])
			if power[k] <= power[k-1] || power[k] < power[k+1] || p < 3*mean+1e-13 {
				continue
			}
			db := func(v float32) float64 { return math.Log(float64(v) + 1e-20) }
			off, _ := dsp.Parabola(db(power[k-1]), db(power[k]), db(power[k+1]))
			note := 69 + 12*math.Log2((float64(k)+off)*binHz/dsp.MIDIHz(69))
			w := math.Log(p / (mean + 1e-14))
			s, c := math.Sincos(2 * math.Pi * note)
			x, y, total = x+w*c, y+w*s, total+w
		}
	})
	if err != nil || total == 0 || math.Hypot(x, y) < agree*total {
		return 0, err
	}
	return math.Atan2(y, x) / (2 * math.Pi) * 100, nil
}
