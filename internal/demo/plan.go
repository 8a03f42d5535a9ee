package demo

import (
	"math"
	"math/rand/v2"

	"takeweave/internal/film"
)

// position is one camera position of the day.
type position struct {
	setup film.Setup
	lens  lens
	// What is in the middle of the picture, metres in the player's plane.
	centreX, centreY float64
	swayPx           float64 // of a camera held by hand, at 640 pixels width
}

var positions = []position{
	{film.Setup{Name: "wide", Shows: film.ShowsBoth, Size: film.SizeWide}, lens{35, 1.4, 2500}, 0.03, -0.085, 3},
	{film.Setup{Name: "face", Shows: film.ShowsLips, Size: film.SizeClose}, lens{85, 1.8, 2200}, 0.035, -0.530, 4},
	{film.Setup{Name: "hands", Shows: film.ShowsHands, Size: film.SizeClose}, lens{50, 1.4, 1600}, 0.06, 0.01, 4},
	{film.Setup{Name: "strings", Shows: film.ShowsHands, Size: film.SizeInsert}, lens{100, 2, 1883}, -0.10, 0.045, 4},
	{film.Setup{Name: "loft", Shows: film.ShowsNeither, Size: film.SizeMid}, lens{85, 1.8, 1500}, -1.35, -0.50, 6},
}

// passPlan is a pass before it is played.
type passPlan struct {
	file  string // without folder
	setup string
	kind  Kind
	rate  film.Rate
}

var fps25, fps50, fps29 = film.Rate{Num: 25, Den: 1}, film.Rate{Num: 50, Den: 1}, film.Rate{Num: 30000, Den: 1001}

// standardDay is what is filmed, in the order of the day.
var standardDay = []passPlan{
	{"C0011.MP4", "wide", KindSafety, fps25},
	{"C0012.MP4", "wide", KindFalseStart, fps25},
	{"C0013.MP4", "face", KindPlayback, fps25},
	{"C0014.MP4", "face", KindTempo, fps25},
	{"C0015.MP4", "hands", KindSkip, fps29},
	{"C0016.MP4", "hands", KindWrongChord, fps25},
	{"C0017.MP4", "strings", KindPicking, fps50},
	{"C0018.MP4", "strings", KindMidStart, fps25},
	{"C0019.MP4", "hands", KindOtherSong, fps25},
	{"C0020.MP4", "loft", KindSilent, fps25},
}

// Streams of chance, so that nothing depends on the order of work.
const (
	streamRecord = iota + 1
	streamLoft
	streamPass // plus the number of the pass
)

const playbackDriftPPM = 40

// rehearse plays a pass. For playback, offset is the pass time at which the
// loudspeaker begins the record.
func rehearse(kind Kind, record *performance, rng *rand.Rand) (pf *performance, offset float64) {
	pf = &performance{}
	if kind == KindSilent {
		pf.end = 12
		return pf, 0
	}
	p := player{bpm: recordBPM * (1 + 0.006*rng.NormFloat64()), wander: 0.011, unevenSec: 0.006}
	if kind == KindTempo {
		p.bpm, p.wander = recordBPM*0.97, 0.024
	}
	// Before the song: talk, tuning up, a count-in.
	t := 0.3 + 0.4*rng.Float64()
	t2 := t + 0.9 + 1.4*rng.Float64()
	pf.chatter(t, t2, rng)
	t = pf.tuneUp(t2+0.3, 1+rng.IntN(2), rng)
	t2 = t + 0.4 + 0.8*rng.Float64()
	pf.chatter(t, t2, rng)
	start := t2 + 0.4 + 4*60/p.bpm

	whole := writeScore(changes{})
	switch kind {
	case KindOtherSong:
		p.bpm = 138
		pf.play(otherScore(), 0, 36, start, p, rng)
		for i := range pf.plucks { // none of it has a place in the song
			pf.plucks[i].beat = math.NaN()
		}
		pf.stretches = nil
	case KindPlayback:
		offset = start - 0.2
		pf.mime(record, offset, rng)
	case KindFalseStart:
		pf.countIn(start, p.bpm)
		broken := pf.play(whole, 0, 13.4, start, p, rng)
		pf.chatter(broken+0.6, broken+2.6, rng)
		again := broken + 3.2 + 4*60/p.bpm
		pf.countIn(again, p.bpm)
		pf.play(whole, 0, songBeats, again, p, rng)
	case KindSkip:
		pf.countIn(start, p.bpm)
		t := pf.play(whole, 0, skipFrom, start, p, rng)
		pf.play(whole, skipTo, songBeats, t, p, rng)
	case KindMidStart:
		pf.countIn(start, p.bpm)
		pf.play(whole, chorus1Beat, songBeats, start, p, rng)
	case KindWrongChord:
		pf.countIn(start, p.bpm)
		pf.play(writeScore(changes{chord: wrongChord}), 0, songBeats, start, p, rng)
	case KindPicking:
		pf.countIn(start, p.bpm)
		pf.play(writeScore(changes{verse2: rolled}), 0, songBeats, start, p, rng)
	default:
		pf.countIn(start, p.bpm)
		pf.play(whole, 0, songBeats, start, p, rng)
	}
	pf.chatter(pf.end-0.4, pf.end+0.6+0.6*rng.Float64(), rng)
	pf.end += 1.8
	pf.settle()
	return pf, offset
}

// The second line of verse 2 is what KindSkip leaves out.
const skipFrom, skipTo = verse2Beat + 8, verse2Beat + 16

// wrongBars are where KindWrongChord plays other chords.
var wrongBars = []struct {
	from, to float64
	chords   [2]chord
}{
	{verse1Beat + 16, verse1Beat + 24, [2]chord{chordF, chordBm}},
	{verse2Beat + 8, verse2Beat + 16, [2]chord{chordBm, chordF}},
}

func wrongChord(beat float64, c chord) chord {
	for _, w := range wrongBars {
		if beat >= w.from && beat < w.to {
			return w.chords[int(beat-w.from)/beatsPerBar]
		}
	}
	return c
}

// mime plays and sings along with the record that a loudspeaker begins at
// offset, on a clock that differs by playbackDriftPPM.
func (pf *performance) mime(record *performance, offset float64, rng *rand.Rand) {
	const unevenSec = 0.007
	at := func(song float64) float64 { return offset + song*(1+playbackDriftPPM*1e-6) }
	strumShift, lastStrum := 0.0, math.Inf(-1)
	for _, p := range record.plucks {
		shift := math.Max(-0.02, math.Min(0.02, rng.NormFloat64()*unevenSec))
		if p.strum != 0 {
			if p.beat != lastStrum {
				strumShift, lastStrum = shift, p.beat
			}
			shift = strumShift
		}
		p.at = at(p.at) + shift
		p.force *= 0.5
		pf.plucks = append(pf.plucks, p)
	}
	for _, s := range record.syllables {
		s.at = at(s.at) + rng.NormFloat64()*0.008
		s.level = 0.35
		pf.syllables = append(pf.syllables, s)
	}
	for _, h := range record.holds {
		pf.holds = append(pf.holds, fingering{at(h.at), h.chord})
	}
	for _, st := range record.stretches {
		st.start = at(st.start)
		grid := make([]float64, len(st.grid))
		for i, g := range st.grid {
			grid[i] = g * (1 + playbackDriftPPM*1e-6)
		}
		st.grid = grid
		pf.stretches = append(pf.stretches, st)
	}
	pf.end = math.Max(pf.end, at(record.end))
}

// faults says where a pass of the kind leaves the song of the record.
func faults(kind Kind, record *performance) []Fault {
	when := func(beat float64) film.SongTime { return film.SongTime(record.stretches[0].time(beat)) }
	switch kind {
	case KindSkip:
		return []Fault{{film.SongSpan{From: when(skipFrom), To: when(skipTo)}, "missing"}}
	case KindMidStart:
		return []Fault{{film.SongSpan{From: when(0), To: when(chorus1Beat)}, "missing"}}
	case KindPicking:
		return []Fault{{film.SongSpan{From: when(verse2Beat), To: when(chorus2Beat)}, "other picking"}}
	case KindWrongChord:
		var f []Fault
		for _, w := range wrongBars {
			f = append(f, Fault{film.SongSpan{From: when(w.from), To: when(w.to)}, "other chord"})
		}
		return f
	}
	return nil
}

// truthOf relates a pass to the record.
func truthOf(pf, record *performance) ([]PassPluck, []Run) {
	type spot struct {
		beat   float64
		string int
	}
	of := map[spot]pluck{}
	for _, p := range record.plucks {
		of[spot{p.beat, p.string}] = p
	}
	var plucks []PassPluck
	for _, p := range pf.plucks {
		q := PassPluck{PassS: film.PassTime(p.at), String: p.string, MIDI: p.midi()}
		if r, ok := of[spot{p.beat, p.string}]; ok { // NaN beats are never found
			at := film.SongTime(r.at)
			q.SongS, q.Same = &at, r.fret == p.fret
		}
		plucks = append(plucks, q)
	}
	var runs []Run
	for i := range pf.stretches {
		st := &pf.stretches[i]
		var run Run
		for b := st.from; b <= st.to; b++ {
			run.Knots = append(run.Knots, film.Knot{Pass: film.PassTime(st.time(b)), Song: film.SongTime(record.stretches[0].time(b))})
		}
		runs = append(runs, run)
	}
	return plucks, runs
}
