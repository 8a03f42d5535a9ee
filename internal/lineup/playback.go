package lineup

import (
	"cmp"
	"context"
	"math"
	"slices"

	"takeweave/internal/dsp"
)

// A pass that was played along to the loudspeaker holds the record itself:
// pass = offset + song*(1+drift). Candidates come from the correlation of band
// flux, proof from whitened correlation of the sound in windows, which agrees
// to a fraction of a millisecond when the record is there and does not when it is not.
//
// Source: generalised cross-correlation with phase transform, [KnappCarter1976].
const (
	playbackHz         = 100.0 // of the band flux
	playbackCandidates = 12
	windowSeconds      = 8.0
	windowLags         = 0.120 // seconds either side
	lowHz, highHz      = 200.0, 6000.0
	peakRatio          = 5.5   // peak over the spread of the lags around: chance gives up to 5.2
	clusterSeconds     = 0.016 // agreement of windows before a drift is fitted
	lineSeconds        = 0.003 // agreement with the fitted line
	maxDriftPPM        = 500.0
	leastShare         = 0.5    // of the windows of a run: the one chance line met had a third
	leastConfirmed     = 0.4    // of the short windows: runs in a real room at 5 dB have over 0.6
	reachSeconds       = 2.0    // short windows, for which only one lag is in question:
	nearSeconds        = 0.0015 // it must be met this closely
	nearRatio          = 4.5    // by a peak this clear
	screenDriftPPM     = 150.0  // between windows that screen an offset: twice what clocks of cameras do
	fitWindows         = 200    // most windows a line is fitted to; more make it no surer
	leastAround        = 2      // short windows that must hold the record where a screened offset puts it
)

// rigid is a playback run: pass time = offset + song time*(1+ppm/1e6), over the
// song times [from, to).
type rigid struct {
	offset, ppm float64
	from, to    float64
	inliers     int
	confirmed   float64 // share of short windows that hold the record just there
	windows     int     // asked in [from, to)
	spreadMS    float64 // of the inliers about the line
	errs        trendError
}

// findPlayback returns the playback runs in the pass, apart from each other in
// pass order; none when the record is not heard.
func findPlayback(ctx context.Context, record, pass *Recording) ([]*rigid, error) {
	candidates, err := envelopeOffsets(ctx, record, pass)
	if err != nil {
		return nil, err
	}
	p := newProber(record, pass)
	var runs []*rigid
	for _, offset := range candidates {
		run, err := p.runAt(ctx, offset)
		if err != nil {
			return nil, err
		}
		if run == nil {
			continue
		}
		runs = append(runs, run)
		if run.to-run.from > 0.8*math.Min(record.seconds, pass.seconds) {
			break // no room for another
		}
	}
	return apart(runs), nil
}

// prober proves offsets by the sound itself: long windows find the line, short
// ones confirm it.
type prober struct{ long, short *whitener }

func newProber(record, pass *Recording) *prober {
	return &prober{newWhitener(record, pass, windowSeconds), newWhitener(record, pass, reachSeconds)}
}

// runAt returns the run that lies near offset, nil when there is none.
func (p *prober) runAt(ctx context.Context, offset float64) (*rigid, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	better, seen, err := p.long.screen(offset)
	if err != nil || len(seen) == 0 {
		return nil, err
	}
	p.short.polarity = p.long.polarity
	// Most offsets that pass the screen by chance end here, for a hundredth of
	// what a fit costs.
	if around, err := p.short.around(offset, seen); err != nil || around < leastAround {
		return nil, err
	}
	run, err := p.long.fit(ctx, better)
	if err != nil || run == nil {
		return nil, err
	}
	if run.confirmed, err = p.short.confirm(run); err != nil || run.confirmed < leastConfirmed {
		return nil, err
	}
	return run, p.short.reach(run)
}

// apart keeps the longest runs that do not overlap in pass time by more than a
// second, and cuts the overlap off.
func apart(runs []*rigid) []*rigid {
	slices.SortStableFunc(runs, func(a, b *rigid) int { return cmp.Compare(b.to-b.from, a.to-a.from) })
	var kept []*rigid
	for _, r := range runs {
		free := r.to-r.from >= leastSong
		for _, k := range kept {
			overlap := math.Min(r.passAt(r.to), k.passAt(k.to)) - math.Max(r.passAt(r.from), k.passAt(k.from))
			free = free && overlap < 1
		}
		if free {
			kept = append(kept, r)
		}
	}
	slices.SortFunc(kept, func(a, b *rigid) int { return cmp.Compare(a.passAt(a.from), b.passAt(b.from)) })
	for i := 1; i < len(kept); i++ {
		if end := kept[i-1].passAt(kept[i-1].to); kept[i].passAt(kept[i].from) < end {
			kept[i].from = kept[i].songAt(end)
		}
	}
	return kept
}

// envelopeOffsets returns likely offsets (pass time of song time 0) in seconds,
// the likeliest first.
func envelopeOffsets(ctx context.Context, record, pass *Recording) ([]float64, error) {
	a, err := record.wholeEnvelope(ctx)
	if err != nil {
		return nil, err
	}
	b, err := pass.wholeEnvelope(ctx)
	if err != nil {
		return nil, err
	}
	if a.Rows() < 2*playbackHz || b.Rows() < 2*playbackHz {
		return nil, nil
	}
	c := dsp.NewCorrelator(a.Rows(), b.Rows())
	for d := range bandCount {
		c.Add(centred(a, d), centred(b, d))
	}
	sum := c.Sum()
	for i := range sum {
		lag := i - (a.Rows() - 1)
		overlap := min(a.Rows(), b.Rows()-lag) - max(0, -lag)
		if float64(overlap) < 2*playbackHz {
			sum[i] = 0
			continue
		}
		sum[i] /= float32(math.Sqrt(float64(overlap)))
	}
	var out []float64
	for _, p := range dsp.TopPeaks(sum, playbackCandidates, int(0.2*playbackHz)) {
		out = append(out, float64(p.At-(a.Rows()-1)+b.First-a.First)/playbackHz)
	}
	return out, nil
}

// wholeEnvelope returns the band flux of the whole recording at playbackHz,
// worked out once.
func (r *Recording) wholeEnvelope(ctx context.Context) (*dsp.Series, error) {
	r.envelopeOnce.Do(func() {
		// Not cancelled by one caller for all the others.
		s, err := dsp.Bands(context.WithoutCancel(ctx), r.src, bandCount, 1024, playbackHz, 0, r.seconds)
		if err != nil {
			r.envelopeErr = err
			return
		}
		dsp.SubtractFloor(s)
		dsp.Compress(s, r.loudBands)
		r.envelope = dsp.Rise(s, 0.02)
		for d := range bandCount {
			dsp.LocalNorm(r.envelope, d, 1, 3, 0.02)
		}
	})
	return r.envelope, r.envelopeErr
}

// centred returns one column less its mean.
func centred(s *dsp.Series, d int) []float32 {
	out := make([]float32, s.Rows())
	var mean float32
	for i := range out {
		out[i] = s.Row(i)[d]
		mean += out[i]
	}
	mean /= float32(len(out))
	for i := range out {
		out[i] -= mean
	}
	return out
}

// whitener compares windows of the two sounds.
type whitener struct {
	record, pass   *Recording
	n              int // samples a window
	fft            *dsp.FFT
	window         []float32
	a, b           []float32
	ar, ai, br, bi []float32
	lags           int
	cross          []float32
	polarity       float64 // 1, or -1 when one of the two sounds is turned over
}

func newWhitener(record, pass *Recording, seconds float64) *whitener {
	n := int(seconds * float64(record.src.Rate()))
	size := 8
	for size < n+n/4 {
		size *= 2
	}
	f := dsp.NewFFT(size)
	bins := func() []float32 { return make([]float32, size/2+1) }
	return &whitener{
		record: record, pass: pass, n: n, fft: f, window: dsp.Hann(n), a: make([]float32, size), b: make([]float32, size),
		ar: bins(), ai: bins(), br: bins(), bi: bins(), lags: int(windowLags * float64(record.src.Rate())), cross: make([]float32, size),
		polarity: 1,
	}
}

// correlate fills w.cross with the whitened correlation of the window that is
// centred on song time t with the pass as offset says, lag 0 first, and returns
// what rounding to samples added to offset, in seconds.
func (w *whitener) correlate(t, offset float64) (rounding float64, err error) {
	hz := float64(w.record.src.Rate())
	clear(w.a)
	clear(w.b)
	songAt := int(math.Round(t*hz)) - w.n/2
	passAt := int(math.Round((t+offset)*hz)) - w.n/2
	if err := w.record.src.Read(w.a[:w.n], songAt); err != nil {
		return 0, err
	}
	if err := w.pass.src.Read(w.b[:w.n], passAt); err != nil {
		return 0, err
	}
	for i, g := range w.window {
		w.a[i] *= g
		w.b[i] *= g
	}
	w.fft.Forward(w.ar, w.ai, w.a)
	w.fft.Forward(w.br, w.bi, w.b)
	size := w.fft.Len()
	lo, hi := int(lowHz/hz*float64(size)), int(highHz/hz*float64(size))
	clear(w.ar[:lo])
	clear(w.ai[:lo])
	clear(w.ar[min(hi+1, len(w.ar)):])
	clear(w.ai[min(hi+1, len(w.ai)):])
	for k := lo; k <= min(hi, len(w.ar)-1); k++ {
		re := w.ar[k]*w.br[k] + w.ai[k]*w.bi[k]
		im := w.ar[k]*w.bi[k] - w.ai[k]*w.br[k]
		p := re*re + im*im
		if p < 1e-30 {
			w.ar[k], w.ai[k] = 0, 0
			continue
		}
		size := math.Sqrt(float64(p)) // of the cross spectrum: its power 0.75 is divided away
		root := math.Sqrt(size)
		g := float32(1 / (root * math.Sqrt(root)))
		w.ar[k], w.ai[k] = re*g, im*g
	}
	w.fft.Inverse(w.cross, w.ar, w.ai)
	return float64(passAt-songAt)/hz - offset, nil
}

// lag returns by how many seconds the pass lies later than offset says in the
// window that is centred on song time t, and how far the peak stands out.
func (w *whitener) lag(t, offset float64) (seconds, ratio float64, err error) {
	rounding, err := w.correlate(t, offset)
	if err != nil {
		return 0, 0, err
	}
	seconds, ratio = w.peak(w.polarity)
	return seconds + rounding, ratio, nil
}

// peak returns the lag of the highest peak of w.cross times polarity, in seconds,
// and how far it stands out.
func (w *whitener) peak(polarity float64) (seconds, ratio float64) {
	hz := float64(w.record.src.Rate())
	size := w.fft.Len()
	at := func(l int) float64 { return polarity * float64(w.cross[(l+size)%size]) }
	best := -w.lags
	for l := -w.lags; l <= w.lags; l++ {
		if at(l) > at(best) {
			best = l
		}
	}
	guard := int(0.003 * hz)
	var sum, sq float64
	n := 0
	for l := -w.lags; l <= w.lags; l++ {
		if l < best-guard || l > best+guard {
			v := at(l)
			sum, sq, n = sum+v, sq+v*v, n+1
		}
	}
	mean := sum / float64(n)
	sd := math.Sqrt(math.Max(sq/float64(n)-mean*mean, 1e-30))
	off, top := dsp.Parabola(at(best-1), at(best), at(best+1))
	return (float64(best) + off) / hz, (top - mean) / sd
}

// windowsOf returns the middles, on the song clock, of windows every hop
// seconds where record and pass overlap and the record sounds.
func (w *whitener) windowsOf(offset, hop float64) []float64 {
	from := math.Max(0, -offset) + windowSeconds/4
	to := math.Min(w.record.seconds, w.pass.seconds-offset) - windowSeconds/4
	var out []float64
	for t := from; t <= to; t += hop {
		out = append(out, t)
	}
	return out
}

// heardAt is a window in which the record stands out: its middle on the song
// clock and how much later than asked it lies, in seconds, and how far it stands
// out.
type heardAt struct{ t, lag, ratio float64 }

// screen asks up to ten windows whether the record lies at offset, and returns
// the better offset and the windows that agree on it, in w.polarity. It gives up
// when the first three, spread over the whole, hold nothing.
func (w *whitener) screen(offset float64) (better float64, agree []heardAt, err error) {
	const most, first = 10, 3
	all := w.windowsOf(offset, windowSeconds/2)
	polarities := [2]float64{1, -1}
	var heard [2][]heardAt
	asked := min(most, len(all))
	for i := range asked {
		// 0, 3, 6, 9, 2, 5, 8, 1, 4, 7: every part of the overlap early on.
		k := i * 3 % most
		if asked < most {
			k = i
		}
		t := all[k*len(all)/asked]
		rounding, err := w.correlate(t, offset)
		if err != nil {
			return 0, nil, err
		}
		for p, polarity := range polarities {
			if lag, ratio := w.peak(polarity); ratio > peakRatio {
				heard[p] = append(heard[p], heardAt{t, lag + rounding, ratio})
			}
		}
		if i == first-1 && len(heard[0])+len(heard[1]) == 0 {
			return 0, nil, nil
		}
	}
	clearest := 0.0
	for p, polarity := range polarities {
		for _, h := range heard[p] {
			var with []heardAt
			sum := 0.0
			for _, o := range heard[p] {
				if math.Abs(o.lag-h.lag) <= clusterSeconds/2+screenDriftPPM/1e6*math.Abs(o.t-h.t) {
					with, sum = append(with, o), sum+o.ratio
				}
			}
			if sum > clearest {
				clearest, agree, w.polarity = sum, with, polarity
			}
		}
	}
	if len(agree) < 2 {
		return 0, nil, nil
	}
	lags := make([]float64, len(agree))
	for i, h := range agree {
		lags[i] = h.lag
	}
	return offset + dsp.Median(lags), agree, nil
}

// around counts the windows beside those seen, sharing no sound with them, that
// hold the record where those put it. One hits by chance in some forty.
func (w *whitener) around(offset float64, seen []heardAt) (int, error) {
	const beside = (windowSeconds + reachSeconds) / 2
	good := 0
	for _, h := range seen {
		for _, d := range []float64{-beside, beside, -beside - reachSeconds, beside + reachSeconds} {
			lag, ratio, err := w.lag(h.t+d, offset+h.lag)
			if err != nil {
				return 0, err
			}
			if ratio > nearRatio && math.Abs(lag) < nearSeconds+maxDriftPPM/1e6*math.Abs(d)/2 {
				good++
			}
		}
	}
	return good, nil
}

// fit measures windows every 2 s, or fitWindows of them, fits the line and finds
// how far it reaches.
func (w *whitener) fit(ctx context.Context, offset float64) (*rigid, error) {
	var points []heardAt
	asked := w.windowsOf(offset, 2)
	hop := 2.0
	if len(asked) > fitWindows {
		hop *= float64(len(asked)) / fitWindows
		asked = w.windowsOf(offset, hop)
	}
	for _, t := range asked {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		lag, ratio, err := w.lag(t, offset)
		if err != nil {
			return nil, err
		}
		if ratio > peakRatio {
			points = append(points, heardAt{t, lag, ratio})
		}
	}
	// The line through two windows that most others agree with.
	bestCount, a, b := 0, 0.0, 0.0
	for i := range points {
		for j := i; j < len(points); j++ {
			slope := 0.0
			if j > i {
				if points[j].t-points[i].t < 10 {
					continue
				}
				slope = (points[j].lag - points[i].lag) / (points[j].t - points[i].t)
			}
			if math.Abs(slope) > maxDriftPPM/1e6 {
				continue
			}
			start := points[i].lag - slope*points[i].t
			count := 0
			for _, p := range points {
				if math.Abs(p.lag-start-slope*p.t) <= lineSeconds {
					count++
				}
			}
			if count > bestCount {
				bestCount, a, b = count, start, slope
			}
		}
	}
	// Three windows that share no sound, or what is all but the whole overlap.
	if bestCount < 4 {
		return nil, nil
	}
	var l trend
	for range 3 { // least squares on the inliers
		var near []heardAt
		for _, p := range points {
			if math.Abs(p.lag-a-b*p.t) <= lineSeconds/2 {
				near = append(near, p)
			}
		}
		if fitted, ok := trendOf(near, hop); ok {
			l, a, b = fitted, fitted.at0, fitted.slope
		}
	}
	run := &rigid{offset: offset + a, ppm: b * 1e6, errs: l.errs}
	var in []float64
	var residual []float64
	for _, p := range points {
		if r := math.Abs(p.lag - a - b*p.t); r <= lineSeconds {
			in, residual = append(in, p.t), append(residual, r*1000)
		}
	}
	if len(in) == 0 || in[len(in)-1]-in[0] < 4 {
		return nil, nil
	}
	// Agreeing windows must come close together to be one run.
	run.from, run.to = in[0], in[len(in)-1]
	for _, t := range asked {
		if t >= run.from && t <= run.to {
			run.windows++
		}
	}
	run.inliers, run.spreadMS = len(in), dsp.Quantile(residual, 0.9)
	if float64(run.inliers) < leastShare*float64(run.windows) {
		return nil, nil
	}
	return run, nil
}

// confirm returns the share of short windows in the run, away from those that
// found it, in which the record lies where the line says.
func (w *whitener) confirm(run *rigid) (float64, error) {
	const asked = 20
	good := 0
	for i := range asked {
		t := run.from + (run.to-run.from)*(float64(i)+0.5)/asked
		lag, ratio, err := w.lag(t, run.passAt(t)-t)
		if err != nil {
			return 0, err
		}
		if math.Abs(lag) < nearSeconds && ratio > nearRatio {
			good++
		}
	}
	return float64(good) / asked, nil
}

// reach extends the run at both ends for as long as short windows find the
// record where the line says, over gaps of up to 4 s.
func (w *whitener) reach(run *rigid) error {
	const step, gap = 0.5, 4.0
	walk := func(t, dir float64) (float64, error) {
		last := t
		for t += dir * step; math.Abs(t-last) <= gap; t += dir * step {
			pass := run.passAt(t)
			if t < 0 || t > w.record.seconds || pass < 0 || pass > w.pass.seconds {
				break
			}
			lag, ratio, err := w.lag(t, pass-t)
			if err != nil {
				return 0, err
			}
			if math.Abs(lag) < nearSeconds && ratio > nearRatio {
				last = t
			}
		}
		return last, nil
	}
	from, err := walk(run.from, -1)
	if err != nil {
		return err
	}
	to, err := walk(run.to, 1)
	if err != nil {
		return err
	}
	run.from = math.Max(from-reachSeconds/4, math.Max(0, run.songAt(0)))
	run.to = math.Min(to+reachSeconds/4, math.Min(w.record.seconds, run.songAt(w.pass.seconds)))
	return nil
}

func (r *rigid) passAt(song float64) float64 { return r.offset + song*(1+r.ppm/1e6) }
func (r *rigid) songAt(pass float64) float64 { return (pass - r.offset) / (1 + r.ppm/1e6) }
