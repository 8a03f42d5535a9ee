package lineup

import (
	"context"
	"math"
	"slices"

	"takeweave/internal/dsp"
)

const (
	edgeSeconds   = 0.4  // a free end is moved out by this
	extendSeconds = 4.0  // a stretch is looked at this far beyond its ends
	bridgeSeconds = 15.0 // gaps up to this long are bridged when the tempo goes on
	bridgeBend    = 0.2  // how far the tempo over the gap may differ from even
)

// laid is one curve with its evidence, kept over [passFrom, passTo).
type laid struct {
	curve            *curve
	evidence         *evidence
	passFrom, passTo float64
	elsewhere        elsewhere
}

// live lays the located stretches of a pass on the song.
func live(ctx context.Context, record, pass *Recording, where location, report func(float64)) ([]laid, error) {
	song, err := record.wholeFine(ctx)
	if err != nil {
		return nil, err
	}
	tables := newRecordTables(record, song)
	var centres []*curve
	var spans []part // where in the pass each centre was found to hold
	for _, s := range bridgeStretches(where.stretches) {
		centres = append(centres, centreOf(s))
	}
	ears := &listener{pass: pass, shift: where.shift}
	// Two rounds find where each curve begins and ends, looking beyond its ends;
	// the last lays it again between them, free of what is played around it.
	const rounds = 3
	var out []laid
	for round := range rounds {
		last := round == rounds-1
		var curves []*curve
		var evidences []*evidence
		for i, c := range centres {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if last {
				c = c.withStraightEnds(1.5, 1.5+edgeSeconds, record.seconds, pass.seconds)
			} else {
				c = c.extended(extendSeconds, record.seconds, pass.seconds)
			}
			if len(c.pass) < 20 {
				continue
			}
			fitted, e, err := layOne(ctx, tables, ears, c)
			if err != nil {
				return nil, err
			}
			curves, evidences = append(curves, fitted), append(evidences, e)
			report((float64(round) + float64(i+1)/float64(len(centres))) / rounds)
		}
		if last {
			for i, c := range curves {
				from, to := freeEnds(spans, i)
				l := laid{curve: c, evidence: evidences[i]}
				l.passFrom = math.Max(from, math.Max(0, c.pass[0]))
				l.passTo = math.Min(to, math.Min(pass.seconds, c.pass[len(c.pass)-1]))
				if l.elsewhere, err = compareElsewhere(ctx, tables, ears, l); err != nil {
					return nil, err
				}
				out = append(out, l)
			}
			break
		}
		centres, spans = nil, nil
		for _, p := range bridgeParts(assign(curves, evidences), curves) {
			if kept := curves[p.curve].between(p.passFrom, p.passTo); len(kept.pass) >= 20 {
				centres, spans = append(centres, kept), append(spans, p)
			}
		}
	}
	return out, nil
}

// How far the ends of a stretch are cut back by how its attacks correlate, set
// on twelve generated days with jumps at the true notes: of the notes under these
// limits three in five are placed wrongly by more than 200 ms, being played on the
// other side of the jump. In ends left as they are the bound holds for 0.83 of the
// notes, in ends cut back for 0.90.
const (
	endSeconds   = 1.6  // of an end in which evidence under endAttacks ends it,
	endAttacks   = 0.50 // over 2 s,
	tipSeconds   = 0.4  // and in which evidence under tipAttacks does,
	tipAttacks   = 0.55 // over 0.6 s
	shortestKept = 1.0  // seconds; less is no stretch
)

// cutBack returns l without the ends that cannot be trusted. The pass is judged
// before that, by all of it.
func (l laid) cutBack() laid {
	e := l.evidence
	from, to := l.passFrom, l.passTo
	for i, p := range e.pass {
		if p < l.passFrom || p > l.passTo {
			continue
		}
		untrusted := func(far float64) bool {
			return far < endSeconds && e.corr[i] < endAttacks || far < tipSeconds && e.near[i] < tipAttacks
		}
		if untrusted(p - l.passFrom) {
			from = math.Max(from, p+evidenceStep/2)
		}
		if untrusted(l.passTo - p) {
			to = math.Min(to, p-evidenceStep/2)
		}
	}
	l.passFrom, l.passTo = from, to
	return l
}

// freeEnds returns span i, lengthened by edgeSeconds where no neighbour is near:
// evidence gathered over 2 s starts late and stops early.
func freeEnds(spans []part, i int) (from, to float64) {
	from, to = spans[i].passFrom, spans[i].passTo
	if i == 0 || from-spans[i-1].passTo > 2*edgeSeconds {
		from -= edgeSeconds
	}
	if i == len(spans)-1 || spans[i+1].passFrom-to > 2*edgeSeconds {
		to += edgeSeconds
	}
	return from, to
}

// withStraightEnds replaces the first and last cut seconds of c, which what is
// played before and after may have bent, by going on for reach seconds at the
// tempo inside.
func (c *curve) withStraightEnds(cut, reach, recordSeconds, passSeconds float64) *curve {
	n := int(cut / curveStep)
	if len(c.pass) < 4*n {
		return c
	}
	inner := &curve{c.song(n), c.pass[n : len(c.pass)-n]}
	return inner.extended(reach, recordSeconds, passSeconds)
}

// recordTables are the record's features at each rate, made once per Align.
type recordTables struct {
	record  *Recording
	side    side
	joined  []*dsp.Series // one per stage of the cascade
	attacks *dsp.Series   // see attacksOf
}

func newRecordTables(record *Recording, f *fine) *recordTables {
	t := &recordTables{record: record, side: side{record.Chroma(0, record.seconds, 0), onsetChroma(f.pitch)}, attacks: attacksOf(f.pitch)}
	for _, s := range cascade {
		t.joined = append(t.joined, f.joined(s.hz))
	}
	return t
}

// keptSeconds is how much a listener keeps: 17 MB.
const keptSeconds = 600

// listener reads fine features of the pass and keeps the last stretches, which
// the next round asks for again.
type listener struct {
	pass  *Recording
	shift int
	kept  []*fine
}

// of returns the features over at least [from, to) seconds, as far as the pass
// reaches.
func (l *listener) of(ctx context.Context, from, to float64) (*fine, error) {
	from, to = math.Max(0, from), math.Min(l.pass.seconds, to)
	const edge = 0.02 // rows
	for _, f := range l.kept {
		if n := f.pitch.Rows(); n > 0 && f.pitch.Time(0) <= from+edge && f.pitch.Time(n-1) >= to-edge {
			return f, nil
		}
	}
	const more = extendSeconds + 1 // the second round looks a little further
	f, err := l.pass.fineOf(ctx, from-more, to+more, l.shift)
	if err != nil {
		return nil, err
	}
	l.kept = append(l.kept, f)
	rows := 0
	for _, k := range l.kept {
		rows += k.pitch.Rows()
	}
	for len(l.kept) > 1 && rows > keptSeconds*dsp.FluxHz {
		rows -= l.kept[0].pitch.Rows()
		l.kept = slices.Delete(l.kept, 0, 1)
	}
	return f, nil
}

// layOne warps and refines one curve and weighs it.
func layOne(ctx context.Context, t *recordTables, l *listener, c *curve) (*curve, *evidence, error) {
	const margin = 2.5 // seconds: the reach of the warp and of the first stage
	from, to := c.pass[0]-margin, c.pass[len(c.pass)-1]+margin
	f, err := l.of(ctx, from, to)
	if err != nil {
		return nil, nil, err
	}
	f = &fine{f.pitch.Part(from, to), f.band.Part(from, to)}
	c = warp(t.side, side{l.pass.Chroma(from, to, l.shift), onsetChroma(f.pitch)}, c)
	c.smooth(2.5)
	for i, s := range cascade {
		c = refine(t.joined[i], f.joined(s.hz), c, s)
	}
	return c, weigh(t, l, attacksOf(f.pitch), c), nil
}

// centreOf turns a located stretch into a smooth curve.
func centreOf(s stretch) *curve {
	c := &curve{from: s.song[0]}
	last := len(s.pass) - 1
	k := 0
	for i := range int((s.song[last]-s.song[0])/curveStep) + 1 {
		t := c.song(i)
		for k < last-1 && s.song[k+1] <= t {
			k++
		}
		x := 0.0
		if d := s.song[k+1] - s.song[k]; d > 0 {
			x = math.Min(math.Max((t-s.song[k])/d, 0), 1)
		}
		c.pass = append(c.pass, s.pass[k]+x*(s.pass[k+1]-s.pass[k]))
	}
	c.makeRising(0.3)
	c.smooth(6)
	c.makeRising(0.3)
	return c
}

// extended lengthens c by up to seconds at both ends, going on at the tempo of
// the nearest 6 s, as far as record and pass reach.
func (c *curve) extended(seconds, recordSeconds, passSeconds float64) *curve {
	const own = 6.0
	n := len(c.pass)
	tempo := func(a, b float64) float64 {
		a, b = math.Max(a, c.from), math.Min(b, c.to())
		if b-a < 1 {
			return 1
		}
		return math.Min(math.Max((c.at(b)-c.at(a))/(b-a), 0.7), 1.4)
	}
	before, after := tempo(c.from, c.from+own), tempo(c.to()-own, c.to())
	lead := int(math.Min(seconds, math.Min(c.from, c.pass[0]/before)) / curveStep)
	tail := int(math.Min(seconds, math.Min(recordSeconds-c.to(), (passSeconds-c.pass[n-1])/after)) / curveStep)
	lead, tail = max(lead, 0), max(tail, 0)
	out := &curve{from: c.from - float64(lead)*curveStep}
	for i := lead; i > 0; i-- {
		out.pass = append(out.pass, c.pass[0]-float64(i)*curveStep*before)
	}
	out.pass = append(out.pass, c.pass...)
	for i := 1; i <= tail; i++ {
		out.pass = append(out.pass, c.pass[n-1]+float64(i)*curveStep*after)
	}
	return out
}

// between returns the points of c in the pass times [from, to].
func (c *curve) between(from, to float64) *curve {
	a := 0
	for a < len(c.pass) && c.pass[a] < from {
		a++
	}
	b := a
	for b < len(c.pass) && c.pass[b] <= to {
		b++
	}
	return &curve{c.song(a), c.pass[a:b]}
}

// evenGap reports whether going on from (pass0, song0) to (pass1, song1) is the
// same playing with something unlike the record between.
func evenGap(pass0, song0, pass1, song1 float64) bool {
	dp, ds := pass1-pass0, song1-song0
	return dp >= 0 && ds > 0 && dp <= bridgeSeconds && math.Abs(math.Log(math.Max(dp, 0.01)/ds)) < bridgeBend
}

// bridgeStretches joins located stretches over gaps in which the song went on.
func bridgeStretches(in []stretch) []stretch {
	var out []stretch
	for _, s := range in {
		if n := len(out); n > 0 {
			p := &out[n-1]
			last := len(p.pass) - 1
			if evenGap(p.pass[last], p.song[last], s.pass[0], s.song[0]) {
				p.pass, p.song = append(p.pass, s.pass...), append(p.song, s.song...)
				continue
			}
		}
		out = append(out, s)
	}
	return out
}

// bridgeParts joins parts of one curve over gaps in which the song went on.
func bridgeParts(in []part, curves []*curve) []part {
	var out []part
	for _, p := range in {
		if n := len(out); n > 0 && out[n-1].curve == p.curve {
			c := curves[p.curve]
			if evenGap(out[n-1].passTo, c.songAt(out[n-1].passTo), p.passFrom, c.songAt(p.passFrom)) {
				out[n-1].passTo = p.passTo
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// songAt returns the song time of a pass time, inside the curve.
func (c *curve) songAt(p float64) float64 {
	lo, hi := c.from, c.to()
	for range 40 {
		mid := (lo + hi) / 2
		if c.at(mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
