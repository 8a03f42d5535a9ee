package lineup

import (
	"context"
	"fmt"
	"math"
)

// Match says whether and how two recordings hold the same sound: the moment t of
// the first is the moment Offset + t*(1+DriftPPM/1e6) of the second.
type Match struct {
	Same   bool
	Reason string // plain words, always set

	Offset      float64 // seconds; negative when the second began later
	OffsetError float64 // standard error of the place, the largest within [From, To], seconds
	DriftPPM    float64 // clock of the second against the first
	DriftError  float64 // its standard error, ppm

	// From and To bound what both recorded, on the first recording's clock,
	// seconds.
	From, To float64
	// Share is the share of windows of [From, To] that hold the same sound where
	// the line says, 0..1.
	Share float64
	// Shared is how much of the sound both hold, 0..1: noise and rooms lessen it
	// for every place alike, so it tells the better of two.
	Shared float64
	// Second is Shared at the next best place of these two recordings, 0 when
	// there is none.
	Second float64
}

// At returns the moment of the second recording that is moment t of the first,
// both in seconds.
func (m *Match) At(t float64) float64 { return m.Offset + t*(1+m.DriftPPM/1e6) }

// SameSound tells whether a and b recorded the same live sound, as a camera and
// a recorder beside it do. One may hold much more than the other, and either may
// begin first. It fails only when a source does or ctx is done.
//
// Two passes played to a loudspeaker share the record's sound and so match, but
// what is played on top differs: of several places that match the one with the
// largest Shared is returned, and a caller with several recordings for one
// stretch takes that with the largest Shared. On generated passes the right
// place had at least 1.09 times the Shared of the wrong one, with the guitar
// 12 dB under the loudspeaker, and 1.2 times with both equally loud.
func SameSound(ctx context.Context, a, b *Recording) (Match, error) {
	candidates, err := envelopeOffsets(ctx, a, b)
	if err != nil {
		return Match{}, err
	}
	p := newProber(a, b)
	best := Match{Reason: "no stretch of sound that both hold"}
	var lines []*rigid
	for _, offset := range candidates {
		run, err := p.runAt(ctx, offset)
		if err != nil {
			return Match{}, err
		}
		if run == nil || run.to-run.from < leastSong || sameLine(lines, run) {
			continue
		}
		lines = append(lines, run)
		m := matchOf(run, a.seconds, b.seconds)
		if m.Shared, err = p.long.shared(run); err != nil {
			return Match{}, err
		}
		if m.Share, err = p.long.holding(ctx, run, m.From, m.To); err != nil {
			return Match{}, err
		}
		if m.Shared > best.Shared || !best.Same {
			m.Second, best = best.Shared, m
		} else {
			best.Second = math.Max(best.Second, m.Shared)
		}
	}
	return best, nil
}

func matchOf(r *rigid, aSeconds, bSeconds float64) Match {
	m := Match{
		Same:   true,
		Offset: r.offset, DriftPPM: r.ppm, DriftError: r.errs.slope * 1e6,
		From: math.Max(0, r.songAt(0)), To: math.Min(aSeconds, r.songAt(bSeconds)),
	}
	m.OffsetError = r.errs.worst(m.From, m.To)
	m.Reason = fmt.Sprintf("the same sound: %.0f s in both, %.4f s later, drift %.1f ± %.1f ppm", m.To-m.From, m.Offset, m.DriftPPM, math.Max(m.DriftError, 0.1))
	return m
}

// sameLine reports whether one of lines puts the middle of run where run does.
func sameLine(lines []*rigid, run *rigid) bool {
	mid := (run.from + run.to) / 2
	for _, l := range lines {
		if math.Abs(l.passAt(mid)-run.passAt(mid)) < windowLags {
			return true
		}
	}
	return false
}

// shared returns the share of the sound along the run that both hold: the energy
// of the whitened correlation within reach of the line, less what lies as
// densely further off, where the music only resembles itself.
func (w *whitener) shared(run *rigid) (float64, error) {
	const asked, reach, far, further = 20, 0.100, 0.5, 1.5 // seconds of lag
	hz := float64(w.record.src.Rate())
	size := w.fft.Len()
	var sum float64
	for i := range asked {
		t := run.from + (run.to-run.from)*(float64(i)+0.5)/asked
		if _, err := w.correlate(t, run.passAt(t)-t); err != nil {
			return 0, err
		}
		var in, out, all float64
		for l, v := range w.cross {
			e := float64(v) * float64(v)
			lag := float64(min(l, size-l)) / hz
			all += e
			switch {
			case lag <= reach:
				in += e
			case lag >= far && lag < further:
				out += e
			}
		}
		if all > 0 {
			sum += (in - out*reach/(further-far)) / all
		}
	}
	return math.Max(0, sum/asked), nil
}

// holding returns the share of up to fitWindows windows between the song times
// from and to that hold the record where the run's line says.
func (w *whitener) holding(ctx context.Context, run *rigid, from, to float64) (float64, error) {
	n := min(max(int((to-from)/windowSeconds), 1), fitWindows)
	good := 0
	for i := range n {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		t := from + (to-from)*(float64(i)+0.5)/float64(n)
		lag, ratio, err := w.lag(t, run.passAt(t)-t)
		if err != nil {
			return 0, err
		}
		if ratio > peakRatio && math.Abs(lag) < lineSeconds {
			good++
		}
	}
	return float64(good) / float64(n), nil
}
