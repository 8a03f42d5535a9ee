package checks

import (
	"math"
	"slices"
	"testing"

	"takeweave/internal/captions"
	"takeweave/internal/film"
	"takeweave/internal/loudness"
)

const testHz = 48000

// tone is a stereo sine of 997 Hz that sounds from one time to another.
func tone(seconds, from, to, levelDBFS float64) []float32 {
	out := make([]float32, 0, int(seconds*testHz)*2)
	a := math.Pow(10, levelDBFS/20)
	for i := range int(seconds * testHz) {
		var x float32
		if t := float64(i) / testHz; t >= from && t < to {
			x = float32(a * math.Sin(2*math.Pi*997*t))
		}
		out = append(out, x, x)
	}
	return out
}

func TestSoundReport(t *testing.T) {
	peaky := tone(20, 0, 20, -14)
	for i := range 48 { // a click of fs/4 between its samples at 8 s
		v := float32(1.2 * math.Sin(math.Pi/2*float64(i)+math.Pi/4))
		peaky[2*(8*testHz+i)] = v
	}
	for _, c := range []struct {
		name       string
		samples    []float32
		want       []Kind
		first, end film.Frames // of the first finding
	}{
		{"clean", tone(20, 0.5, 19, -13.8), nil, 0, 0},
		{"a true peak over", peaky, []Kind{TruePeak}, 200, 201},
		{"too quiet", tone(20, 0, 20, -20), []Kind{Loudness}, 0, 500},
		{"no sound", tone(20, 0, 0, -20), []Kind{StartSilence, Loudness}, 0, 500},
		{"late start", tone(20, 3, 20, -13.8), []Kind{StartSilence}, 0, 75},
		{"early end", tone(20, 0, 15, -13.8), []Kind{EndSilence}, 375, 500},
		{"short", tone(19.8, 0, 20, -14), []Kind{Length}, 495, 500},
		{"padded by the encoder", tone(20.04, 0, 20, -14), nil, 0, 0},
	} {
		s, err := NewSound(testHz, 2)
		if err != nil {
			t.Fatal(err)
		}
		for part := range slices.Chunk(c.samples, 9998) {
			s.Add(part)
		}
		r := s.Report(at25, 500, loudness.Web, Usual)
		var got []Kind
		for _, f := range r.Findings {
			got = append(got, f.Kind)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %+v, want %v", c.name, r.Findings, c.want)
			continue
		}
		if len(got) > 0 && (r.Findings[0].First != c.first || r.Findings[0].End < c.end || r.Findings[0].End > c.end+1) {
			t.Errorf("%s: %+v, want frames %d to %d", c.name, r.Findings[0], c.first, c.end)
		}
	}
}

func TestOfCaptions(t *testing.T) {
	fast := []captions.Caption{
		{First: 0, End: 50, Rows: []string{"The harbour lamps"}},
		{First: 100, End: 150, Rows: []string{"The harbour lamps are low", "and turning in fogs."}}, // 46 in 2 s
	}
	r := OfCaptions(fast, at25, captions.Usual, nil)
	if len(r.Findings) != 1 || r.Findings[0].First != 100 || r.Findings[0].End != 150 || math.Abs(r.Findings[0].Number-23) > 0.1 || len(r.NotChecked) != 1 {
		t.Errorf("%+v", r)
	}
	if r := OfCaptions(fast[:1], at25, captions.Usual, []captions.Seen{}); len(r.Findings) != 0 || len(r.NotChecked) != 0 {
		t.Errorf("%+v", r)
	}
}
