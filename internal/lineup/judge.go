package lineup

import (
	"fmt"
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// What the decision needs. The odds are a logistic regression on generated days
// (see docs/lineup.md), of which half are decoys in the same key, on the same
// chords, in the same style.
const (
	leastHeard = 4.0   // seconds of sound below which a pass that fits nothing is silent,
	leastClear = 3.0   // dB, when no notes stand out of the background either
	riseDB     = 5.0   // over the quietest tenth: that is sound
	quietDB    = -75.0 // and nothing below this is
	leastSong  = 6.0   // seconds of fitting song below which nothing is accepted
	bestShare  = 0.7   // quantile of what is said of attacks and harmony: improvised or fluffed passages do not count against the rest

	// The logarithm of the odds that it is the song:
	oddsOver    = 16.2  // per unit that attacks are more alike here than elsewhere,
	oddsAttacks = 29.8  // that attacks are alike,
	oddsHarmony = -21.9 // that harmony is: what shares the chords should share the attacks,
	oddsBend    = -2.53 // per factor e that the tempo is more uneven,
	oddsLost    = -4.4  // for a short stretch in a long pass (see summary.lost)
	oddsNone    = -10.9
	bendLowest  = 0.025 // unevenness below which less says nothing, and that of stretches too short to tell,
	bendHighest = 0.15  // and above which more does not
	longSong    = 60.0  // seconds of song from which on it does not matter how long the pass is
	leastOdds   = -0.3  // to be accepted
	nearOdds    = -2.0  // to be called near
	partLess    = 3.0   // a stretch may have so much lower odds than the whole must
)

// summary is what the decision rests on.
type summary struct {
	seconds float64 // of the song in kept stretches
	share   float64 // of what sounds in the pass that they take up
	fitting float64 // of them, seconds that fit
	attacks float64 // correlation of attacks in the better part, all and treble in equal shares
	harmony float64 // chroma cosine in the better part
	over    float64 // how much more alike attacks are where the pass was laid than at the best other places of the record
	bend    float64 // logarithm of the unevenness of the tempo
}

func summarise(parts []laid) summary {
	var s summary
	var attacks, treble, harmony []float64
	rows := 0.0
	for _, l := range parts {
		e := l.evidence
		all := 0.0
		for i, p := range e.pass {
			if p < l.passFrom || p > l.passTo {
				continue
			}
			all++
			if e.record[i] < 0.2 && e.heard[i] < 0.2 {
				continue
			}
			attacks, treble, harmony = append(attacks, e.corr[i]), append(treble, e.treble[i]), append(harmony, e.chroma[i])
			if e.fit[i] > 0 {
				s.fitting += evidenceStep
			}
		}
		rows += all
		s.over += all * (l.elsewhere.here - l.elsewhere.best)
		s.bend += all * math.Log(l.unevenness())
	}
	s.seconds = rows * evidenceStep
	s.over /= math.Max(1, rows)
	s.bend /= math.Max(1, rows)
	s.attacks = (dsp.Quantile(attacks, bestShare) + dsp.Quantile(treble, bestShare)) / 2
	s.harmony = dsp.Quantile(harmony, bestShare)
	return s
}

// odds returns the logarithm of the odds that the stretches are of the song.
func (s summary) odds() float64 {
	return oddsNone + oddsOver*s.over + oddsAttacks*s.attacks + oddsHarmony*s.harmony + oddsBend*s.bend + oddsLost*s.lost()
}

// alike puts the likeness into words.
func (s summary) alike() string {
	points := func(x float64) float64 { return 100 * math.Max(0, x) }
	return fmt.Sprintf("over %.0f s attacks are alike by %.0f %%, %.0f points more than elsewhere in the record, and harmony by %.0f %%",
		s.seconds, points(s.attacks), points(s.over), points(s.harmony))
}

// lost is how little of a song there is in how much that sounds: in a long pass of
// something else some passage always comes near.
func (s summary) lost() float64 { return (1 - s.share) * math.Max(0, 1-s.seconds/longSong) }

// unevenness returns the median bend of the tempo over the stretch: by how much
// that over a second differs from that over the six seconds around it, as a
// logarithm. Laid on another song, a pass sways.
func (l laid) unevenness() float64 {
	var at []float64
	for _, p := range l.evidence.pass {
		if p >= l.passFrom && p <= l.passTo {
			at = append(at, p)
		}
	}
	tempo := func(i int, seconds float64) float64 {
		half := int(seconds / evidenceStep / 2)
		return math.Log(math.Max((at[i+half]-at[i-half])/seconds, 0.05))
	}
	const reach = int(3 / evidenceStep)
	var bends []float64
	for i := reach; i+reach < len(at); i++ {
		bends = append(bends, math.Abs(tempo(i, 1)-tempo(i, 6)))
	}
	if len(bends) == 0 {
		return bendLowest
	}
	return math.Min(math.Max(dsp.Median(bends), bendLowest), bendHighest)
}

// judge decides and puts the decision into words.
func judge(record, pass *Recording, where location, parts []laid) film.LineUp {
	parts = dropUnlike(parts)
	s := summarise(parts)
	heard := pass.soundingSeconds()
	s.share = math.Min(1, s.seconds/math.Max(1, heard))
	out := film.LineUp{Figures: []film.Figure{
		{Name: "song fitting", Value: s.fitting, Unit: "s", Limit: leastSong},
		{Name: "log odds of the song", Value: s.odds(), Limit: leastOdds},
		{Name: "attacks more alike than elsewhere", Value: s.over},
		{Name: "unevenness of the tempo", Value: math.Exp(s.bend)},
		{Name: "share of what is heard", Value: s.share},
		{Name: "attacks alike", Value: s.attacks},
		{Name: "harmony alike", Value: s.harmony},
		{Name: "sound over the room", Value: pass.clarityDB, Unit: "dB"},
		{Name: "location score", Value: where.perFrame},
		{Name: "location score in the next best key", Value: where.runnerUp},
	}}
	percent := func(x float64) float64 { return 100 * math.Max(0, x) }
	if s.fitting >= leastSong && s.odds() >= leastOdds {
		out.Status = film.Aligned
		out.Cents, out.Semitones = tuningBetween(record, pass, where.shift)
		uneven := unevenness(parts)
		for _, l := range parts {
			l = l.cutBack()
			if seg, ok := segmentOf(l, uneven); ok && l.passTo-l.passFrom >= shortestKept {
				out.Segments = append(out.Segments, seg)
			}
		}
		if len(out.Segments) == 0 {
			out.Status, out.Reason = film.Refused, "only moments that fit the song, none long enough to be sure of"
			return out
		}
		out.Covered = covered(out.Segments)
		out.Reason = fmt.Sprintf("played live: %s, %.0f s of the song, attacks alike by %.0f %%, harmony by %.0f %%",
			count(len(out.Segments), "stretch", "stretches"), out.Covered, percent(s.attacks), percent(s.harmony))
		if out.Semitones != 0 {
			out.Reason += ", " + inKey(out.Semitones)
		}
		return out
	}
	out.Figures = append(out.Figures, film.Figure{Name: "sound heard", Value: heard, Unit: "s", Limit: leastHeard})
	switch {
	case pass.Seconds() < leastSong && heard > 0:
		out.Status = film.Refused
		out.Reason = fmt.Sprintf("too short to tell: %.1f s of sound, %.0f s of the song needed", pass.Seconds(), leastSong)
	case heard < leastHeard && pass.clarityDB < leastClear:
		out.Status = film.Silent
		out.Reason = fmt.Sprintf("nothing to hear but the room: %.1f s of sound, %.0f s needed", heard, leastHeard)
	case s.fitting < leastSong:
		out.Status = film.Refused
		out.Reason = fmt.Sprintf("not this song, or too little of it: %.1f s fit, %.0f s needed", s.fitting, leastSong)
	case s.odds() >= nearOdds:
		out.Status = film.Refused
		out.Reason = fmt.Sprintf("probably this song, but %s: listen and decide", s.alike())
	default:
		out.Status = film.Refused
		out.Reason = fmt.Sprintf("not this song: at best %s", s.alike())
	}
	return out
}

// dropUnlike leaves out stretches that are clearly not the song, unless none is.
func dropUnlike(parts []laid) []laid {
	var out []laid
	for _, l := range parts {
		s := summarise([]laid{l})
		s.share = 1 // a part is judged for itself
		if s.odds() >= leastOdds-partLess {
			out = append(out, l)
		}
	}
	if out == nil {
		return parts
	}
	return out
}

// inKey says by how much the key of a pass differs from the record's.
func inKey(semitones int) string {
	way := "higher"
	if semitones < 0 {
		way, semitones = "lower", -semitones
	}
	return fmt.Sprintf("%s %s than the record, so the fingering differs", count(semitones, "semitone", "semitones"), way)
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// covered returns how many seconds of song the segments cover at least once.
func covered(segments []film.Segment) float64 {
	const step = 0.1
	seen := map[int]bool{}
	for i := range segments {
		span := segments[i].SongSpan()
		for k := int(float64(span.From) / step); k < int(float64(span.To)/step); k++ {
			seen[k] = true
		}
	}
	return float64(len(seen)) * step
}

// soundingSeconds returns for how long more than the room is heard.
func (r *Recording) soundingSeconds() float64 {
	if r.loudNotes <= 0 {
		return 0
	}
	var level []float32 // of each 0.1 s
	for i := 0; i+5 <= len(r.levelDB); i += 5 {
		var sum float64
		for _, v := range r.levelDB[i : i+5] {
			sum += math.Pow(10, float64(v)/10)
		}
		level = append(level, float32(10*math.Log10(sum/5)))
	}
	floor := dsp.Quantile(append([]float32(nil), level...), 0.1)
	n := 0
	for _, v := range level {
		if v > floor+riseDB && v > quietDB {
			n++
		}
	}
	return float64(n) / 10
}
