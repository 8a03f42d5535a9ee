package songmap

import (
	"fmt"
	"slices"

	"takeweave/internal/film"
)

func (e MoveBeat) apply(d *draft) (string, error) {
	if err := place(e.Index, len(d.Beats), "beat"); err != nil {
		return "", err
	}
	was := d.Beats[e.Index].At
	name := fmt.Sprintf("beat %d (%s)", e.Index+1, d.Address(was))
	if later(e.At-was) == later(0) {
		return "", badEdit(name+" is there already", "move it by a millisecond or more")
	}
	if err := d.free(e.At, e.Index, e.Index+1); err != nil {
		return "", err
	}
	for i := range d.Lines {
		if d.Lines[i].Span.From == was {
			d.Lines[i].Span.From = e.At
		}
	}
	d.Beats[e.Index].At = e.At
	d.retempo()
	return name + " moved " + later(e.At-was), nil
}

func (e AddBeat) apply(d *draft) (string, error) {
	i, _ := slices.BinarySearchFunc(d.Beats, e.At, beatBefore)
	if err := d.free(e.At, i, i); err != nil {
		return "", err
	}
	first := slices.Insert(d.downbeats(), i, false)
	d.Beats = slices.Insert(d.Beats, i, film.Beat{At: e.At})
	passOn(first, i, d.BeatsPerBar)
	d.recount(first)
	d.retempo()
	if i == 0 {
		d.Lines[0].Span.From = e.At
	}
	return fmt.Sprintf("a beat added at %.2f s, beat %d", float64(e.At), i+1), nil
}

// passOn lets the bar that got a beat at place i, when it is too long now, pass
// its last beat on to the next, and so on until a short one takes it.
func passOn(first []bool, i, perBar int) {
	start := i
	for start > 0 && !first[start] {
		start--
	}
	if !first[start] {
		return // a pickup
	}
	for k := start + 1; k < len(first); k++ {
		switch {
		case first[k] && k > i:
			return
		case k-start == perBar:
			first[k] = true
			if k+1 < len(first) {
				first[k+1] = false
			}
			start, i = k, k
		}
	}
}

func (e DropBeat) apply(d *draft) (string, error) {
	if err := place(e.Index, len(d.Beats), "beat"); err != nil {
		return "", err
	}
	at := d.Beats[e.Index].At
	name := fmt.Sprintf("beat %d (%s)", e.Index+1, d.Address(at))
	for i := range d.Lines {
		if d.Lines[i].Span.From != at {
			continue
		}
		from, ok := d.otherStart(i, e.Index)
		if !ok {
			return "", badEdit(fmt.Sprintf("%s has no other beat to begin with than beat %d", d.LineName(i), e.Index+1), "join the line with another first")
		}
		d.also = append(d.also, fmt.Sprintf("%s begins %s", d.LineName(i), later(from-at)))
		d.Lines[i].Span.From = from
	}
	first := d.downbeats()
	if next := e.Index + 1; first[e.Index] && next < len(first) {
		first[next] = true
	}
	first = slices.Delete(first, e.Index, e.Index+1)
	d.Beats = slices.Delete(d.Beats, e.Index, e.Index+1)
	d.joinShortBars(first, e.Index)
	d.recount(first)
	d.retempo()
	return name + " removed", nil
}

// otherStart returns the beat that line may begin with when the given one goes:
// the nearer of its neighbours with which no line begins.
func (d *draft) otherStart(line, beat int) (at film.SongTime, ok bool) {
	was := d.Beats[beat].At
	for _, i := range []int{beat - 1, beat + 1} {
		if i < 0 || i >= len(d.Beats) || slices.ContainsFunc(d.Lines, func(l film.Line) bool { return l.Span.From == d.Beats[i].At }) {
			continue
		}
		if t := d.Beats[i].At; !ok || t-was < was-at {
			at, ok = t, true
		}
	}
	return at, ok
}

// joinShortBars joins the bar that lost its beat at place i with the next when
// both fit into one.
func (d *draft) joinShortBars(first []bool, i int) {
	start := min(max(i-1, 0), len(first)-1)
	for start > 0 && !first[start] {
		start--
	}
	next := start + 1
	for next < len(first) && !first[next] {
		next++
	}
	end := next + 1
	for end < len(first) && !first[end] {
		end++
	}
	if next < len(first) && end < len(first) && first[start] && end-start <= d.BeatsPerBar {
		first[next] = false
	}
}

func (e HalfTempo) apply(d *draft) (string, error) {
	from, to, where, err := d.beatsOf(e.Span)
	if err != nil {
		return "", err
	}
	if to-from < 3 {
		return "", badEdit("there are too few beats to keep every other one", "give a stretch of 3 beats or more")
	}
	old := d.downbeats()
	start := from // a beat that is kept and begins a bar
	if i := slices.Index(old[from:to], true); i >= 0 {
		start += i
	}
	var beats []film.Beat
	var first []bool
	for i, b := range d.Beats {
		mark := old[i]
		if i >= from && i < to {
			if (i-start)%2 != 0 {
				continue
			}
			mark = i >= start && (i-start)/2%d.BeatsPerBar == 0
		}
		beats, first = append(beats, b), append(first, mark)
	}
	d.Beats = beats
	return d.newTempo("halved", where, first)
}

func (e DoubleTempo) apply(d *draft) (string, error) {
	from, to, where, err := d.beatsOf(e.Span)
	if err != nil {
		return "", err
	}
	old := d.downbeats()
	var beats []film.Beat
	var first []bool
	inBar := d.Beats[from].InBar * 2 % d.BeatsPerBar
	for i, b := range d.Beats {
		if i < from || i >= to {
			beats, first = append(beats, b), append(first, old[i])
			continue
		}
		if old[i] {
			inBar = 0
		}
		beats, first = append(beats, b), append(first, inBar%d.BeatsPerBar == 0)
		next := 2*b.At - d.Beats[max(i-1, 0)].At
		if i+1 < len(d.Beats) {
			next = d.Beats[i+1].At
		}
		between := (b.At + next) / 2
		if i+1 == len(d.Beats) && (i == 0 || between >= d.Music.To) {
			continue
		}
		if between-b.At < leastStep {
			return "", badEdit(fmt.Sprintf("beats %d and %d are too close for one between them", i+1, i+2), "halve the tempo, or give another stretch")
		}
		beats, first = append(beats, film.Beat{At: between}), append(first, (inBar+1)%d.BeatsPerBar == 0)
		inBar += 2
	}
	if len(beats) == len(d.Beats) {
		return "", badEdit("there is no beat to put another behind", "give a longer stretch")
	}
	d.Beats = beats
	return d.newTempo("doubled", where, first)
}

// newTempo finishes a change of tempo.
func (d *draft) newTempo(how, where string, first []bool) (string, error) {
	d.recount(first)
	if err := d.layLines(); err != nil {
		return "", err
	}
	d.retempo()
	words := "the tempo is " + how + where
	if d.TempoBPM > 0 && where == "" {
		words += fmt.Sprintf(": %g beats a minute", d.TempoBPM)
	}
	return words, nil
}

func (e ShiftDownbeat) apply(d *draft) (string, error) {
	from, where := 0, ""
	if e.From != nil {
		if err := place(*e.From, len(d.Beats), "beat"); err != nil {
			return "", err
		}
		from, where = *e.From, " from "+d.Address(d.Beats[*e.From].At)+" on"
	}
	by := e.By % d.BeatsPerBar
	if by == 0 {
		return "", badEdit(fmt.Sprintf("bars of %d beats that begin %d beats later are the same", d.BeatsPerBar, e.By), "shift by fewer beats than a bar has")
	}
	old := d.downbeats()
	first := make([]bool, len(old))
	copy(first, old[:from])
	moved := false
	for i := from; i < len(old); i++ {
		if to := i + by; old[i] && to >= 0 && to < len(old) {
			first[to], moved = true, true
		}
	}
	if !moved {
		return "", badEdit("no bar begins there", "give an earlier beat")
	}
	d.recount(first)
	if by < 0 {
		return fmt.Sprintf("bars begin %s earlier%s", count(-by, "beat"), where), nil
	}
	return fmt.Sprintf("bars begin %s later%s", count(by, "beat"), where), nil
}

func (e BeatsPerBar) apply(d *draft) (string, error) {
	if e.Beats < 2 || e.Beats > 16 {
		return "", badEdit(fmt.Sprintf("a bar cannot have %s", count(e.Beats, "beat")), "give 2 to 16")
	}
	if e.Beats == d.BeatsPerBar {
		return "", badEdit(fmt.Sprintf("bars have %d beats already", e.Beats), "give another number")
	}
	d.BeatsPerBar = e.Beats
	first := d.downbeats()
	start := max(0, slices.Index(first, true))
	for i := range first {
		first[i] = i >= start && (i-start)%e.Beats == 0
	}
	d.recount(first)
	return fmt.Sprintf("bars have %d beats", e.Beats), nil
}

// free returns an error unless a beat may lie at t between the beats before
// place i and from place j on.
func (d *draft) free(t film.SongTime, i, j int) error {
	if !(t >= 0 && t < d.Music.To) {
		return badEdit(fmt.Sprintf("%.2f s lies outside the music", float64(t)), fmt.Sprintf("give a time from 0 to before %.2f s", float64(d.Music.To)))
	}
	for _, k := range []int{i - 1, j} {
		if k < 0 || k >= len(d.Beats) {
			continue
		}
		if gap := t - d.Beats[k].At; k < i && !(gap >= leastStep) || k >= j && !(-gap >= leastStep) {
			return badEdit(fmt.Sprintf("%.2f s is not between its neighbours: beat %d is at %.2f s", float64(t), k+1, float64(d.Beats[k].At)),
				fmt.Sprintf("stay %.0f ms away from it, or move or drop that one first", leastStep*1000))
		}
	}
	return nil
}

// beatsOf returns the places of the beats in span and how the span is called;
// all of them and "" when it is nil.
func (d *draft) beatsOf(span *film.SongSpan) (from, to int, where string, err error) {
	if span == nil {
		return 0, len(d.Beats), "", nil
	}
	for _, b := range d.Beats {
		if b.At < span.From {
			from++
		}
		if b.At < span.To {
			to++
		}
	}
	if from >= to {
		return 0, 0, "", badEdit(fmt.Sprintf("there is no beat from %.2f to %.2f s", float64(span.From), float64(span.To)), "give a longer stretch")
	}
	return from, to, fmt.Sprintf(" from %s to %s", d.Address(d.Beats[from].At), d.Address(d.Beats[to-1].At)), nil
}

// downbeats tells which beats begin a bar.
func (d *draft) downbeats() []bool {
	first := make([]bool, len(d.Beats))
	for i, b := range d.Beats {
		first[i] = b.InBar == 0
	}
	return first
}

// recount counts the beats in bars that begin where first says and wherever they
// would get too long. A pickup is counted backwards from the first bar.
func (d *draft) recount(first []bool) {
	m := d.BeatsPerBar
	lead := max(0, slices.Index(first, true))
	for i := range lead {
		d.Beats[i].InBar = ((i-lead)%m + m) % m
	}
	inBar := 0
	for i := lead; i < len(d.Beats); i++ {
		if first[i] || inBar == m {
			inBar = 0
		}
		d.Beats[i].InBar = inBar
		inBar++
	}
}
