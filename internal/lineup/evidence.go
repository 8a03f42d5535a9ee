package lineup

import (
	"math"

	"takeweave/internal/dsp"
)

// nearHalf is half the window, in seconds, of the evidence close to a moment.
const nearHalf = 0.3

// evidenceStep is the grid of evidence in seconds of song time.
const evidenceStep = 0.1

// evidence says, along a curve, how well the pass fits the record there.
type evidence struct {
	song   []float64 // seconds
	pass   []float64 // seconds
	chroma []float64 // mean chroma cosine over 1 s
	excess []float64 // pitch-flux correlation over 2 s, less the same in other keys
	corr   []float64 // pitch-flux correlation over 2 s
	near   []float64 // the same over 0.6 s
	treble []float64 // the same of the treble alone, where songs on the same chords differ most
	record []float64 // share of rows within 1 s in which the record sounds
	heard  []float64 // the same of the pass
	fit    []float64 // all of it as one number: above 0 it fits, a second of clear fit is about 2
}

// soundingNorm is the length of a row of compressed notes from which something
// sounds: a note 20 dB under the loud ones has log(1.3) = 0.26.
const soundingNorm = 0.5

// attacksHz is the rate at which attacks are compared.
const attacksHz = 100.0

// attacksOf returns pitch flux, spread over a tenth of a second, at attacksHz.
func attacksOf(pitch *dsp.Series) *dsp.Series {
	return pitch.Smooth(0.10, int(dsp.FluxHz/attacksHz))
}

// weigh gathers evidence along c from the attacks of the pass around it.
func weigh(t *recordTables, l *listener, attacks *dsp.Series, c *curve) *evidence {
	record, pass, shift := t.record, l.pass, l.shift
	const slack = 1.5
	songNotes := record.Notes(c.from-slack, c.to()+slack)
	passFrom, passTo := c.at(c.from-slack)-slack, c.at(c.to()+slack)+slack
	passNotes := pass.Notes(passFrom, passTo)
	songChroma, passChroma := dsp.FoldChroma(songNotes, 0), dsp.FoldChroma(passNotes, shift)

	// Pitch content at 50 Hz on the song's clock.
	first, n := dsp.Span(c.from, c.to(), notesHz)
	cosine, recordOn, passOn := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	both := make([]float64, n+1)
	for i := range n {
		j := first + i
		p := int(math.Round(c.at(float64(j)/notesHz) * notesHz))
		a, b := rowAt(songChroma, j), rowAt(passChroma, p)
		var cos, r, h float64
		if a != nil && b != nil {
			if dsp.Norm(rowAt(songNotes, j)) > soundingNorm {
				r = 1
			}
			if dsp.Norm(rowAt(passNotes, p)) > soundingNorm {
				h = 1
			}
			cos = float64(dsp.Dot(a, b))
		}
		cosine[i+1] = cosine[i] + cos*math.Max(r, h)
		both[i+1] = both[i] + math.Max(r, h)
		recordOn[i+1], passOn[i+1] = recordOn[i]+r, passOn[i]+h
	}

	// Attacks in this key and in nine others.
	const hz = attacksHz
	f100, n100 := dsp.Span(c.from, c.to(), hz)
	q := onSongClock(attacks, c, f100, n100)
	eR, eQ := make([]float64, n100+1), make([]float64, n100+1)
	tR, tQ, tDots := make([]float64, n100+1), make([]float64, n100+1), make([]float64, n100+1) // treble
	var dots [10][]float64
	for k := range dots {
		dots[k] = make([]float64, n100+1)
	}
	for i := range n100 {
		r, p := rowAt(t.attacks, f100+i), q.Row(i)
		for k := range dots {
			dots[k][i+1] = dots[k][i]
		}
		eR[i+1], eQ[i+1] = eR[i], eQ[i]+float64(dsp.Dot(p, p))
		tR[i+1], tQ[i+1], tDots[i+1] = tR[i], tQ[i]+float64(dsp.Dot(p[12:], p[12:])), tDots[i]
		if r == nil {
			continue
		}
		tR[i+1] += float64(dsp.Dot(r[12:], r[12:]))
		tDots[i+1] += float64(dsp.Dot(r[12:], p[12:]))
		eR[i+1] += float64(dsp.Dot(r, r))
		for k := range dots {
			turn := k
			if k > 0 {
				turn = k + 1 // 2..10: the neighbouring semitones leak
			}
			var sum float32
			for d := range 12 {
				e := d + turn
				if e >= 12 {
					e -= 12
				}
				sum += r[d]*p[e] + r[12+d]*p[12+e]
			}
			dots[k][i+1] += float64(sum)
		}
	}
	rows := int((c.to()-c.from)/evidenceStep) + 1
	e := &evidence{}
	for i := range rows {
		t := c.from + float64(i)*evidenceStep
		e.song = append(e.song, t)
		e.pass = append(e.pass, c.at(t))
		x := t*notesHz - float64(first)
		a, b := clampInt(x-notesHz/2, n), clampInt(x+notesHz/2, n)
		cos := 0.0
		if both[b]-both[a] > 5 {
			cos = (cosine[b] - cosine[a]) / (both[b] - both[a])
		}
		e.chroma = append(e.chroma, cos)
		e.record = append(e.record, (recordOn[b]-recordOn[a])/math.Max(1, float64(b-a)))
		e.heard = append(e.heard, (passOn[b]-passOn[a])/math.Max(1, float64(b-a)))
		x = t*hz - float64(f100)
		a, b = clampInt(x-hz, n100), clampInt(x+hz, n100)
		energy := math.Sqrt((eR[b] - eR[a] + 1) * (eQ[b] - eQ[a] + 1))
		var others float64
		for k := 1; k < len(dots); k++ {
			others += (dots[k][b] - dots[k][a]) / energy / float64(len(dots)-1)
		}
		corr := (dots[0][b] - dots[0][a]) / energy
		e.corr = append(e.corr, corr)
		e.treble = append(e.treble, (tDots[b]-tDots[a])/math.Sqrt((tR[b]-tR[a]+1)*(tQ[b]-tQ[a]+1)))
		e.excess = append(e.excess, corr-others)
		a, b = clampInt(x-nearHalf*hz, n100), clampInt(x+nearHalf*hz, n100)
		e.near = append(e.near, (dots[0][b]-dots[0][a])/math.Sqrt((eR[b]-eR[a]+1)*(eQ[b]-eQ[a]+1)))
	}
	e.fit = e.fits(c)
	return e
}

// row returns the row of evidence nearest to song time t.
func (e *evidence) row(t float64) int { return clampInt((t-e.song[0])/evidenceStep, len(e.song)-1) }

func clampInt(x float64, n int) int { return min(max(int(math.Round(x)), 0), n) }

// What separates fitting from not fitting moments, set by comparing passages of
// a song with passages of other songs, each laid as well as it goes. Single
// moments overlap a lot; only sums over seconds decide.
const (
	chromaFits, chromaScale = 0.72, 0.10
	excessFits, excessScale = 0.09, 0.06
	bendFits, bendScale     = 0.20, 0.10
)

// fits weighs chroma, attacks and how far the tempo strays from the stretch's own.
func (e *evidence) fits(c *curve) []float64 {
	slopes := make([]float64, len(e.song))
	for i, t := range e.song {
		slopes[i] = math.Log(math.Max(0.1, c.slope(t, 2)))
	}
	own := dsp.Median(append([]float64(nil), slopes...))
	limit := func(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }
	out := make([]float64, len(e.song))
	for i := range out {
		if e.record[i] < 0.2 && e.heard[i] < 0.2 {
			continue // a rest on both sides says nothing
		}
		out[i] = limit((e.chroma[i]-chromaFits)/chromaScale, -1.5, 1) +
			limit((e.excess[i]-excessFits)/excessScale, -1.5, 1) -
			limit((math.Abs(slopes[i]-own)-bendFits)/bendScale, 0, 2)
		if e.record[i] < 0.2 || e.heard[i] < 0.2 {
			out[i] = math.Min(out[i], -0.5)
		}
	}
	return out
}
