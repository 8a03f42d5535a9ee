package loudness

import (
	"encoding/json"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"
)

// Source: [BS1770], Annex 1, tables 1 and 2.
func TestWeightingIsThatOfTheTables(t *testing.T) {
	const rounding = 1e-11 // the constants of the analogue filters were fitted to the tables
	s, h := shelf(48000), highPass(48000)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"b0", s.b0, 1.53512485958697},
		{"b1", s.b1, -2.69169618940638},
		{"b2", s.b2, 1.19839281085285},
		{"a1", s.a1, -1.69065929318241},
		{"a2", s.a2, 0.73248077421585},
		{"second a1", h.a1, -1.99004745483398},
		{"second a2", h.a2, 0.99007225036621},
	} {
		if math.Abs(c.got-c.want) > rounding {
			t.Errorf("%s is %.14f, want %.14f", c.name, c.got, c.want)
		}
	}
}

func (f biquad) gainDB(hz, rateHz float64) float64 {
	z := cmplx.Rect(1, -2*math.Pi*hz/rateHz)
	n := complex(f.b0, 0) + complex(f.b1, 0)*z + complex(f.b2, 0)*z*z
	d := 1 + complex(f.a1, 0)*z + complex(f.a2, 0)*z*z
	return 20 * math.Log10(cmplx.Abs(n/d))
}

// The response of the printed coefficients holds at every sample rate. Source:
// computed from [BS1770], Annex 1, tables 1 and 2.
func TestWeightingAtOtherRates(t *testing.T) {
	const within = 0.03 // dB; bilinear filters bend towards half the sample rate
	for _, rate := range []float64{22050, 32000, 44100, 48000, 88200, 96000, 192000} {
		s, h := shelf(rate), highPass(rate)
		for _, c := range []struct{ hz, want float64 }{
			{20, -13.2754},
			{25, -10.3928},
			{50, -3.9341},
			{100, -1.1335},
			{200, -0.2649},
			{500, 0.0425},
			{997, 0.6910},
			{1000, 0.6977},
			{2000, 3.0713},
			{4000, 3.9680},
			{8000, 4.0394},
		} {
			if got := s.gainDB(c.hz, rate) + h.gainDB(c.hz, rate); math.Abs(got-c.want) > within {
				t.Errorf("%g Hz at %g Hz: %.4f dB, want %.4f", c.hz, rate, got, c.want)
			}
		}
	}
}

// Source: [BS1770], Annex 1: a full-scale sine of 997 Hz in one front channel
// reads -3.01.
func TestFullScaleSine(t *testing.T) {
	for _, rate := range []int{22050, 44100, 48000, 96000} {
		for _, channels := range []int{1, 2} {
			samples := make([]float32, rate*2*channels)
			for i := range rate * 2 {
				samples[i*channels] = float32(math.Sin(2 * math.Pi * 997 * float64(i) / float64(rate)))
			}
			near(t, "integrated", meterOf(t, rate, channels, samples).Read().IntegratedLUFS, -3.01, 0.03)
		}
	}
}

// The true peak by the filter as printed, convolved the obvious way.
func TestTruePeakAgainstTheObviousWay(t *testing.T) {
	chance := rand.New(rand.NewPCG(5, 6))
	x := make([]float64, 500)
	var want float64
	m := peakMeter{between: true}
	for i := range x {
		x[i] = chance.NormFloat64()
		got := m.next(x[i])
		want = math.Abs(x[i])
		for _, phase := range phases {
			var y float64
			for k := range min(taps, i+1) {
				y += phase[k] * x[i-k]
			}
			want = max(want, math.Abs(y))
		}
		if math.Abs(got-want) > 1e-12 {
			t.Fatalf("sample %d: %.6f, want %.6f", i, got, want)
		}
	}
}

func TestPiecesDoNotMatter(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	samples := make([]float32, 2*44100*5)
	for i := range samples {
		samples[i] = float32(chance.NormFloat64() * 0.1)
	}
	whole := meterOf(t, 44100, 2, samples).Read()
	m := meterOf(t, 44100, 2, nil)
	for rest := samples; len(rest) > 0; {
		n := min(2*(1+chance.IntN(3000)), len(rest))
		m.Add(rest[:n])
		rest = rest[n:]
	}
	if got := m.Read(); got != whole {
		t.Errorf("in pieces %+v, whole %+v", got, whole)
	}
}

// The obvious way: every block cut from the weighted sound itself.
func TestAgainstTheObviousWay(t *testing.T) {
	const rate = 22050 // 220.5 samples in 10 ms
	chance := rand.New(rand.NewPCG(3, 4))
	samples := make([]float32, rate*12)
	for i := range samples {
		loud := 0.02 + 0.3*math.Pow(math.Sin(float64(i)/rate), 2)
		samples[i] = float32(chance.NormFloat64() * loud)
	}
	s, h := shelf(rate), highPass(rate)
	y := make([]float64, len(samples))
	for i, x := range samples {
		y[i] = h.next(s.next(float64(x)))
	}
	meansOf := func(seconds float64) []float64 {
		var out []float64
		for from := 0; ; from += rate / 10 {
			to := from + int(seconds*rate)
			if to > len(y) {
				return out
			}
			var sum float64
			for _, v := range y[from:to] {
				sum += v * v
			}
			out = append(out, sum/float64(to-from))
		}
	}
	got := meterOf(t, rate, 1, samples).Read()
	const rounding = 1e-9
	near(t, "integrated", got.IntegratedLUFS, float64(Integrated(meansOf(0.4))), rounding)
	near(t, "range", got.RangeLU, float64(Range(meansOf(3))), rounding)
	if highest := float64(lufs(slices.Max(meansOf(3)))); float64(got.ShortTermMaxLUFS) < highest-rounding {
		t.Errorf("short-term maximum %.3f, some window has %.3f", float64(got.ShortTermMaxLUFS), highest)
	}
}

func TestNothingToMeasure(t *testing.T) {
	r := meterOf(t, testHz, 2, make([]float32, 2*testHz*4)).Read()
	if !math.IsInf(float64(r.IntegratedLUFS), -1) || !math.IsInf(float64(r.TruePeakDBTP), -1) || !math.IsNaN(float64(r.RangeLU)) {
		t.Errorf("silence reads %+v", r)
	}
	short := meterOf(t, testHz, 2, make([]float32, 100)).Read()
	if !math.IsNaN(float64(short.IntegratedLUFS)) || !math.IsNaN(float64(short.MomentaryMaxLUFS)) {
		t.Errorf("2 ms read %+v", short)
	}
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var back Reading
	if err := json.Unmarshal(text, &back); err != nil || !math.IsNaN(float64(back.IntegratedLUFS)) || back.Seconds != r.Seconds {
		t.Errorf("%s is read back as %+v, %v", text, back, err)
	}
	if g := GainTo(back, Web); g.DB != 0 {
		t.Errorf("silence that was kept gets %+v", g)
	}
	for _, c := range [][2]int{{48000, 0}, {48000, 3}, {48000, 7}, {100, 2}} {
		if _, err := NewMeter(c[0], c[1]); err == nil {
			t.Errorf("%d Hz with %d channels is measured", c[0], c[1])
		}
	}
}

// A burst of fs/4 at 45 degrees lies 3 dB above its samples, at known places.
func TestPeaksOver(t *testing.T) {
	samples := make([]float32, 2*testHz*3)
	burst := func(atS float64) {
		for i := range 480 {
			x := float32(0.99 * math.Sin(math.Pi/2*float64(i)+math.Pi/4))
			samples[2*(int(atS*testHz)+i)+1] = x
		}
	}
	burst(0.5)
	burst(0.55)
	burst(2)
	m := meterOf(t, testHz, 2, samples)
	got := m.PeaksOver(-1)
	if len(got) != 2 {
		t.Fatalf("%d stretches, want 2: %+v", len(got), got)
	}
	const step = 0.011
	for i, want := range []Peak{{FromS: 0.5, ToS: 0.56}, {FromS: 2, ToS: 2.01}} {
		if math.Abs(got[i].FromS-want.FromS) > step || math.Abs(got[i].ToS-want.ToS) > step || got[i].DBTP < -1 {
			t.Errorf("stretch %d is %+v, want %+v", i, got[i], want)
		}
	}
	if r := m.Read(); math.Abs(r.TruePeakAtS-0.5) > 0.07 && math.Abs(r.TruePeakAtS-2) > step {
		t.Errorf("the true peak lies at %.2f s", r.TruePeakAtS)
	}
	if over := m.PeaksOver(6); len(over) != 0 {
		t.Errorf("above +6 dBTP: %+v", over)
	}
}

func TestGainTo(t *testing.T) {
	for _, c := range []struct {
		name         string
		lufs, peak   Level
		target       Target
		gain, wanted float64
		short        bool
	}{
		{"quieter", -9, -0.2, Web, -5, -5, false},
		{"louder with room", -20, -10, Web, 6, 6, false},
		{"louder without room", -20, -3, Web, 2, 6, true},
		{"peaks over although quiet enough", -23, 1, Broadcast, -2, 0, true},
		{"broadcast", -14, -1, Broadcast, -9, -9, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := GainTo(Reading{IntegratedLUFS: c.lufs, TruePeakDBTP: c.peak}, c.target)
			const rounding = 1e-9
			near(t, "gain", Level(g.DB), c.gain, rounding)
			near(t, "wanted gain", Level(g.WantedDB), c.wanted, rounding)
			if g.Short() != c.short || float64(g.DBTP) > c.target.MaxDBTP+rounding {
				t.Errorf("short %v, peak %.2f: %s", g.Short(), float64(g.DBTP), g.Words)
			}
		})
	}
	if g := GainTo(Reading{IntegratedLUFS: Level(math.Inf(-1))}, Web); g.DB != 0 || g.Short() {
		t.Errorf("silence gets %+v", g)
	}
}

func TestLevelsComeBackFromJSON(t *testing.T) {
	for _, l := range []Level{-23.4, 0, Level(math.NaN()), Level(math.Inf(-1))} {
		text, err := json.Marshal(Reading{IntegratedLUFS: l})
		if err != nil {
			t.Fatal(err)
		}
		var r Reading
		if err := json.Unmarshal(text, &r); err != nil {
			t.Fatal(err)
		}
		got, none := float64(r.IntegratedLUFS), math.IsNaN(float64(l)) || math.IsInf(float64(l), 0)
		if math.IsNaN(got) != none || !none && got != float64(l) {
			t.Errorf("%v came back as %v", l, got)
		}
	}
}
