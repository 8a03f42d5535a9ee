package workbench

import (
	"math"

	"takeweave/internal/film"
	"takeweave/internal/hold"
)

// surely is the score from which a moment holds without doubt. Set with the
// reliability tables of docs/agreement.md: of the moments scored 0.8 and above
// at least 97 of 100 agree.
const surely = 0.8

// doubtBound is the map's error bound, in milliseconds, from which a moment that
// agrees is doubtful all the same: where 90 % of the attacks lie within more than
// the widest tolerance, nothing is known of sync.
const doubtBound = 80

// ribbonOf lays one stretch of a pass along the beats of the song. a is nil while
// it is not judged.
func ribbonOf(segment int, g *film.Segment, a *film.Agreement, setup film.Setup, song *film.Song) Ribbon {
	span := g.SongSpan()
	r := Ribbon{Segment: segment, Span: span, Cells: []Cell{}, Knots: [][2]float64{}, Lays: map[int]Laying{}}
	for _, k := range g.Knots {
		r.Knots = append(r.Knots, [2]float64{round3(float64(k.Song)), round3(float64(k.Pass))})
	}
	table := hold.New(g)
	tol := setup.SyncTolerance()
	first := true
	for i := -1; i < len(song.Beats); i++ {
		cell := beatSpan(song, i)
		over := film.SongSpan{From: max(cell.From, span.From), To: min(cell.To, span.To)}
		if over.Len() <= 0 || over.Len() < cell.Len()/2 {
			continue
		}
		if first {
			r.First, first = i, false
		}
		r.Cells = append(r.Cells, cellOf(over, g, a, table.Longest(over.From, tol, 0)))
	}
	for i, l := range song.Lines {
		over := film.SongSpan{From: max(l.Span.From, span.From), To: min(l.Span.To, span.To)}
		if over.Len() < 0.5 {
			continue
		}
		fit := table.Best(over, tol, 0)
		r.Lays[i] = Laying{Slip: round3(fit.Slip), WorstMS: math.Round(1000 * math.Max(fit.Late, fit.Early)), Fits: fit.Within(tol)}
	}
	return r
}

// beatSpan is the span from beat i to the next; -1 is from 0 to the first beat.
func beatSpan(song *film.Song, i int) film.SongSpan {
	s := film.SongSpan{To: song.Duration}
	if i >= 0 {
		s.From = song.Beats[i].At
	}
	if i+1 < len(song.Beats) {
		s.To = song.Beats[i+1].At
	}
	return s
}

func cellOf(span film.SongSpan, g *film.Segment, a *film.Agreement, holds float64) Cell {
	c := Cell{State: "doubtful", Why: "not judged yet", Hold: math.Round(10*holds) / 10}
	if a == nil {
		return c
	}
	var sum, late float64
	n := 0
	worst, why := 2.0, film.WhyUnsure
	for t := span.From + film.AgreementStep/2; t < span.To; t += film.AgreementStep {
		score, w, l := a.At(t)
		sum, late, n = sum+score, late+l, n+1
		if score < worst {
			worst, why = score, w
		}
	}
	if n == 0 {
		return c
	}
	score := sum / float64(n)
	c.Score, c.Late = int(math.Round(100*score)), math.Round(late/float64(n))
	bound := g.ErrorAt((span.From + span.To) / 2)
	switch {
	case score < film.Agrees:
		c.State, c.Why = "refused", why.Say(c.Late)
	case score < surely:
		c.Why = "not sure"
		if why != film.WhyAgrees {
			c.Why += ": " + why.Say(c.Late)
		}
	case bound > doubtBound:
		c.Why = "the line-up is unsure here"
	default:
		c.State, c.Why = "holds", ""
	}
	return c
}

func round3(v float64) float64 { return math.Round(1000*v) / 1000 }
