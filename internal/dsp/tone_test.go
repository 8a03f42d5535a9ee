package dsp

import (
	"context"
	"math"
	"slices"
	"testing"
)

// tone returns seconds of a sine at hz.
func tone(hz, amplitude, seconds float64) Slice {
	x := make([]float32, int(seconds*AnalysisRate))
	for i := range x {
		x[i] = float32(amplitude * math.Sin(2*math.Pi*hz*float64(i)/AnalysisRate))
	}
	return Slice{AnalysisRate, x}
}

func topOf(row []float32) int {
	best := 0
	for i, v := range row {
		if v > row[best] {
			best = i
		}
	}
	return best
}

// ISO 16: A4 is 440 Hz, and A is pitch class 9 counted from C = 0.
func TestChromaOfA440LandsInBin9(t *testing.T) {
	notes, err := Semitones(context.Background(), tone(440, 0.5, 2), 4096, 50, 0.5, 1.5, 0)
	if err != nil {
		t.Fatal(err)
	}
	if notes.Rows() != 50 || notes.First != 25 {
		t.Fatalf("%d rows from %d, want 50 from 25", notes.Rows(), notes.First)
	}
	chroma := FoldChroma(notes, 0)
	for i := range chroma.Rows() {
		row := chroma.Row(i)
		if topOf(row) != 9 || row[9] < 0.99 {
			t.Fatalf("row %d: %v, want nearly all in bin 9", i, row)
		}
	}
	if two := FoldTwoPart(notes, 0).Row(0); topOf(two) != 12+9 {
		t.Errorf("two-part fold puts A4 in %d, want the treble A, 21", topOf(two))
	}
	if lower := FoldChroma(notes, 2).Row(0); topOf(lower) != 7 {
		t.Errorf("raised by 2 folds to %d, want 7 (G)", topOf(lower))
	}
}

// Equal temperament from A4 = 440 Hz: the standard guitar strings and C4.
func TestMIDIHzHandbookValues(t *testing.T) {
	for note, want := range map[float64]float64{40: 82.4069, 45: 110, 50: 146.8324, 55: 195.9977, 59: 246.9417, 60: 261.6256, 64: 329.6276, 108: 4186.0090} {
		if got := MIDIHz(note); math.Abs(got-want) > 1e-4 { // the table has four decimals
			t.Errorf("note %g: %f Hz, want %f", note, got, want)
		}
	}
}

func TestSemitoneBankFollowsTuning(t *testing.T) {
	sharp := 440 * math.Exp2(35.0/1200)
	src := tone(sharp, 0.5, 1)
	at := func(cents float64) float32 {
		s, err := Semitones(context.Background(), src, 4096, 50, 0.4, 0.42, cents)
		if err != nil {
			t.Fatal(err)
		}
		return s.Row(0)[69-LowestNote]
	}
	if at(35) <= at(0) || at(35) <= at(70) {
		t.Errorf("35 cents sharp: power %g untuned, %g tuned, %g overtuned", at(0), at(35), at(70))
	}
}

// Full-scale sine on a bin centre: power 1 by definition of the scale.
func TestPowerFramesScaleAndTime(t *testing.T) {
	const size = 1024
	bin := 40
	src := tone(float64(bin)*AnalysisRate/size, 1, 1)
	var got []float32
	if err := PowerFrames(context.Background(), src, size, 100, 20, 5, func(_ int, p []float32) { got = append(got, p[bin]) }); err != nil {
		t.Fatal(err)
	}
	for i, p := range got {
		if math.Abs(float64(p)-1) > 1e-4 {
			t.Errorf("frame %d: power %g, want 1", i, p)
		}
	}
	click := Slice{AnalysisRate, make([]float32, AnalysisRate)}
	click.Samples[AnalysisRate/2] = 1
	best, top := -1, float32(0)
	err := PowerFrames(context.Background(), click, size, 200, 0, 200, func(i int, p []float32) {
		var sum float32
		for _, v := range p {
			sum += v
		}
		if sum > top {
			best, top = i, sum
		}
	})
	if err != nil || best != 100 {
		t.Errorf("click at 0.5 s is loudest in frame %d of 200 Hz (%v), want 100", best, err)
	}
}

func TestPowerFramesStopsWhenCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := PowerFrames(ctx, tone(440, 1, 1), 1024, 100, 0, 10, func(int, []float32) {}); err != context.Canceled {
		t.Errorf("got %v, want context.Canceled", err)
	}
}

func TestSubtractFloorRemovesHumKeepsNotes(t *testing.T) {
	s := NewSeries(50, 0, 2, 50*30)
	for i := range s.Rows() {
		s.Row(i)[0] = 4 // hum
		if i%100 < 40 { // a note sounding 40 % of the time over noise of 1
			s.Row(i)[1] = 20
		} else {
			s.Row(i)[1] = 1
		}
	}
	SubtractFloor(s)
	for i := range s.Rows() {
		want := float32(0)
		if i%100 < 40 {
			want = 20 - floorTimes
		}
		if s.Row(i)[0] != 0 || math.Abs(float64(s.Row(i)[1]-want)) > 1e-4 {
			t.Fatalf("row %d: %v, want [0 %g]", i, s.Row(i), want)
		}
	}
}

// The twin takes the percentile of each window by itself, where SubtractFloor
// looks at all (every fifth row: rows of 5 Hz are groups of one).
func TestSubtractFloorAgainstEachWindow(t *testing.T) {
	onBothPaths(t, func(t *testing.T) {
		for _, n := range []int{1, 7, 60, 333} {
			s := NewSeries(5, 0, 3, n)
			for i, v := range noise(len(s.Data), 6) {
				s.Data[i] = v * v
			}
			in := NewSeries(5, 0, 3, n)
			copy(in.Data, s.Data)
			SubtractFloor(s)
			for i := 0; i < n; i += 5 {
				for d := range 3 {
					var window []float32
					for j := max(0, i-50); j <= min(n-1, i+50); j++ {
						window = append(window, in.Row(j)[d])
					}
					want := max(0, in.Row(i)[d]-floorTimes*Quantile(window, floorQuantile))
					if got := s.Row(i)[d]; math.Abs(float64(got-want)) > 1e-5 {
						t.Fatalf("%d rows, row %d band %d: %g want %g", n, i, d, got, want)
					}
				}
			}
		}
	})
}

// The twin sorts what neighbours there are.
func TestNeighboursAgainstSorting(t *testing.T) {
	onBothPaths(t, func(t *testing.T) {
		n := newNeighbours(Notes)
		for i := range 50 {
			for d, v := range noise(Notes, uint64(i)) {
				n.in[d] = max(0, v)
			}
			for d, got := range n.above() {
				around := slices.Clone(n.in[max(0, d-6):min(Notes, d+7)])
				slices.Sort(around)
				if want := max(0, n.in[d]-around[len(around)/2]); got != want {
					t.Fatalf("row %d note %d: %g want %g", i, d, got, want)
				}
			}
		}
	})
}

func TestFluxStandsAtTheAttackAndDoesNotDependOnTheRange(t *testing.T) {
	ctx := context.Background()
	src := Slice{AnalysisRate, noise(40*AnalysisRate, 3)}
	for i := range src.Samples {
		src.Samples[i] *= 0.001
	}
	attacks := []float64{15.2, 17.05, 19.5}
	for _, a := range attacks {
		for i := range AnalysisRate / 2 {
			at := int(a*AnalysisRate) + i
			src.Samples[at] += float32(0.3 * math.Exp(-float64(i)/4000) * math.Sin(2*math.Pi*440*float64(i)/AnalysisRate))
		}
	}
	pitch, err := PitchFlux(ctx, src, 0, 40, 0, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	band, err := BandFlux(ctx, src, 12, 0, 40, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range attacks {
		best, top := 0.0, float32(0)
		for i := range pitch.Rows() {
			if v := pitch.Row(i)[21]; math.Abs(pitch.Time(i)-a) < 0.3 && v > top {
				best, top = pitch.Time(i), v
			}
		}
		// A 2048-sample frame is 93 ms long; the rise of its logarithm is
		// steepest a little before the attack passes its middle.
		if math.Abs(best-a) > 0.020 {
			t.Errorf("attack at %.3f s: pitch flux peaks at %.3f", a, best)
		}
	}
	part, err := PitchFlux(ctx, src, 16, 20, 0, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	whole := pitch.Part(16, 20)
	if part.First != whole.First || part.Rows() != whole.Rows() {
		t.Fatalf("range asked alone has rows %d+%d, in the whole %d+%d", part.First, part.Rows(), whole.First, whole.Rows())
	}
	var diff, sum float64
	for i := range part.Data {
		diff += math.Abs(float64(part.Data[i] - whole.Data[i]))
		sum += math.Abs(float64(whole.Data[i]))
	}
	if diff > 0.05*sum { // floors are looked at once a second, on another grid
		t.Errorf("range asked alone differs by %.3f of its sum", diff/sum)
	}
	if band.Rows() != 8000 || band.Dim != 12 {
		t.Errorf("band flux %d x %d, want 8000 x 12", band.Rows(), band.Dim)
	}
}
