package agree

import (
	"context"
	"math"

	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

// Judge returns one Agreement for each segment of lu, over that segment's span
// of song.
//
// A pass in another key is judged after moving it into the record's: the notes
// may agree, and those moments say WhyOtherKey because the fingers do not. The
// setup says how late or early counts (film.Setup.SyncTolerance). Of a pass that
// was played along to the loudspeaker what sounds under that is judged, and where
// nothing does moments say WhySpeakerOnly. progress, which
// may be nil, is told the share done, 0..1. It fails only when a source does or
// ctx is done.
func Judge(ctx context.Context, record, pass *lineup.Recording, lu film.LineUp, setup film.Setup, progress func(done float64)) ([]film.Agreement, error) {
	all := make([]*evidence, len(lu.Segments))
	for i := range lu.Segments {
		e, err := evidenceAlong(ctx, record, pass, &lu.Segments[i], lu)
		if err != nil {
			return nil, err
		}
		all[i] = e
		if progress != nil {
			progress(float64(i+1) / float64(len(lu.Segments)))
		}
	}
	own := usual(all)
	out := make([]film.Agreement, len(all))
	for i, e := range all {
		out[i] = e.judged(own, setup.SyncTolerance(), lu.Semitones != 0)
	}
	return out, nil
}

// evidenceAlong gathers the evidence of one segment of lu, under the loudspeaker
// when that is heard.
func evidenceAlong(ctx context.Context, record, pass *lineup.Recording, seg *film.Segment, lu film.LineUp) (*evidence, error) {
	var levelDB float64
	if lu.Playback {
		u, err := hearUnder(ctx, record, pass, seg)
		if err != nil {
			return nil, err
		}
		pass, seg, levelDB = u.live, &u.segment, u.levelDB
	}
	side, err := layBeside(ctx, record, pass, seg, lu.Semitones)
	if err != nil {
		return nil, err
	}
	side.under = lu.Playback
	e := gather(side)
	e.levelDB = levelDB
	return e, nil
}

// judged scores every moment and says why.
func (e *evidence) judged(own [measures]float64, limit film.Tolerance, otherKey bool) film.Agreement {
	n := len(e.moments)
	a := film.Agreement{First: e.first, Score: make([]float64, n), Why: make([]film.Why, n), LateMS: make([]float64, n)}
	for i := range n {
		if e.rests(i) {
			continue
		}
		notes := e.notes(i, own)
		if notes >= film.Agrees { // else there is nothing to time
			a.LateMS[i] = e.lateMS[i]
		}
		a.Score[i] = notes * e.inTime(i, limit) * e.holds(i)
	}
	e.fillRests(a.Score)
	var sure []float64
	if e.under {
		sure = e.unmask(&a)
	}
	for i := range n {
		a.Score[i] = math.Round(a.Score[i]*1000) / 1000
		if e.under && sure[i] < 0.5 {
			a.Why[i], a.LateMS[i] = film.WhySpeakerOnly, 0
			continue
		}
		a.Why[i] = e.why(i, a.Score[i], a.LateMS[i], own, limit, otherKey)
	}
	return a
}

// notes returns the chance that the notes agree at moment i.
func (e *evidence) notes(i int, own [measures]float64) float64 {
	if e.under {
		return weigh(underWeights, e.features(i, own))
	}
	return weigh(weights, e.features(i, own))
}

// rests reports whether neither plays at moment i.
func (e *evidence) rests(i int) bool {
	return e.moments[i][meant] < leastSounding && e.moments[i][heard] < leastSounding
}

// fillRests gives moments of rest the mean of the nearest scores before and
// after: who plays the same around a rest also rests the same.
func (e *evidence) fillRests(score []float64) {
	const nothingKnown = 0.5
	for i := 0; i < len(score); {
		if !e.rests(i) {
			i++
			continue
		}
		to := i
		for to < len(score) && e.rests(to) {
			to++
		}
		var sum, count float64
		if i > 0 {
			sum, count = sum+score[i-1], count+1
		}
		if to < len(score) {
			sum, count = sum+score[to], count+1
		}
		mean := nothingKnown
		if count > 0 {
			mean = sum / count
		}
		for ; i < to; i++ {
			score[i] = mean
		}
	}
}

// lagSpreadMS is the standard deviation of measured lags around the true ones on
// generated passes, once what the room adds to all of them is taken off: the
// line-up was found in the same room, so it has that already (TestLagSpread).
const (
	lagSpreadMS      = 12.0
	underLagSpreadMS = 15.0 // under a loudspeaker
)

// inTime returns the chance that the playing lies within the limits, given how
// late it was measured.
func (e *evidence) inTime(i int, limit film.Tolerance) float64 {
	spread := lagSpreadMS
	if e.under {
		spread = underLagSpreadMS
	}
	below := func(ms float64) float64 { return 0.5 * math.Erfc(-(ms-e.lateMS[i])/spread/math.Sqrt2) }
	return below(limit.Late*1000) - below(-limit.Early*1000)
}

// Where the map bends by more than about 85 ms to both sides within a second, no
// fixed placement keeps the attacks around to 60 ms, and one that bends less
// mostly does. The notes agree all the same, and whether a shot holds is decided
// shot by shot: so such a moment only counts a little less than one that stays.
const (
	bendLimitMS = 85.0
	bendSoftMS  = 6.0
	bendCosts   = 0.08
)

func (e *evidence) holds(i int) float64 {
	return 1 - bendCosts/(1+math.Exp(-(e.moments[i][bend]-bendLimitMS)/bendSoftMS))
}
