package songmap

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

const (
	fewestTaps = 4
	mostTaps   = 3000 // more than the longest songs have beats
	longestTap = 4.0  // seconds from beat to beat
	longestGap = 3    // beats from tap to tap: more is a pause, and nobody knows how many

	// tapReach is how many taps to both sides say where a beat is. The hand of
	// a person is off by some 20 ms from tap to tap; nine taps bring that down to
	// some 11 ms and still follow a tempo that bends. Measured in edit_tap_test.go.
	tapReach = 4

	// Lateness of the hand, in seconds, is looked for within mostLate; so far off,
	// tapped beats and attacks that belong together agree within sameLateness, and
	// half of the beats at least must have one. Common practice: a hand is early
	// or late by less than a tenth of a second, wireless loudspeakers by more.
	mostLate     = 0.12
	sameLateness = 0.025
)

func (e Tap) apply(d *draft) (string, error) {
	taps, err := countTaps(e.Times)
	if err != nil {
		return "", err
	}
	grid := taps.steady()
	late, by := e.lateness(d, grid)
	if !(math.Abs(late) <= 0.5) {
		return "", badEdit(fmt.Sprintf("taps cannot be %.0f ms late", late*1000), "give -500 to 500")
	}
	var beats []film.SongTime
	for _, t := range grid {
		if at := film.SongTime(t - late); at >= 0 && at < d.Music.To {
			beats = append(beats, at)
		}
	}
	for i := 1; i < len(beats); i++ {
		if beats[i]-beats[i-1] < leastStep {
			return "", badEdit(fmt.Sprintf("the taps around %.2f s are too uneven to make beats of", float64(beats[i])), "tap again, once for each beat")
		}
	}
	if len(beats) < fewestTaps {
		return "", badEdit("too few of the taps lie within the music", fmt.Sprintf("tap %d times or more before %.2f s", fewestTaps, float64(d.Music.To)))
	}
	d.putBeats(beats)
	if err := d.layLines(); err != nil {
		return "", err
	}
	d.rebuild()
	d.TempoBPM = tempoBPM(d.times())
	steps := float64(len(beats) - 1)
	said := []string{fmt.Sprintf("%s tapped from %s to %s at %.1f a minute, %s", count(len(beats), "beat"),
		d.Address(beats[0]), d.Address(beats[len(beats)-1]), 60*steps/float64(beats[len(beats)-1]-beats[0]), by)}
	if taps.missed > 0 {
		said = append(said, count(taps.missed, "missed tap")+" filled in")
	}
	if taps.doubled > 0 {
		said = append(said, count(taps.doubled, "doubled tap")+" left out")
	}
	return strings.Join(said, ", "), nil
}

// tapped are taps, each with the number of its beat.
type tapped struct {
	at              []float64
	beat            []int // rises strictly from 0
	missed, doubled int
}

// countTaps gives each tap the number of its beat. A tap that comes half a beat
// or less after the last is a doubled one, and the better of the two is kept.
func countTaps(times []film.SongTime) (tapped, error) {
	const hint = "tap once for each beat, without a pause"
	var out tapped
	var steps []float64
	sorted := slices.Sorted(slices.Values(times))
	for i := 1; i < len(sorted); i++ {
		steps = append(steps, float64(sorted[i]-sorted[i-1]))
	}
	if len(sorted) < fewestTaps {
		return out, badEdit(fmt.Sprintf("%s say no tempo", count(len(sorted), "tap")), fmt.Sprintf("tap %d times or more", fewestTaps))
	}
	if len(sorted) > mostTaps {
		return out, badEdit(count(len(sorted), "tap")+" are more than a song has beats", "tap a part of the song")
	}
	period := dsp.Median(slices.Clone(steps))
	if !(period >= leastStep && period <= longestTap) {
		return out, badEdit(fmt.Sprintf("taps that follow each other after %.2f s are no beats", period), hint)
	}
	out.at, out.beat = []float64{float64(sorted[0])}, []int{0}
	for _, t := range sorted[1:] {
		at, n := float64(t), len(out.at)
		step := at - out.at[n-1]
		if step < period/2 {
			out.doubled++
			if n > 1 && math.Abs(at-out.at[n-2]-period) < math.Abs(out.at[n-1]-out.at[n-2]-period) && out.beat[n-1]-out.beat[n-2] == 1 {
				out.at[n-1] = at
			}
			continue
		}
		beats := int(math.Round(step / period))
		if beats > longestGap {
			return out, badEdit(fmt.Sprintf("no tap from %.2f to %.2f s", out.at[n-1], at), hint)
		}
		out.missed += beats - 1
		out.at, out.beat = append(out.at, at), append(out.beat, out.beat[n-1]+beats)
		// The tempo may bend as the person taps on.
		period += 0.3 * (step/float64(beats) - period)
	}
	if wrong := out.missed + out.doubled; wrong > max(1, len(sorted)/3) || len(out.at) < fewestTaps-1 {
		return out, badEdit(fmt.Sprintf("the taps are too uneven to make beats of: %d missed, %d doubled", out.missed, out.doubled), hint)
	}
	return out, nil
}

// steady returns the time of every beat from the first tap to the last: where the
// taps around it say, those that are far off counting little.
//
// Source: robust locally weighted regression, [Cleveland1979].
func (t tapped) steady() []float64 {
	trust := make([]float64, len(t.at))
	for i := range trust {
		trust[i] = 1
	}
	for range 2 {
		off := make([]float64, len(t.at))
		for i, at := range t.at {
			off[i] = math.Abs(at - t.around(t.beat[i], trust))
		}
		// Taps off by six times the median count nothing; perfect taps leave none.
		limit := math.Max(6*dsp.Median(slices.Clone(off)), 0.02)
		for i := range trust {
			u := math.Min(off[i]/limit, 1)
			trust[i] = (1 - u*u) * (1 - u*u)
		}
	}
	var grid []float64
	for n := range t.beat[len(t.beat)-1] + 1 {
		grid = append(grid, t.around(n, trust))
	}
	return grid
}

// around returns the time of a beat by the line through the taps around it.
func (t tapped) around(beat int, trust []float64) float64 {
	reach := float64(tapReach)
	near := func() (taps int) { // with a say
		for i, n := range t.beat {
			if math.Abs(float64(n-beat)) <= reach && trust[i] > 0 {
				taps++
			}
		}
		return taps
	}
	for near() < fewestTaps && reach < float64(len(t.beat)*longestGap) {
		reach++
	}
	var w, x, y, xx, xy float64
	for i, n := range t.beat {
		far := math.Abs(float64(n-beat)) / (reach + 1)
		if far >= 1 {
			continue
		}
		weight := trust[i] * math.Pow(1-far*far*far, 3)
		dx, dy := float64(n-beat), t.at[i]-t.at[0]
		w, x, y, xx, xy = w+weight, x+weight*dx, y+weight*dy, xx+weight*dx*dx, xy+weight*dx*dy
	}
	slope := (w*xy - x*y) / (w*xx - x*x)
	return t.at[0] + (y-slope*x)/w
}

// lateness returns how late the tapped beats are, in seconds, and how that is
// known, in words.
func (e Tap) lateness(d *draft, grid []float64) (late float64, by string) {
	against, name := d.times(), "the beats that were there"
	switch {
	case e.LateMS != nil:
		return *e.LateMS / 1000, fmt.Sprintf("%.0f ms taken off as given", *e.LateMS)
	case len(e.Onsets) > 0:
		against, name = nil, "the attacks"
		for _, t := range slices.Sorted(slices.Values(e.Onsets)) {
			against = append(against, float64(t))
		}
	}
	var off []float64
	for _, t := range grid {
		i, _ := slices.BinarySearch(against, t-mostLate)
		for ; i < len(against) && against[i] <= t+mostLate; i++ {
			off = append(off, t-against[i])
		}
	}
	// The lateness that most agree with.
	var best []float64
	for _, centre := range off {
		var agree []float64
		for _, v := range off {
			if math.Abs(v-centre) <= sameLateness {
				agree = append(agree, v)
			}
		}
		if len(agree) > len(best) {
			best = agree
		}
	}
	if 2*len(best) < len(grid) {
		return 0, "as late as the hand was, since " + name + " do not tell"
	}
	late = dsp.Median(best)
	return late, fmt.Sprintf("%.0f ms taken off for the hand, by %s", late*1000, name)
}

// putBeats puts beats in place of those along which they lie and fills gaps that
// open at both ends. The bars along them keep as many of their downbeats as can
// be.
func (d *draft) putBeats(beats []film.SongTime) {
	// A beat as near as this to the taps is one of theirs; what it leaves is no
	// gap, since that begins at a step more.
	const nearest = 0.6
	n := len(beats)
	short := (beats[n-1] - beats[0]) / film.SongTime(n-1)
	long := short
	if old := len(d.Beats) - 1; old > 0 {
		step := (d.Beats[old].At - d.Beats[0].At) / film.SongTime(old)
		short, long = min(short, step), max(long, step)
	}
	var before, along, after []film.Beat
	for _, b := range d.Beats {
		switch {
		case b.At <= beats[0]-nearest*short:
			before = append(before, b)
		case b.At >= beats[n-1]+nearest*short:
			after = append(after, b)
		default:
			along = append(along, b)
		}
	}
	put := func(at film.SongTime, first bool) {
		inBar := 1
		if first {
			inBar = 0
		}
		d.Beats = append(d.Beats, film.Beat{At: at, InBar: inBar})
	}
	fill := func(from, to film.SongTime) {
		steps := math.Ceil(float64((to-from)/long) - 1 + (1 - nearest) - 1e-9)
		for k := 1.0; k < steps; k++ {
			put(from+(to-from)*film.SongTime(k/steps), false)
		}
	}
	if d.Music.To-beats[n-1] < 2*long {
		after = nil // the person tapped to the end
	}
	phase := d.phaseOf(beats, along)
	d.Beats = before
	if len(before) > 0 {
		fill(before[len(before)-1].At, beats[0])
	}
	for i, at := range beats {
		put(at, i%d.BeatsPerBar == phase)
	}
	end := d.Music.To
	if len(after) > 0 {
		end = after[0].At
	}
	fill(beats[n-1], end)
	d.Beats = append(d.Beats, after...)
	d.recount(d.downbeats())
}

// phaseOf returns which of the beats begins the first bar among them: the one
// with whose bars most old downbeats agree.
func (d *draft) phaseOf(beats []film.SongTime, old []film.Beat) int {
	votes := make([]int, d.BeatsPerBar)
	for _, b := range old {
		if b.InBar == 0 {
			nearest := 0
			for i, at := range beats {
				if math.Abs(float64(at-b.At)) < math.Abs(float64(beats[nearest]-b.At)) {
					nearest = i
				}
			}
			votes[nearest%d.BeatsPerBar]++
		}
	}
	return slices.Index(votes, slices.Max(votes))
}
