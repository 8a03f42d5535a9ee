package demo

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestPlucksAreWhereTheSoundBegins finds the attack of every pluck that stands
// alone in the sound and compares it with the truth.
func TestPlucksAreWhereTheSoundBegins(t *testing.T) {
	d := playDay(Options{})
	strings, _ := d.record.render(int(d.recordS*sampleRate), rand.New(rand.NewPCG(1, 1)))
	const (
		window      = sampleRate / 400 // 2.5 ms
		toleranceMS = 2.5              // the window's own length
	)
	energy := func(from int) float64 { // of the differences, where attacks stand out
		sum := 1e-9
		for i := from; i < from+window; i++ {
			v := strings[i] - strings[i-1]
			sum += v * v
		}
		return sum
	}
	alone, found := 0, 0
	for i, p := range d.record.plucks {
		if i > 0 && p.at-d.record.plucks[i-1].at < 0.05 || i+1 < len(d.record.plucks) && d.record.plucks[i+1].at-p.at < 0.05 {
			continue
		}
		alone++
		best, bestRise := 0.0, 0.0
		for ms := -20.0; ms <= 20; ms += 0.25 {
			at := int((p.at + ms/1000) * sampleRate)
			if rise := energy(at) / energy(at-window); rise > bestRise {
				best, bestRise = ms, rise
			}
		}
		if math.Abs(best) <= toleranceMS {
			found++
		}
	}
	if alone < 100 || float64(found) < 0.97*float64(alone) { // a soft pluck can drown in the ringing of the strings before
		t.Errorf("%d of %d plucks that stand alone begin where the truth says", found, alone)
	}
}

// TestStringsAreInTune compares a string's period with its note.
func TestStringsAreInTune(t *testing.T) {
	const toleranceCents = 3 // less than the 5 or so that an ear can tell (common practice)
	for s := range openStrings {
		for _, fret := range []int{0, 3, 12} {
			x := make([]float64, sampleRate*2)
			p := pluck{string: s, fret: fret, force: 0.7}
			addPluck(x, p, 2, rand.New(rand.NewPCG(7, uint64(s))))
			want := sampleRate / midiHz(float64(p.midi()))
			got := period(x[sampleRate/2:], want)
			if cents := 1200 * math.Log2(want/got); math.Abs(cents) > toleranceCents {
				t.Errorf("string %d fret %d: %.1f cents off", s, fret, cents)
			}
		}
	}
}

// period finds the lag near guess at which x repeats best, over many periods.
func period(x []float64, guess float64) float64 {
	many := math.Floor(float64(sampleRate) / 4 / guess)
	corr := func(lag int) float64 {
		sum := 0.0
		for i := range sampleRate / 2 {
			sum += x[i] * x[i+lag]
		}
		return sum
	}
	best, at := math.Inf(-1), 0
	for lag := int(many*guess - 0.3*guess); lag < int(many*guess+0.3*guess); lag++ {
		if c := corr(lag); c > best {
			best, at = c, lag
		}
	}
	a, b, c := corr(at-1), corr(at), corr(at+1)
	return (float64(at) + 0.5*(a-c)/(a-2*b+c)) / many
}

// TestSoundTakesItsTime: the camera hears a click after the way through the air.
func TestSoundTakesItsTime(t *testing.T) {
	x := make([]float64, sampleRate)
	x[sampleRate/2] = 1
	for _, metres := range []float64{0.5, 3.43} {
		left, _ := atCamera(x, placement{metres: metres, rt60: 0.5, noiseDB: 80, levelDB: -20}, rand.New(rand.NewPCG(3, 3)))
		first := 0
		for math.Abs(float64(left[first])) < 0.02 {
			first++
		}
		want := 0.5 + metres/speedOfSound
		if got := float64(first) / sampleRate; math.Abs(got-want) > 0.0002 {
			t.Errorf("%.2f m away: heard at %.4f s, want %.4f", metres, got, want)
		}
	}
}

// TestHandsMeetTheStrings: at every pluck the finger that plucks is at its
// string, and the mouth is open in the middle of every syllable.
func TestHandsMeetTheStrings(t *testing.T) {
	const toleranceM = 0.0015 // a seventh of the way to the next string
	d := playDay(Options{})
	for i := range d.takes {
		pf := d.takes[i].perf
		h := newHands(pf)
		missed := 0
		for _, p := range pf.plucks {
			hand := h.pluckingAt(p.at)
			tip := hand.tip[fingerOf(p.string)]
			if p.strum != 0 {
				tip = hand.tip[1]
			}
			if math.Abs(tip.y-stringV(p.string, pluckU)) > toleranceM {
				missed++
			}
		}
		// A thumb or finger cannot be at two strings within a few milliseconds, and
		// where strumming and picking meet the hand is on its way.
		if float64(missed) > 0.03*float64(len(pf.plucks)) {
			t.Errorf("%s: at %d of %d plucks the finger is not at the string", d.takes[i].plan.file, missed, len(pf.plucks))
		}
		for _, s := range pf.syllables {
			if s.seconds < 0.15 {
				continue
			}
			if open, _ := mouthAt(pf.syllables, s.at+s.seconds/2); open < 0.1 {
				t.Errorf("%s: mouth open by %.2f while singing %q at %.2f s", d.takes[i].plan.file, open, s.text, s.at)
			}
		}
	}
}
