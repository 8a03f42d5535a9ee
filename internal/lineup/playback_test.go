package lineup

import (
	"context"
	"math"
	"testing"

	"takeweave/internal/film"
)

// Three minutes to the loudspeaker, which is narrow and driven, with the guitar
// 6 dB over it: the offset holds to 1 ms and the drift to 3 ppm, and both
// lie within four of the standard errors stated.
func TestPlaybackOffsetAndDrift(t *testing.T) {
	s := studio{newShoot(93, 8, sung, false, true)}
	if s.seconds < 180 {
		t.Fatalf("the record lasts %.0f s, three minutes are wanted", s.seconds)
	}
	record := listen(t, s.record)
	const start = 4.0 // in toPlayback
	p := s.toPlayback(6)
	for _, c := range []struct{ snrDB, ppm float64 }{{5, -80}, {0, 80}} {
		x := s.take(p, camera{snrDB: c.snrDB, rt60: 0.5, directDB: 0, narrow: true, gain: true}, 0.5, 0, float64(len(p.live))/rate, c.ppm)
		l, err := Align(context.Background(), record, listen(t, x), nil)
		if err != nil || !l.Playback || len(l.Segments) != 1 {
			t.Fatalf("%+v: %s, playback %v, %d segments (%v)", c, l.Reason, l.Playback, len(l.Segments), err)
		}
		offsetError, driftError := figureOf(t, l, "offset error", "ms"), figureOf(t, l, "drift error", "ppm")
		g := &l.Segments[0]
		if span := g.SongSpan(); span.To-span.From < film.SongTime(s.seconds-8) {
			t.Errorf("%+v: song %.1f to %.1f s of %.1f", c, span.From, span.To, s.seconds)
		}
		for _, k := range g.Knots {
			off := math.Abs(float64(k.Pass)-(start+float64(k.Song))*(1+c.ppm/1e6)) * 1000
			if off > 1 || off > 4*offsetError+0.02 {
				t.Errorf("%+v: song %.1f s off by %.4f ms, want 1 and %.4f", c, k.Song, off, 4*offsetError)
			}
		}
		off := math.Abs(l.DriftPPM - c.ppm)
		if off > 3 || off > 4*driftError {
			t.Errorf("%+v: drift %.2f ± %.2f ppm", c, l.DriftPPM, driftError)
		}
	}
}

func figureOf(t *testing.T, l film.LineUp, name, unit string) float64 {
	t.Helper()
	for _, f := range l.Figures {
		if f.Name == name && f.Unit == unit {
			return f.Value
		}
	}
	t.Fatalf("no figure %q in %s: %v", name, unit, l.Figures)
	return 0
}
