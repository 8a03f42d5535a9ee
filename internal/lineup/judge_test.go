package lineup

import (
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// stretchOf is a stretch of so many seconds, alike as said, whose pass time is the
// song time plus sway.
func stretchOf(seconds, attacks, harmony float64, elseBest float64, sway func(t float64) float64) laid {
	c, e := &curve{}, &evidence{}
	for i := range int(seconds/curveStep) + 1 {
		c.pass = append(c.pass, c.song(i)+sway(c.song(i)))
	}
	for i := range int(seconds/evidenceStep) + 1 {
		t := float64(i) * evidenceStep
		e.song, e.pass = append(e.song, t), append(e.pass, c.at(t))
		e.corr, e.near, e.treble, e.chroma = append(e.corr, attacks), append(e.near, attacks), append(e.treble, attacks), append(e.chroma, harmony)
		e.record, e.heard, e.fit = append(e.record, 1), append(e.heard, 1), append(e.fit, 1)
	}
	return laid{c, e, 0, seconds, elsewhere{attacks, elseBest}}
}

func even(float64) float64 { return 0 }

// soundOf is a recording in which something sounds for so many seconds, after as
// much room.
func soundOf(seconds float64) *Recording {
	r := &Recording{seconds: 2 * seconds, clarityDB: 10, loudNotes: 1}
	for i := range int(2 * seconds * notesHz) {
		level := float32(-60)
		if float64(i) >= seconds*notesHz {
			level = -20
		}
		r.levelDB = append(r.levelDB, level)
	}
	return r
}

// The same likeness means the song or not by what is as much alike elsewhere and
// by how much harmony is alike; between the two a pass is said to be near.
func TestJudgeComparesWithElsewhere(t *testing.T) {
	for _, c := range []struct {
		attacks, best, harmony, heard float64
		want                          film.Status
		says                          string
	}{
		{0.65, 0.40, 0.85, 60, film.Aligned, "played live"},
		{0.65, 0.64, 0.92, 60, film.Refused, "not this song"},
		{0.65, 0.55, 0.92, 60, film.Refused, "listen and decide"},
		{0.50, 0.30, 0.70, 60, film.Aligned, "played live"}, // the voice alone: little of the chords
		{0.50, 0.30, 0.90, 60, film.Refused, "not this song"},
		{0.65, 0.45, 0.85, 600, film.Refused, ""}, // a third of a minute in ten of something else
	} {
		seconds := 60.0
		if c.heard > 60 {
			seconds = 20
		}
		part := stretchOf(seconds, c.attacks, c.harmony, c.best, even)
		got := judge(&Recording{}, soundOf(c.heard), location{perFrame: 1, runnerUp: 0.2}, []laid{part})
		if got.Status != c.want || !strings.Contains(got.Reason, c.says) {
			t.Errorf("%+v: %s: %s", c, got.Status, got.Reason)
		}
	}
}

// A tempo that sways as a sine has a known slope, of which the median over a
// period is known; an even one is as even as any is held to be.
func TestUnevenness(t *testing.T) {
	if got := stretchOf(30, 0.7, 0.9, 0, even).unevenness(); got != bendLowest {
		t.Errorf("an even tempo sways by %v", got)
	}
	if got := stretchOf(4, 0.7, 0.9, 0, even).unevenness(); got != bendLowest {
		t.Errorf("a stretch too short to tell sways by %v", got)
	}
	const period, depth = 3.0, 0.08 // of six seconds just two, which so are even
	sway := func(x float64) float64 { return depth * period / (2 * math.Pi) * math.Sin(2*math.Pi*x/period) }
	got := stretchOf(66, 0.7, 0.9, 0, sway).unevenness()
	// The mean of the slope over one second is less than it by sin(x)/x; half of
	// the time a sine is beyond sin(45°) of its depth.
	x := math.Pi / period
	if want := depth * math.Sin(x) / x * math.Sqrt2 / 2; math.Abs(got-want) > 0.1*want {
		t.Errorf("unevenness %v, want %v", got, want)
	}
}
