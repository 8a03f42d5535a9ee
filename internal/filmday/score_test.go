package filmday_test

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"takeweave/internal/film"
	"takeweave/internal/filmday"
)

// grid is the step of song time on which agreement is scored, in seconds.
const grid = 0.25

// tally is what is counted of passes.
type tally struct {
	passes, statusRight int
	falselyAligned      []string
	missed              []string  // aligned in truth, and not found to be
	errors              []float64 // ms at notes of agreeing moments, the best copy, infinite where not covered
	bounds              []float64 // ms as stated, at notes that the map covers
	inBound             int
	scores              []scored // along the line-up's own map
	labels              []scored // on song time, by the notes alone, 0 where not covered
	picked, usable      float64  // moments scored as agreeing, and those that are and lie right
	agreeing, found     float64  // moments that agree, and those found and laid right
	reasons, rightly    int
}

// scored is a moment's score and whether it agrees, 0 or 1.
type scored struct{ score, y float64 }

func (a *tally) add(b *tally) {
	a.passes, a.statusRight, a.inBound = a.passes+b.passes, a.statusRight+b.statusRight, a.inBound+b.inBound
	a.falselyAligned, a.missed = append(a.falselyAligned, b.falselyAligned...), append(a.missed, b.missed...)
	a.errors, a.bounds = append(a.errors, b.errors...), append(a.bounds, b.bounds...)
	a.scores, a.labels = append(a.scores, b.scores...), append(a.labels, b.labels...)
	a.picked, a.usable, a.agreeing, a.found = a.picked+b.picked, a.usable+b.usable, a.agreeing+b.agreeing, a.found+b.found
	a.reasons, a.rightly = a.reasons+b.reasons, a.rightly+b.rightly
}

// score counts what was said of a pass of which all is known.
func score(name string, truth *filmday.Truth, l film.LineUp, all []film.Agreement) *tally {
	a := &tally{passes: 1}
	if l.Status == truth.Status {
		a.statusRight = 1
	}
	if truth.Status != film.Aligned {
		if l.Status == film.Aligned {
			a.falselyAligned = []string{name}
		}
		return a
	}
	if l.Status != film.Aligned {
		a.missed = []string{name}
	}
	pairs := truth.Pairs()
	best := bestCopies(truth, pairs, l)
	a.place(truth, pairs, best, l)
	a.onSongTime(truth, best, l, all)
	for i := range all {
		a.alongTheMap(truth, pairs, &l.Segments[i], &all[i])
	}
	return a
}

// laid is a note of the record, and how far off the map lays its best copy.
type laid struct {
	song film.SongTime
	ms   float64
}

// bestCopies returns the rightly played notes in song order.
func bestCopies(truth *filmday.Truth, pairs []filmday.Pair, l film.LineUp) (out []laid) {
	ms := map[int]laid{}
	for _, p := range pairs {
		if !p.Right {
			continue
		}
		e := math.Inf(1)
		for i := range l.Segments {
			if g := &l.Segments[i]; near(g, p.Pass, 0.15) {
				e = math.Min(e, offMS(truth, p, g))
			}
		}
		if old, ok := ms[p.Note]; !ok || e < old.ms {
			ms[p.Note] = laid{p.Song, e}
		}
	}
	for _, v := range ms {
		out = append(out, v)
	}
	slices.SortFunc(out, func(a, b laid) int { return int(math.Copysign(1, float64(a.song-b.song))) })
	return out
}

// near reports whether a segment reaches within some seconds of a pass time.
func near(g *film.Segment, at, seconds film.PassTime) bool {
	return at >= g.Knots[0].Pass-seconds && at <= g.Knots[len(g.Knots)-1].Pass+seconds
}

// offMS returns how far off a map is at a note. What is played to the loudspeaker
// is one offset and drift, however the hands follow.
func offMS(truth *filmday.Truth, p filmday.Pair, g *film.Segment) float64 {
	want := p.Song
	if truth.Playback {
		want = truth.Pieces[p.Piece].Segment.SongAt(p.Pass)
	}
	return 1000 * math.Abs(float64(g.SongAt(p.Pass)-want))
}

func (a *tally) place(truth *filmday.Truth, pairs []filmday.Pair, best []laid, l film.LineUp) {
	for _, v := range best {
		if truth.TrueShare(v.song) >= filmday.ShareYes {
			a.errors = append(a.errors, v.ms)
		}
	}
	for _, p := range pairs {
		for i := range l.Segments {
			if g := &l.Segments[i]; p.Right && near(g, p.Pass, 0) {
				bound := g.ErrorAt(g.SongAt(p.Pass))
				a.bounds = append(a.bounds, bound)
				if offMS(truth, p, g) <= bound {
					a.inBound++
				}
			}
		}
	}
}

// onSongTime scores as a person looks for places to use: the best score of a
// moment, whether the notes agree there, and whether it is laid right.
func (a *tally) onSongTime(truth *filmday.Truth, best []laid, l film.LineUp, all []film.Agreement) {
	last := film.SongTime(truth.Meant[len(truth.Meant)-1].At)
	for at := film.SongTime(truth.Meant[0].At); at < last; at += grid {
		share := truth.TrueShare(at)
		yes, no := share >= filmday.ShareYes, share < filmday.ShareNo
		if !yes && !no {
			continue // unclear, or nothing is played
		}
		top := 0.0
		for i := range all {
			if s, why, _ := all[i].At(at); why != film.WhyNotCovered {
				top = math.Max(top, s)
			}
		}
		right := laidRight(best, at)
		a.labels = append(a.labels, scored{top, one(yes)})
		if top >= film.Agrees {
			a.picked++
			a.usable += one(yes && right)
		}
		if yes {
			a.agreeing++
			a.found += one(top >= film.Agrees && right)
		}
	}
}

func one(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// laidRight reports whether half of the notes around lie within 90 ms.
func laidRight(best []laid, at film.SongTime) bool {
	var ms []float64
	for _, v := range best {
		if v.song >= at-0.75 && v.song <= at+0.75 {
			ms = append(ms, v.ms)
		}
	}
	slices.Sort(ms)
	return len(ms) > 0 && ms[(len(ms)-1)/2] <= 90
}

// alongTheMap scores what Judge promises: the same notes, in time, as the map
// lays them.
func (a *tally) alongTheMap(truth *filmday.Truth, pairs []filmday.Pair, g *film.Segment, said *film.Agreement) {
	limit := film.Setup{}.SyncTolerance()
	songAt := func(p film.PassTime) film.SongTime {
		if !near(g, p, 1) {
			return -1e9
		}
		return g.SongAt(p)
	}
	span := g.SongSpan()
	for at := span.From + grid/2; at < span.To; at += grid {
		s, why, _ := said.At(at)
		share := truth.Share(at, songAt)
		if math.IsNaN(share) || why == film.WhyNotCovered {
			continue
		}
		const nearMS = 10 // of the limit: single notes are uneven by as much
		late := truth.LateMS(pairs, at, g)
		off := math.Max(late-1000*limit.Late, -1000*limit.Early-late)
		switch {
		case share >= filmday.ShareYes && off < -nearMS:
			a.scores = append(a.scores, scored{s, 1})
		case share < filmday.ShareNo || off > nearMS:
			a.scores = append(a.scores, scored{s, 0})
		}
		if want, ok := reasonFor(truth, g, at, share, late, off > nearMS, off < -nearMS); ok {
			a.reasons++
			if why == want {
				a.rightly++
			}
		}
	}
}

var whys = map[filmday.Playing]film.Why{
	filmday.WrongNotes: film.WhyOtherNotes, filmday.SameChords: film.WhyOtherNotes, filmday.OtherRiff: film.WhyOtherNotes, filmday.Improvised: film.WhyOtherNotes,
	filmday.Thinned: film.WhyMissing, filmday.Busy: film.WhyExtra, filmday.Stopped: film.WhyNotPlaying,
}

// reasonFor returns what should be said of a moment; not ok where it lies between
// two ways of playing, or the map lays it elsewhere.
func reasonFor(truth *filmday.Truth, g *film.Segment, at film.SongTime, share, lateMS float64, off, inTime bool) (film.Why, bool) {
	for i := range truth.Pieces {
		p := &truth.Pieces[i].Segment
		if math.Abs(float64(p.PassAt(at)-g.PassAt(at))) > 0.5 {
			continue
		}
		how := truth.PlayingAt(i, at)
		if truth.PlayingAt(i, at-0.75) != how || truth.PlayingAt(i, at+0.75) != how {
			return 0, false
		}
		want, otherwise := whys[how.Playing]
		switch {
		case otherwise:
			return want, share < 0.5
		case how.Playing == filmday.NotPlayed || share < filmday.ShareYes:
			return 0, false
		case off && lateMS > 0:
			return film.WhyLate, true
		case off:
			return film.WhyEarly, true
		case truth.Semitones != 0:
			return film.WhyOtherKey, inTime
		}
		return film.WhyAgrees, inTime
	}
	return 0, false
}

// calibration returns the expected calibration error in ten bins.
//
// Source: [Guo2017].
func (a *tally) calibration() float64 {
	var bins [10]struct{ n, score, y float64 }
	for _, m := range a.scores {
		b := &bins[min(9, int(m.score*10))]
		b.n, b.score, b.y = b.n+1, b.score+m.score, b.y+m.y
	}
	sum := 0.0
	for _, b := range bins {
		sum += math.Abs(b.score - b.y)
	}
	return sum / float64(len(a.scores))
}

// reliability prints the bins of calibration.
func (a *tally) reliability() string {
	var out strings.Builder
	for k := range 10 {
		var n, sum, y float64
		for _, m := range a.scores {
			if min(9, int(m.score*10)) == k {
				n, sum, y = n+1, sum+m.score, y+m.y
			}
		}
		fmt.Fprintf(&out, "scored %.1f-%.1f: %6.0f moments, mean %.3f, agree %.3f\n", float64(k)/10, float64(k+1)/10, n, sum/n, y/n)
	}
	return out.String()
}

// area returns the area under the curve of labels, by the ranks: the chance that
// an agreeing moment scores above another.
func (a *tally) area() float64 {
	all := slices.Clone(a.labels)
	slices.SortFunc(all, func(x, y scored) int {
		switch {
		case x.score < y.score:
			return -1
		case x.score > y.score:
			return 1
		}
		return 0
	})
	var ranks, yes float64
	for i := 0; i < len(all); {
		to := i
		for to < len(all) && all[to].score == all[i].score {
			to++
		}
		for k := i; k < to; k++ {
			yes += all[k].y
			ranks += all[k].y * (float64(i+to) + 1) / 2
		}
		i = to
	}
	return (ranks - yes*(yes+1)/2) / (yes * (float64(len(all)) - yes))
}

const tableHead = "kind          passes status  median  <=20  <=45  <=90  bound  stated    ece    auc usable found reasons"

// row prints one line of the table.
func (a *tally) row(kind string) string {
	slices.Sort(a.errors)
	slices.Sort(a.bounds)
	within := func(ms float64) float64 {
		i, _ := slices.BinarySearch(a.errors, ms)
		return float64(i) / float64(len(a.errors))
	}
	middle := func(x []float64) float64 {
		if len(x) == 0 {
			return math.NaN()
		}
		return x[len(x)/2]
	}
	return fmt.Sprintf("%-14s %5d  %5.2f  %6.1f %5.3f %5.3f %5.3f  %5.3f  %6.0f  %5.3f  %5.3f  %5.3f %5.3f   %5.3f", kind, a.passes, float64(a.statusRight)/float64(a.passes),
		middle(a.errors), within(20), within(45), within(90), a.boundShare(), middle(a.bounds), a.calibration(), a.area(), a.usable/a.picked, a.found/a.agreeing, float64(a.rightly)/float64(a.reasons))
}

func (a *tally) boundShare() float64 { return float64(a.inBound) / float64(len(a.bounds)) }
