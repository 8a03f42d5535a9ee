package filmday

import (
	"math"
	"math/rand/v2"

	"takeweave/internal/film"
)

// Day is a song, its record and whatever is filmed of it.
type Day struct {
	Seed   uint64
	Record *Record
}

// NewDay draws a song of about so many seconds and its record.
func NewDay(seed uint64, seconds float64) *Day {
	r := rand.New(rand.NewPCG(seed, 0xda7))
	return &Day{seed, NewRecord(r, NewSong(r, AnySong(r, seconds)), AnyRecord(r))}
}

// Kinds are the kinds of pass that Shoot knows. From "decoy key" on none of the
// song is in them.
var Kinds = []string{
	"full", "noisy", "sloppy", "rubato", "midstart", "fragment", "falsestart", "breakdown", "repeat", "skip", "vamp", "otherwise", "late", "improvised",
	"capo", "hands only", "voice only", "playback", "playback lag", "mimed", "several", "cut off", "split", "recorder",
	"decoy key", "decoy chords", "other song", "talk", "noodling", "room",
}

// Shoot makes the passes of a kind: one, or two of "split" (the camera began a
// new file) and of "recorder" (a recorder ran beside the camera). The same n
// gives the same passes.
func (d *Day) Shoot(kind string, n uint64) []Pass {
	r := rand.New(rand.NewPCG(d.Seed*1000003+n, hash(kind)))
	rec, p, cam := d.Record, AnyPlan(r, d.Record.Song), AnyCamera(r)
	s := rec.Song
	bars := len(s.Bars)
	some := func(least int) int { return min(bars, least+r.IntN(max(1, bars/3))) }
	middle := max(1, bars/4+r.IntN(max(1, bars/2)))
	switch kind {
	case "full":
	case "noisy":
		cam.SNRDB = -5 + 12*r.Float64()
		cam.Room.DirectDB = -8 + 6*r.Float64()
	case "sloppy":
		p.Habits.Miss, p.Habits.Slip, p.Habits.Extra = 0.05+0.12*r.Float64(), 0.05+0.1*r.Float64(), 0.15*r.Float64()
		p.Habits.Jitter += 0.012
	case "rubato":
		p.Habits.Walk, p.Habits.EndSlow, p.Habits.Tempo = 0.05+0.05*r.Float64(), 0.1+0.3*r.Float64(), 0.85+0.3*r.Float64()
	case "midstart":
		p.Runs[0].From = middle
	case "fragment":
		p.Runs = []Run{{From: middle, To: min(bars, middle+2+r.IntN(5))}}
		p.Before, p.After = 0.3+r.Float64(), 0.3+r.Float64()
	case "falsestart":
		p.Runs = []Run{{To: some(1)}, {To: bars, Pause: 1 + 5*r.Float64()}}
	case "breakdown":
		p.Runs = []Run{{To: middle}, {From: max(0, middle-r.IntN(6)), To: bars, Pause: 0.5 + 6*r.Float64()}}
	case "repeat":
		p.Runs = []Run{{To: middle}, {From: max(0, middle-2-r.IntN(6)), To: bars}}
	case "skip":
		p.Runs = []Run{{To: middle}, {From: min(bars-1, middle+2+r.IntN(max(1, bars/4))), To: bars}}
	case "vamp":
		p.Runs = []Run{{To: middle}, {From: max(0, middle-2-r.IntN(3)), To: middle, Vamp: true}, {From: middle, To: bars}}
	case "otherwise":
		for bar := 1 + r.IntN(4); bar < bars-1; {
			to := min(bars, bar+2+r.IntN(5))
			p.Otherwise = append(p.Otherwise, AnyStretch(r, Otherwises[r.IntN(len(Otherwises))], bar, to))
			bar = to + 2 + r.IntN(6)
		}
	case "late":
		p.Otherwise = []Stretch{AnyStretch(r, []Playing{Late, Early}[r.IntN(2)], middle, some(middle+2))}
	case "improvised":
		p.Otherwise = []Stretch{AnyStretch(r, Improvised, middle, min(bars, middle+max(2, bars/3)))}
		p.Otherwise[0].Strength = 1
	case "capo":
		p.Semitones = []int{-4, -3, -2, -1, 1, 2, 3, 5}[r.IntN(8)]
	case "hands only":
		p.NoVoice = true
	case "voice only":
		if s.Tune == NoTune {
			p.NoVoice = true
		} else {
			p.NoHands = true
		}
	case "playback", "playback lag":
		p.Playback = &Playback{SpeakerDB: -6 + 12*r.Float64()}
		p.Cents, p.Habits.Swing = 0, 0
		if kind == "playback lag" {
			p.Playback.Lag = (0.03 + 0.06*r.Float64()) * float64(2*r.IntN(2)-1)
		}
	case "mimed":
		p.Playback = &Playback{}
		p.NoHands, p.NoVoice = true, true
	case "several":
		for range 1 + r.IntN(2) {
			p.Runs = append(p.Runs, Run{To: bars, Pause: 3 + 15*r.Float64()})
		}
	case "cut off":
		c := rec.Perform(r, p)
		cam.From, cam.To = p.Before+0.2*c.Seconds()*r.Float64(), c.Seconds()*(0.6+0.3*r.Float64())
		return named(kind, c.Film(r, cam))
	case "split":
		c := rec.Perform(r, p)
		at := c.Seconds() * (0.3 + 0.4*r.Float64())
		next := cam
		cam.To, next.From = at, at
		return named(kind, c.Film(r, cam), c.Film(r, next))
	case "recorder":
		c := rec.Perform(r, p)
		other := AnyCamera(r)
		other.Room.Measured, other.Room.RT60, other.From = cam.Room.Measured, cam.Room.RT60, math.Min(1, p.Before)*r.Float64()
		return named(kind, c.Film(r, cam), c.Film(r, other))
	case "decoy key", "decoy chords", "other song":
		other := s.decoy(r, kind != "other song", kind == "decoy chords")
		p.Runs[0].To = len(other.Bars)
		return none(kind, film.Refused, (&Record{Song: other, beat: (&player{Habits: p.Habits, r: r}).beat(other, 0, other.Quarters(), 0)}).Perform(r, p).Film(r, cam))
	case "talk", "noodling":
		p.Runs, p.Before = nil, math.Min(60, 20+0.5*s.Seconds*r.Float64())
		p.Talk, p.Noodle = 1, 0
		if kind == "noodling" {
			p.Talk, p.Noodle = 0.1, 1
		}
		return none(kind, film.Refused, rec.Perform(r, p).Film(r, cam))
	case "room":
		c := &Scene{seconds: 15 + 0.3*s.Seconds*r.Float64()}
		c.dry = make([]float32, int(c.seconds*Rate))
		return none(kind, film.Silent, c.Film(r, cam))
	default:
		panic("filmday: no kind of pass is called " + kind)
	}
	return named(kind, rec.Perform(r, p).Film(r, cam))
}

func named(kind string, all ...Pass) []Pass {
	for i := range all {
		all[i].Truth.Kind = kind
	}
	return all
}

// none says that nothing of the song is in a pass.
func none(kind string, status film.Status, p Pass) []Pass {
	t := &p.Truth
	t.Kind, t.Status, t.Pieces, t.Meant = kind, status, nil, nil
	for i := range t.Heard {
		t.Heard[i].Note, t.Heard[i].Piece = -1, -1
	}
	return []Pass{p}
}

// hash turns a name into a seed (32 bit FNV-1a).
func hash(name string) uint64 {
	h := uint32(2166136261)
	for _, b := range []byte(name) {
		h = (h ^ uint32(b)) * 16777619
	}
	return uint64(h)
}
