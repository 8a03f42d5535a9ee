package filmday

import (
	"math"
	"testing"
)

// The transform against its own definition [PrincenBradley1986].
func TestMDCTAgainstItsDefinition(t *testing.T) {
	const n = mdctHop
	r := chance(1)
	x, bins := make([]float32, 2*n), make([]float32, n)
	for i := range x {
		x[i] = float32(r.NormFloat64())
	}
	newMDCT().forward(bins, x)
	for k := 0; k < n; k += 37 {
		want := 0.0
		for i, v := range x {
			w := math.Sin(math.Pi * (float64(i) + 0.5) / (2 * n))
			want += w * float64(v) * math.Cos(math.Pi/n*(float64(i)+0.5+n/2)*(float64(k)+0.5))
		}
		if math.Abs(float64(bins[k])-want) > 1e-3 { // of some 30, in float32
			t.Fatalf("bin %d is %v, want %v", k, bins[k], want)
		}
	}
}

func TestNothingChangedComesBack(t *testing.T) {
	r := chance(2)
	x := make([]float32, 12345)
	for i := range x {
		x[i] = float32(r.NormFloat64())
	}
	for i, v := range throughMDCT(x, func([]float32) {}) {
		if math.Abs(float64(v-x[i])) > 1e-4 {
			t.Fatalf("sample %d is %v, want %v", i, v, x[i])
		}
	}
}

func TestCodecLosesMoreOfFewerBits(t *testing.T) {
	d := NewDay(4, 8)
	x := d.Record.Sound.Samples
	last := math.Inf(1)
	for _, kbps := range []float64{16, 48, 128} {
		y := Codec{kbps}.code(x)
		off := make([]float32, len(x))
		for i := range x {
			off[i] = y[i] - x[i]
		}
		db := 20 * math.Log10(rms(off)/rms(x))
		if !(db < last && db <= -3) {
			t.Errorf("%v kbit/s: the loss is %.1f dB re the sound, with fewer %.1f", kbps, db, last)
		}
		last = db
	}
}

// An attack after silence is heard a little before, as the rounding of its frame
// spreads, but not before the frame.
func TestCodecIsHeardBeforeAttacks(t *testing.T) {
	x := make([]float32, Rate)
	r := chance(3)
	at := Rate / 2
	for i := at; i < at+Rate/50; i++ {
		x[i] = float32(r.NormFloat64())
	}
	y := Codec{24}.code(x)
	if before := rms(y[at-100 : at]); !(before >= 1e-3) {
		t.Errorf("nothing before the attack: %v", before)
	}
	if early := rms(y[:at-2*mdctHop]); !(early <= 1e-6) {
		t.Errorf("something long before the attack: %v", early)
	}
}
