package filmday

import (
	"math"
	"testing"
)

func sine(hz, seconds, level float64) []float32 {
	x := make([]float32, int(seconds*Rate))
	for i := range x {
		x[i] = float32(level * math.Sin(2*math.Pi*hz*float64(i)/Rate))
	}
	return x
}

func TestLoudnessLeavesOutPauses(t *testing.T) {
	x := append(sine(440, 2, 0.5), make([]float32, 10*Rate)...)
	// A sine of amplitude 0.5 has a power of 1/8.
	if got, want := loudDB(x), 10*math.Log10(0.125); math.Abs(got-want) > 0.15 { // the last block is not full
		t.Errorf("%.2f dB, want %.2f", got, want)
	}
}

// plain hears all and adds nothing but noise.
var plain = Camera{SNRDB: 120, LowHz: 1, HighHz: 20000, LevelDB: -20, Room: Room{RT60: 0.05, DirectDB: 40}}

func TestNoiseAsAsked(t *testing.T) {
	d := NewDay(3, 15)
	p := AnyPlan(chance(1), d.Record.Song)
	for _, c := range []Camera{{SNRDB: -5}, {SNRDB: 10, Pink: 1}, {SNRDB: 30, HumDB: 6, HumHz: 50, RumbleDB: 3}} {
		noisy := plain
		noisy.SNRDB, noisy.Pink, noisy.HumDB, noisy.HumHz, noisy.RumbleDB = c.SNRDB, c.Pink, c.HumDB, c.HumHz, c.RumbleDB
		// The level of what is heard is set last, by the playing alone.
		clean := d.Record.Perform(chance(2), p).Film(chance(3), plain).Sound.Samples
		heard := d.Record.Perform(chance(2), p).Film(chance(3), noisy).Sound.Samples
		rest := make([]float32, len(clean))
		for i := range rest {
			rest[i] = heard[i] - clean[i]
		}
		got := loudDB(clean) - 20*math.Log10(rms(rest))
		if math.Abs(got-c.SNRDB) > 0.5 { // what exceeds full scale is clipped
			t.Errorf("%+v: %.1f dB", c, got)
		}
	}
}

func TestHumIsThere(t *testing.T) {
	x := make([]float32, 4*Rate)
	Camera{HumDB: 12, HumHz: 60}.noise(chance(1), x, -30)
	for _, hz := range []float64{60, 120, 180} {
		if at, beside := strength(x, hz), strength(x, hz+25); at < 20*beside {
			t.Errorf("%v Hz: %v, beside %v", hz, at, beside)
		}
	}
}

// strength is the power at one frequency.
func strength(x []float32, hz float64) float64 {
	var re, im float64
	for i, v := range x {
		s, c := math.Sincos(2 * math.Pi * hz * float64(i) / Rate)
		re, im = re+c*float64(v), im+s*float64(v)
	}
	return (re*re + im*im) / float64(len(x)) / float64(len(x))
}

func TestClockDriftAsAsked(t *testing.T) {
	const hz, ppm = 1000.0, 100.0
	y := drift(sine(hz, 60, 1), ppm)
	// Every moment t of the sound is now at t*(1+ppm).
	for _, at := range []int{100, 30 * Rate, 59 * Rate} {
		var worst float64
		for i := at; i < at+50; i++ {
			want := math.Sin(2 * math.Pi * hz * float64(i) / Rate / (1 + ppm*1e-6))
			worst = math.Max(worst, math.Abs(float64(y[i])-want))
		}
		if worst > 0.005 { // a millisecond off would be 2
			t.Errorf("sample %d is off by %v", at, worst)
		}
	}
}

func TestBand(t *testing.T) {
	level := func(hz float64) float64 {
		x := sine(hz, 1, 1)
		band{200, 4000}.pass(x)
		return 20 * math.Log10(rms(x[Rate/2:])*math.Sqrt2)
	}
	if v := level(900); v < -2 {
		t.Errorf("900 Hz at %.1f dB", v)
	}
	if a, b := level(50), level(25); a > -20 || a-b < 9 || a-b > 13 {
		t.Errorf("50 Hz at %.1f dB, an octave lower %.1f: want 12 dB an octave", a, b)
	}
	if v := level(9500); v > -10 {
		t.Errorf("9500 Hz at %.1f dB", v)
	}
}

func TestGainLiftsWhatIsLow(t *testing.T) {
	x := append(sine(440, 4, 0.5), sine(440, 8, 0.05)...)
	gain(x, 0.01, 0.5)
	loud, low := rms(x[3*Rate:4*Rate]), rms(x[11*Rate:])
	if db := 20 * math.Log10(loud/low); db > 3 {
		t.Errorf("20 dB lower playing comes %.1f dB lower", db)
	}
	if just := rms(x[4*Rate : 4*Rate+Rate/20]); just > 0.5*low {
		t.Errorf("the gain comes up at once")
	}
}

func TestLimitStaysBelowFullScale(t *testing.T) {
	x := sine(440, 1, 3)
	limit(x, 20)
	for i, v := range x {
		if v > 1 || v < -1 {
			t.Fatalf("sample %d is %v", i, v)
		}
	}
}
