package lineup

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// inTempo is a segment that plays the song from a to b seconds, from the pass
// time p on.
func inTempo(p, a, b float64) film.Segment {
	return film.Segment{
		Knots:   []film.Knot{{Pass: film.PassTime(p), Song: film.SongTime(a)}, {Pass: film.PassTime(p + b - a), Song: film.SongTime(b)}},
		ErrorMS: []float64{30, 30},
	}
}

// playedOneAfterAnother lays stretches of the song one after the other, with a gap between.
func playedOneAfterAnother(gap float64, spans ...[2]float64) film.LineUp {
	l := film.LineUp{Status: film.Aligned}
	now := 5.0
	for _, s := range spans {
		l.Segments = append(l.Segments, inTempo(now, s[0], s[1]))
		now += s[1] - s[0] + gap
	}
	return l
}

func TestOccurrences(t *testing.T) {
	const song = 200
	for _, c := range []struct {
		name  string
		spans [][2]float64
		want  []Run
	}{
		{"nothing", nil, nil},
		{"once", [][2]float64{{0, 200}}, []Run{{0, 1}}},
		{"false start", [][2]float64{{0, 40}, {0, 200}}, []Run{{0, 2}}},
		{"two false starts", [][2]float64{{0, 40}, {0, 12}, {0, 200}}, []Run{{0, 3}}},
		{"restart a few bars earlier", [][2]float64{{0, 100}, {92, 200}}, []Run{{0, 2}}},
		{"a section twice", [][2]float64{{0, 110}, {60, 200}}, []Run{{0, 2}}},
		{"looped pickup", [][2]float64{{100, 108}, {100, 108}, {100, 108}}, []Run{{0, 3}}},
		{"skip", [][2]float64{{0, 80}, {130, 200}}, []Run{{0, 2}}},
		{"twice", [][2]float64{{0, 200}, {0, 200}}, []Run{{0, 1}, {1, 2}}},
		{"broken off late, then anew", [][2]float64{{0, 130}, {0, 200}}, []Run{{0, 1}, {1, 2}}},
		{"twice with a hole in each", [][2]float64{{0, 80}, {90, 200}, {0, 100}, {112, 199}}, []Run{{0, 2}, {2, 4}}},
		{"the ending again", [][2]float64{{0, 200}, {150, 200}, {150, 200}}, []Run{{0, 3}}},
		{"back by small steps, then the whole", [][2]float64{{0, 200}, {110, 130}, {60, 80}, {0, 200}}, []Run{{0, 2}, {2, 4}}},
	} {
		if got := Occurrences(playedOneAfterAnother(4, c.spans...), song); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Twenty minutes of one clip: five performances with talk between, the second
// broken off after two thirds, the fourth begun twice.
func TestOccurrencesInALongClip(t *testing.T) {
	l := playedOneAfterAnother(25, [2]float64{0.4, 208}, [2]float64{0, 140}, [2]float64{1, 90}, [2]float64{95, 208}, [2]float64{0, 31}, [2]float64{0, 207}, [2]float64{0.2, 208})
	if got, want := Occurrences(l, 210), []Run{{0, 1}, {1, 2}, {2, 4}, {4, 6}, {6, 7}}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestOccurrencesTakeEverySegmentOnceAndHoldOnePerformance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var spans [][2]float64
		for range rapid.IntRange(0, 12).Draw(t, "segments") {
			a := rapid.Float64Range(0, 190).Draw(t, "from")
			spans = append(spans, [2]float64{a, rapid.Float64Range(a+1, 200).Draw(t, "to")})
		}
		next := 0
		for _, r := range Occurrences(playedOneAfterAnother(1, spans...), 200) {
			if r.From != next || r.To <= r.From {
				t.Fatalf("%v after %d", r, next)
			}
			next = r.To
			for i := r.From; i < r.To; i++ {
				for j := i + 1; j < r.To; j++ {
					if spans[i][1]-spans[j][0] > 100 {
						t.Fatalf("%v and %v in one occurrence", spans[i], spans[j])
					}
				}
			}
		}
		if next != len(spans) {
			t.Fatalf("%d of %d segments", next, len(spans))
		}
	})
}
