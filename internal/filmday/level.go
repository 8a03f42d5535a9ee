package filmday

import (
	"math"
	"slices"
)

// loudDB returns the level of what plays: the mean power of the 50 ms blocks
// that lie within 30 dB of the loud ones, in dB re full scale.
func loudDB(x []float32) float64 {
	const block = Rate / 20
	var power []float64
	for i := 0; i+block <= len(x); i += block {
		var sum float64
		for _, v := range x[i : i+block] {
			sum += float64(v) * float64(v)
		}
		power = append(power, sum/block)
	}
	if len(power) == 0 {
		return math.Inf(-1)
	}
	slices.Sort(power)
	limit := power[len(power)*19/20] / 1000
	var sum, n float64
	for _, p := range power {
		if p >= limit {
			sum, n = sum+p, n+1
		}
	}
	return 10 * math.Log10(sum/n)
}

func scale(x []float32, db float64) {
	g := float32(math.Pow(10, db/20))
	for i := range x {
		x[i] *= g
	}
}

// toLevel brings what plays to a level; silence stays silence.
func toLevel(x []float32, db float64) {
	if now := loudDB(x); !math.IsInf(now, 0) && !math.IsNaN(now) {
		scale(x, db-now)
	}
}

// mixIn adds y to x, so many dB louder than what plays in x, or than -20 dB
// where nothing does.
func mixIn(x, y []float32, db float64) {
	level := loudDB(x)
	if math.IsInf(level, 0) || math.IsNaN(level) {
		level = -20
	}
	toLevel(y, level+db)
	for i, v := range y {
		x[i] += v
	}
}

// compress lowers what is louder than a threshold by up to so many dB.
func compress(x []float32, thresholdDB, mostDB, attack, release float64) {
	if mostDB <= 0 {
		return
	}
	up, down := 1-math.Exp(-1/(attack*Rate)), 1-math.Exp(-1/(release*Rate))
	env, g := 1e-6, 1.0
	for i, v := range x {
		if p := float64(v) * float64(v); p > env {
			env += (p - env) * up
		} else {
			env += (p - env) * down
		}
		if i%16 == 0 {
			over := 10*math.Log10(env+1e-12) - thresholdDB
			g = math.Pow(10, -math.Min(math.Max(0, over*0.6), mostDB)/20)
		}
		x[i] = float32(float64(v) * g)
	}
}

// limit pushes x up by so many dB under a soft ceiling just below full scale.
func limit(x []float32, db float64) {
	g := math.Pow(10, db/20)
	for i, v := range x {
		x[i] = float32(0.98 * math.Tanh(g*float64(v)/0.98))
	}
}

func fade(x []float32, in, out float64) {
	n := min(int(in*Rate), len(x))
	for i := range n {
		x[i] *= float32(i) / float32(n)
	}
	n = min(int(out*Rate), len(x))
	for i := range n {
		x[len(x)-1-i] *= float32(i) / float32(n)
	}
}
