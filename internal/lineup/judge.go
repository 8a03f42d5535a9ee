package lineup

import (
	"fmt"
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// What the decision needs. Set on generated songs against other songs in the
// same key, on the same chords, in the same style at nearly the same tempo: the
// likeness of such decoys stays below -0.3, that of passes of the song (5 dB to
// 25 dB over the noise, records with a band nobody plays live) lies from 0.55
// up; only a pass without its singer against a dense record falls between.
const (
	leastHeard  = 4.0   // seconds of sound below which a pass that fits nothing is silent,
	leastClear  = 3.0   // dB, when no notes stand out of the background either
	riseDB      = 5.0   // over the quietest tenth: that is sound
	quietDB     = -75.0 // and nothing below this is
	leastSong   = 6.0   // seconds of fitting song below which nothing is accepted
	leastLike   = 0.1
	shortSong   = 20.0 // below so many seconds more likeness is asked for,
	shortMore   = 1.0  // at no seconds at all this much
	sparseShare = 0.6  // below this share of what sounds in the pass more is asked for too:
	sparseMore  = 2.5  // another song always has some passage that comes near
	partLess    = 1.5  // a stretch may be this much less like the song than the whole must be
	attacksMid  = 0.63 // correlation of attacks at 10 dB clarity that speaks neither for nor against
	attacksStep = 0.04
	perClarity  = 0.006 // of it per dB of clarity
	harmonyMid  = 0.88
	harmonyStep = 0.04
	bestShare   = 0.7 // quantile of both: improvised or fluffed passages do not count against the rest
)

// summary is what the decision rests on.
type summary struct {
	seconds float64 // of the song in kept stretches
	share   float64 // of what sounds in the pass that they take up
	fitting float64 // of them, seconds that fit
	attacks float64 // correlation of attacks in the better part, all and treble in equal shares
	harmony float64 // chroma cosine in the better part
	like    float64 // both as one number; see leastLike
}

// attacksWanted returns the correlation of attacks that speaks neither for nor
// against at a clarity.
func attacksWanted(clarityDB float64) float64 {
	return attacksMid + perClarity*(math.Min(math.Max(clarityDB, 6), 16)-10)
}

func summarise(parts []laid, clarityDB float64) summary {
	var s summary
	var attacks, treble, harmony []float64
	for _, l := range parts {
		e := l.evidence
		for i, p := range e.pass {
			if p < l.passFrom || p > l.passTo {
				continue
			}
			s.seconds += evidenceStep
			if e.record[i] < 0.2 && e.heard[i] < 0.2 {
				continue
			}
			attacks, treble, harmony = append(attacks, e.corr[i]), append(treble, e.treble[i]), append(harmony, e.chroma[i])
			if e.fit[i] > 0 {
				s.fitting += evidenceStep
			}
		}
	}
	s.attacks = (dsp.Quantile(attacks, bestShare) + dsp.Quantile(treble, bestShare)) / 2
	s.harmony = dsp.Quantile(harmony, bestShare)
	s.like = (s.attacks-attacksWanted(clarityDB))/attacksStep + (s.harmony-harmonyMid)/harmonyStep
	return s
}

// wanted returns the likeness that so much song in such a pass needs.
func (s summary) wanted() float64 {
	return leastLike + shortMore*math.Max(0, 1-s.seconds/shortSong) + sparseMore*math.Max(0, 1-s.share/sparseShare)
}

// shareOf returns how much of what sounds in the pass lies in the parts.
func shareOf(parts []laid, pass *Recording) float64 {
	all, inside := 0, 0
	for i := range len(pass.notes) / dsp.Notes {
		if !pass.sounds(i) {
			continue
		}
		all++
		for _, l := range parts {
			if t := float64(i) / notesHz; t >= l.passFrom && t < l.passTo {
				inside++
				break
			}
		}
	}
	return float64(inside) / math.Max(1, float64(all))
}

// judge decides and puts the decision into words.
func judge(record, pass *Recording, where location, parts []laid) film.LineUp {
	parts = dropUnlike(parts, pass.clarityDB)
	s := summarise(parts, pass.clarityDB)
	s.share = shareOf(parts, pass)
	out := film.LineUp{Figures: []film.Figure{
		{Name: "song fitting", Value: s.fitting, Unit: "s", Limit: leastSong},
		{Name: "attacks alike", Value: s.attacks, Limit: attacksWanted(pass.clarityDB)},
		{Name: "harmony alike", Value: s.harmony, Limit: harmonyMid},
		{Name: "likeness", Value: s.like, Limit: s.wanted()},
		{Name: "share of the pass", Value: s.share, Limit: sparseShare},
		{Name: "sound over the room", Value: pass.clarityDB, Unit: "dB"},
		{Name: "location score", Value: where.perFrame},
		{Name: "location score in the next best key", Value: where.runnerUp},
	}}
	percent := func(x float64) float64 { return 100 * math.Max(0, x) }
	if s.fitting >= leastSong && s.like >= s.wanted() {
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
	heard := pass.soundingSeconds()
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
	default:
		out.Status = film.Refused
		out.Reason = fmt.Sprintf("not this song: attacks alike by %.0f %% and harmony by %.0f %% over the %.0f s that come nearest, some %.0f %% and %.0f %% would be expected",
			percent(s.attacks), percent(s.harmony), s.seconds, percent(attacksWanted(pass.clarityDB)+s.wanted()*attacksStep/2), percent(harmonyMid+s.wanted()*harmonyStep/2))
	}
	return out
}

// dropUnlike leaves out stretches that are clearly not the song, unless none is.
func dropUnlike(parts []laid, clarityDB float64) []laid {
	var out []laid
	for _, l := range parts {
		s := summarise([]laid{l}, clarityDB)
		s.share = 1 // a part is judged for itself
		if s.like >= s.wanted()-partLess {
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
