package loudness

import (
	"fmt"
	"math"
	"testing"
)

// toleranceLU is what the tables of [TECH3341] allow.
const toleranceLU = 0.1

func repeat(n int, parts ...part) []part {
	var out []part
	for range n {
		out = append(out, parts...)
	}
	return out
}

// Source: [TECH3341], table 1, cases 1 to 6. Cases 7 and 8 are recordings that
// cannot be made.
func TestIntegratedCases(t *testing.T) {
	five := part{20, []float64{-28, -28, -24, -30, -30}}
	for _, c := range []struct {
		number   int
		channels int
		want     float64
		parts    []part
	}{
		{1, 2, -23, []part{stereo(20, -23)}},
		{2, 2, -33, []part{stereo(20, -33)}},
		{3, 2, -23, []part{stereo(10, -36), stereo(60, -23), stereo(10, -36)}},
		{4, 2, -23, []part{stereo(10, -72), stereo(10, -36), stereo(60, -23), stereo(10, -36), stereo(10, -72)}},
		{5, 2, -23, []part{stereo(20, -26), stereo(20.1, -20), stereo(20, -26)}},
		{6, 5, -23, []part{five}},
	} {
		t.Run(fmt.Sprint(c.number), func(t *testing.T) {
			m := meterOf(t, testHz, c.channels, signal(testHz, c.channels, c.parts...))
			near(t, "integrated", m.Read().IntegratedLUFS, c.want, toleranceLU)
			if c.number <= 2 {
				near(t, "momentary", m.Momentary(), c.want, toleranceLU)
				near(t, "short-term", m.ShortTerm(), c.want, toleranceLU)
			}
		})
	}
}

// Source: [TECH3341], table 1, cases 9 and 12: constant once the window is full.
func TestSteadyCases(t *testing.T) {
	for _, c := range []struct {
		number int
		after  float64
		parts  []part
		now    func(*Meter) Level
	}{
		{9, 3, repeat(5, stereo(1.34, -20), stereo(1.66, -30)), (*Meter).ShortTerm},
		{12, 1, repeat(25, stereo(0.18, -20), stereo(0.22, -30)), (*Meter).Momentary},
	} {
		t.Run(fmt.Sprint(c.number), func(t *testing.T) {
			samples := signal(testHz, 2, c.parts...)
			m := meterOf(t, testHz, 2, nil)
			const piece = 2 * testHz / 100
			for i := 0; i+piece <= len(samples); i += piece {
				m.Add(samples[i : i+piece])
				if at := float64(i+piece) / 2 / testHz; at >= c.after {
					near(t, fmt.Sprintf("at %.2f s", at), c.now(m), -23, toleranceLU)
				}
			}
		})
	}
}

// Source: [TECH3341], table 1, cases 10, 11, 13 and 14. In the live cases the
// maximum grows by 1 LU with every segment.
func TestMaximumCases(t *testing.T) {
	short := func(r Reading) Level { return r.ShortTermMaxLUFS }
	momentary := func(r Reading) Level { return r.MomentaryMaxLUFS }
	for _, c := range []struct {
		number int
		live   bool
		max    func(Reading) Level
		parts  func(i float64) []part
	}{
		{10, false, short, func(i float64) []part { return []part{silence(i * 0.15), stereo(3, -23), silence(1)} }},
		{11, true, short, func(i float64) []part {
			return []part{silence(i * 0.15), stereo(3, -38+i), silence(3 - i*0.15)}
		}},
		{13, false, momentary, func(i float64) []part { return []part{silence(i * 0.02), stereo(0.4, -23), silence(1)} }},
		{14, true, momentary, func(i float64) []part {
			return []part{silence(i * 0.02), stereo(0.4, -38+i), silence(0.4 - i*0.02)}
		}},
	} {
		t.Run(fmt.Sprint(c.number), func(t *testing.T) {
			m := meterOf(t, testHz, 2, nil)
			for i := range 20 {
				want := -23.0
				if c.live {
					want = -38 + float64(i)
				} else {
					m = meterOf(t, testHz, 2, nil)
				}
				m.Add(signal(testHz, 2, c.parts(float64(i))...))
				near(t, fmt.Sprintf("segment %d", i), c.max(m.Read()), want, toleranceLU)
			}
		})
	}
}

// Source: [TECH3341], table 1, cases 15 to 19: tones whose samples miss their
// peaks, faded in and out over 10 ms.
func TestTruePeakCases(t *testing.T) {
	for _, c := range []struct {
		number    int
		per       float64 // samples per period
		amplitude float64
		phase     float64 // degrees
		want      float64
	}{
		{15, 4, 0.50, 0, -6},
		{16, 4, 0.50, 45, -6},
		{17, 6, 0.50, 60, -6},
		{18, 8, 0.50, 67.5, -6},
		{19, 4, 1.41, 45, 3},
	} {
		t.Run(fmt.Sprint(c.number), func(t *testing.T) {
			const n, fade = testHz / 2, testHz / 100
			samples := make([]float32, 0, 2*n)
			for i := range n {
				x := c.amplitude * math.Sin(2*math.Pi*float64(i)/c.per+c.phase*math.Pi/180)
				x *= min(1, float64(i)/fade, float64(n-1-i)/fade)
				samples = append(samples, float32(x), float32(x))
			}
			withinPeak(t, meterOf(t, testHz, 2, samples), c.want)
		})
	}
}

// withinPeak wants a true peak within what [TECH3341] allows: +0.2, -0.4 dB.
func withinPeak(t *testing.T, m *Meter, want float64) {
	t.Helper()
	if got := float64(m.Read().TruePeakDBTP); got > want+0.2 || got < want-0.4 {
		t.Errorf("true peak %.3f dBTP, want %.1f +0.2/-0.4", got, want)
	}
}

// Source: [TECH3341], table 1, cases 20 to 23: one period of fs/4 at full scale
// within fs/6 at half, made at four times the rate, low-passed and decimated from
// four places.
func TestTruePeakOfABurst(t *testing.T) {
	const n, before = 4 * 4800, 4 * 2400
	var phase float64
	fine := make([]float64, n)
	for i := range fine {
		step, amplitude := 1.0/(6*4), 0.5
		if i >= before && i < before+4*4 {
			step, amplitude = 1.0/(4*4), 1
		}
		fine[i] = amplitude * math.Sin(2*math.Pi*phase)
		phase += step
	}
	low := lowPassed(fine)
	for offset := range 4 {
		t.Run(fmt.Sprint(20+offset), func(t *testing.T) {
			var samples []float32
			for i := offset; i < n; i += 4 {
				samples = append(samples, float32(low[i]), float32(low[i]))
			}
			withinPeak(t, meterOf(t, testHz, 2, samples), 0)
		})
	}
}

// lowPassed removes what decimation by four would fold: a windowed sinc of 255
// taps, cut off a little below the new limit.
func lowPassed(x []float64) []float64 {
	const half, cutoff = 127, 0.1225 // of the sample rate
	out := make([]float64, len(x))
	for i := range x {
		for k := -half; k <= half; k++ {
			if i+k < 0 || i+k >= len(x) {
				continue
			}
			h := 2 * cutoff
			if k != 0 {
				h = math.Sin(2*math.Pi*cutoff*float64(k)) / (math.Pi * float64(k))
			}
			u := math.Pi * float64(k) / (half + 1)
			out[i] += h * (0.42 + 0.5*math.Cos(u) + 0.08*math.Cos(2*u)) * x[i+k] // Blackman
		}
	}
	return out
}

// Source: [TECH3342], table 1, cases 1 to 4, each ±1 LU. Cases 5 and 6 are
// recordings.
func TestRangeCases(t *testing.T) {
	for i, c := range []struct {
		levels []float64
		want   float64
	}{
		{[]float64{-20, -30}, 10},
		{[]float64{-20, -15}, 5},
		{[]float64{-40, -20}, 20},
		{[]float64{-50, -35, -20, -35, -50}, 15},
	} {
		t.Run(fmt.Sprint(i+1), func(t *testing.T) {
			var parts []part
			for _, l := range c.levels {
				parts = append(parts, stereo(20, l))
			}
			m := meterOf(t, testHz, 2, signal(testHz, 2, parts...))
			near(t, "range", m.Read().RangeLU, c.want, 1)
			// The range of a signal that is played twice is that of the signal.
			m.Add(signal(testHz, 2, parts...))
			near(t, "range of it twice", m.Read().RangeLU, c.want, 1)
		})
	}
}
