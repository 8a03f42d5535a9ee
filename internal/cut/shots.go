package cut

import (
	"math"

	"takeweave/internal/film"
)

// shots turns the steps of a solution into what the film shows, each shot with
// its reasons in plain words.
func (b *solution) shots() []film.Shot {
	var out []film.Shot
	for n, s := range b.steps {
		first, end := b.points[s.i].frame, b.points[s.j].frame
		if s.p == b.hole() {
			if n > 0 && b.steps[n-1].p == b.hole() {
				out[len(out)-1].End = end
				continue
			}
			out = append(out, film.Shot{First: first, End: end, Speed: 1, Why: "nothing was filmed for this moment"})
			continue
		}
		src := b.sources[s.p]
		l, _ := b.lay(s)
		shot := film.Shot{
			First: first, End: end,
			Pass: src.Pass, Clip: src.Clip.ID, File: src.Clip.File, Setup: src.Setup.Name, Segment: src.Segment,
			SourceStart: l.start, Speed: l.speed, HoldErrorMS: l.worst() * 1000,
		}
		shot.Agreement, shot.Worst, shot.MapErrorMS = b.judge(s)
		previous := b.hole()
		if n > 0 {
			previous = b.steps[n-1].p
		}
		shot.Why = b.explain(s, previous, l, shot.Worst)
		out = append(out, shot)
	}
	return out
}

// judge returns the agreement of a shot, that of its weakest slot, and the
// worst map error. The agreement is the mean over the music in the shot; but
// that over its slots that do not agree alone, where it has any, so that such
// a shot is never called good. Where nothing is played both are 1.
func (b *solution) judge(s step) (mean, weakest, mapErrorMS float64) {
	var all, bad, allSeconds, badSeconds float64
	weakest = 1
	for k := s.i; k < s.j; k++ {
		v := b.views[s.p][k]
		if b.overruled(s.p, k) {
			v.chance, v.kind = b.sources[s.p].agreement.mean(b.slots[k].music), agrees
		}
		mapErrorMS = math.Max(mapErrorMS, v.mapErrorMS)
		seconds := b.slots[k].music.Len()
		if seconds <= 0 {
			continue
		}
		weakest = math.Min(weakest, v.chance)
		all += seconds * v.chance
		allSeconds += seconds
		if v.kind >= refused {
			bad += seconds * v.chance
			badSeconds += seconds
		}
	}
	switch {
	case badSeconds > 0:
		mean = bad / badSeconds
	case allSeconds > 0:
		mean = all / allSeconds
	default:
		mean = 1
	}
	return mean, weakest, mapErrorMS
}

// overruled reports whether a source is seen in a slot because the person
// overruled its refusal.
func (b *solution) overruled(p, k int) bool {
	for _, pin := range b.pins {
		if pin.Kind == film.PinOverrule && pin.names(b.sources[p]) && pin.first <= b.slots[k].first && b.slots[k].end <= pin.end {
			return b.see(b.sources[p], b.slots[k]).kind > agrees
		}
	}
	return false
}
