package filmday

import (
	"math"
	"slices"

	"takeweave/internal/film"
)

// Truth is what is true of a pass. Pass time is when the direct sound reaches the
// microphone, on its own clock; the picture is DelayMS ahead of that. The true
// place of a sung note is where its vowel begins.
type Truth struct {
	Kind      string
	Status    film.Status
	Semitones int     // pass minus record
	Cents     float64 // pass minus record, besides the semitones
	Playback  bool
	DelayMS   float64
	By        Camera
	Plan      Plan
	Meant     []Sounded // on the record, song time; all but what nobody plays live
	Heard     []Sounded // in the pass, pass time; all but speech
	Pieces    []Piece   // the true map, in pass order
	counts    [parts]bool
}

// Piece is an unbroken stretch of the song in a pass.
type Piece struct {
	Segment film.Segment // a knot a quarter: the beat, not a note, moved where the playing is late or early
	Played  []Played     // in order, all of the piece
}

// Played says how a stretch is played.
type Played struct {
	Span    film.SongSpan
	Playing Playing
	LateMS  float64 // behind the beat, negative before it
}

// heardBy returns the truth on the clock of a recording of some seconds, without
// what it does not reach.
func (t *Truth) heardBy(clock func(float64) float64, seconds float64) Truth {
	out := *t
	out.Heard, out.Pieces = nil, nil
	kept := make([]int, len(t.Pieces))
	for i, p := range t.Pieces {
		var g film.Segment
		for _, k := range p.Segment.Knots {
			if at := clock(float64(k.Pass)); at >= 0 && at < seconds {
				g.Knots = append(g.Knots, film.Knot{Pass: film.PassTime(at), Song: k.Song})
			}
		}
		kept[i] = -1
		if len(g.Knots) > 1 {
			kept[i] = len(out.Pieces)
			out.Pieces = append(out.Pieces, Piece{g, p.Played})
		}
	}
	for _, n := range t.Heard {
		end := clock(n.At + n.Length)
		n.At = clock(n.At)
		n.Length = end - n.At
		if n.At < 0 || n.At >= seconds {
			continue
		}
		if n.Piece >= 0 {
			n.Piece = kept[n.Piece]
		}
		out.Heard = append(out.Heard, n)
	}
	return out
}

// Pair ties a note of the record to the same note of the pass.
type Pair struct {
	Pass  film.PassTime
	Song  film.SongTime
	Note  int  // index into Song.Notes
	Piece int  // index into Truth.Pieces
	Right bool // false: another pitch in its place
}

// Pairs returns the notes that both play, in pass order.
func (t *Truth) Pairs() (out []Pair) {
	at := map[int]float64{}
	for _, n := range t.Meant {
		at[n.Note] = n.At
	}
	for _, n := range t.Heard {
		if song, ok := at[n.Note]; ok && n.Note >= 0 && n.Piece >= 0 {
			out = append(out, Pair{film.PassTime(n.At), film.SongTime(song), n.Note, n.Piece, !n.Wrong})
		}
	}
	return out
}

// Covers reports whether piece i holds song time at.
func (t *Truth) Covers(i int, at film.SongTime) bool { return t.Pieces[i].Segment.SongSpan().Holds(at) }

// PlayingAt returns how piece i plays song time at.
func (t *Truth) PlayingAt(i int, at film.SongTime) Played {
	if t.Covers(i, at) {
		for _, p := range t.Pieces[i].Played {
			if p.Span.Holds(at) {
				return p
			}
		}
	}
	return Played{Playing: NotPlayed}
}

// The definition of docs/agreement.md.
const (
	reach    = film.SongTime(0.75) // seconds to both sides of a moment
	together = film.SongTime(0.1)  // a note is common when the other plays its pitch within this
	ShareYes = 0.7                 // from this share of common notes a moment agrees
	ShareNo  = 0.4                 // below this it does not
)

// LineUp returns the true map as a line-up would state it, with bounds of 0.
func (t *Truth) LineUp() film.LineUp {
	l := film.LineUp{Status: t.Status, Semitones: t.Semitones, Cents: t.Cents, Playback: t.Playback}
	for _, p := range t.Pieces {
		g := film.Segment{Knots: slices.Clone(p.Segment.Knots), ErrorMS: make([]float64, len(p.Segment.Knots))}
		l.Segments = append(l.Segments, g)
		l.Covered += g.SongSpan().Len()
	}
	return l
}

// Share returns twice the common notes over the notes of both, within 0.75 s of
// song time at, with the pass laid on the song by a map from pass time; not a
// number where neither plays. Of a pass without voice (or hands) only the hands
// (the voice) count.
func (t *Truth) Share(at film.SongTime, songAt func(film.PassTime) film.SongTime) float64 {
	type note struct {
		at    film.SongTime
		pitch int
	}
	var meant, heard []note
	for _, n := range t.Meant {
		if x := film.SongTime(n.At); t.counts[n.Part] && x >= at-reach && x <= at+reach {
			meant = append(meant, note{x, n.Pitch})
		}
	}
	for _, n := range t.Heard {
		if x := songAt(film.PassTime(n.At)); t.counts[n.Part] && x >= at-reach && x <= at+reach {
			heard = append(heard, note{x, n.Pitch})
		}
	}
	if len(meant)+len(heard) == 0 {
		return math.NaN()
	}
	used := make([]bool, len(heard))
	common := 0
	for _, a := range meant {
		for k, b := range heard {
			if d := a.at - b.at; !used[k] && a.pitch == b.pitch && d < together && d > -together {
				used[k] = true
				common++
				break
			}
		}
	}
	return 2 * float64(common) / float64(len(meant)+len(heard))
}

// TrueShare returns the largest Share of the pieces along the true map, 0 where
// none covers.
func (t *Truth) TrueShare(at film.SongTime) float64 {
	best := 0.0
	for i := range t.Pieces {
		if t.Covers(i, at) {
			v := t.Share(at, t.Pieces[i].Segment.SongAt)
			if math.IsNaN(v) {
				return v
			}
			best = math.Max(best, v)
		}
	}
	return best
}

// LateMS returns how much later than a map says the notes around song time at
// are played: the median over 0.75 s to both sides of those the map lays within
// half a second of their true place. Not a number without any.
func (t *Truth) LateMS(pairs []Pair, at film.SongTime, g *film.Segment) float64 {
	var late []float64
	for _, p := range pairs {
		if p.Song < at-reach || p.Song > at+reach || !p.Right {
			continue
		}
		if d := 1000 * float64(p.Pass-g.PassAt(p.Song)); math.Abs(d) < 500 {
			late = append(late, d)
		}
	}
	if len(late) == 0 {
		return math.NaN()
	}
	slices.Sort(late)
	return late[len(late)/2]
}
