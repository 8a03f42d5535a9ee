package main

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"takeweave/internal/film"
	"takeweave/internal/plan"
	"takeweave/internal/workbench"
)

type options struct {
	passes, lines int
	state, media  string
}

// day is the invented film day with all that was decided on it.
type day struct {
	o    options
	mu   sync.Mutex
	film workbench.Film
	plan plan.Plan
	past []workbench.Film // before each decision
	next []workbench.Film // after each undone one
	work *workbench.Work
	stop chan struct{}

	listeners map[chan event]bool
}

// beat is the length of a beat: 92 to the minute.
const beat = 60.0 / 92

var rate = film.Rate{Num: 25, Den: 1}

// lyric is all invented.
var lyric = []struct {
	section, letter string
	lines           []string
}{
	{"Verse 1", "A", []string{"Harbour lights go out like matches in the rain", "I have your letter folded in my coat again", "The winter boat is waiting with its engine low", "There is one more hour till the ropes let go"}},
	{"Chorus 1", "B", []string{"Slow ferry home, slow ferry home", "Carry what I borrowed over water, over stone", "Every light I counted was a light upon the foam", "Slow ferry, slow ferry home"}},
	{"Verse 2", "A", []string{"A man is mending nets with a needle made of bone", "He says the tide remembers what the town has never known", "I count the coats along the wall and one is mine", "The kettle and the weather sing a single line"}},
	{"Chorus 2", "B", []string{"Slow ferry home, slow ferry home", "Carry what I borrowed over water, over stone", "Every light I counted was a light upon the foam", "Slow ferry, slow ferry home"}},
	{"Middle", "C", []string{"And if the morning asks me where I have been", "I was learning all the names of green", "", "Hold the door, hold the rope, hold still"}},
	{"Last chorus", "B", []string{"Slow ferry home, slow ferry home", "Carry what I borrowed over water, over stone", "Nobody is waiting and nobody is alone", "Slow ferry, slow ferry home"}},
}

var setups = []film.Setup{
	{Name: "wide", Shows: film.ShowsBoth, Size: film.SizeWide, Safety: true},
	{Name: "face", Shows: film.ShowsLips, Size: film.SizeClose},
	{Name: "hands", Shows: film.ShowsHands, Size: film.SizeClose},
	{Name: "side", Shows: film.ShowsBoth, Size: film.SizeMid},
	{Name: "window", Shows: film.ShowsNeither, Size: film.SizeInsert},
}

func newDay(o options) *day {
	d := &day{o: o, listeners: map[chan event]bool{}}
	d.film = workbench.Film{
		Rev: 1, Name: "Slow Ferry Home", Record: "slow-ferry-home.wav", FPS: rate,
		Orders: []workbench.Order{},
	}
	if o.state == "empty" {
		d.film.Record, d.film.Missing = "", []string{"song", "lineup", "agree"}
		return d
	}
	d.film.Song = invented(o.lines)
	whole := film.SongSpan{To: d.film.Song.Duration}
	d.film.Orders = []workbench.Order{
		{ID: "16:9", Shape: "16:9", Width: 3840, Height: 2160, Span: whole, Made: true},
		{ID: "9:16", Shape: "9:16", Width: 1080, Height: 1920, Span: whole},
		{ID: "1:1 B1", Shape: "1:1", Width: 1080, Height: 1080, Span: d.film.Song.Sections[1].Span, Part: "Chorus 1"},
	}
	if o.state == "record" {
		d.film.Missing = []string{"lineup", "agree"}
		return d
	}
	d.film.Setups = setups
	d.film.Passes = invent(&d.film.Song, o)
	d.film.Done = []string{"the song was heard: 92 to the minute", "20 passes were lined up"}
	d.film.Pins = []workbench.Pin{}
	if o.state == "full" {
		l := d.film.Song.Lines
		d.film.Pins = []workbench.Pin{
			inWords(film.Pin{ID: 1, Kind: film.PinShowPass, Span: l[2].Span, Pass: "face 2", Said: "Verse 1.3"}),
			inWords(film.Pin{ID: 2, Kind: film.PinNotPass, Span: l[1].Span, Pass: "hands 3", Said: "Verse 1.2"}),
			inWords(film.Pin{ID: 3, Kind: film.PinCut, Span: film.SongSpan{From: l[3].Span.From + 4*beat, To: l[3].Span.From + 4*beat}, Said: "Verse 1.4/5"}),
			inWords(film.Pin{ID: 4, Kind: film.PinNoCut, Span: film.SongSpan{From: l[0].Span.From + 2*beat, To: l[0].Span.From + 6*beat}}),
			inWords(film.Pin{ID: 5, Kind: film.PinOverrule, Span: l[3].Span, Pass: "hands 1", Said: "Verse 1.4"}),
			inWords(film.Pin{ID: 6, Kind: film.PinShowSetup, Span: l[5].Span, Name: "window", Strong: true, Said: "Chorus 1.2"}),
		}
	}
	return d
}

func inWords(p film.Pin) workbench.Pin { return workbench.Pin{Pin: p, Words: p.Say()} }

// invented returns a song of so many lines of two bars, eight beats each.
func invented(lines int) film.Song {
	s := film.Song{TempoBPM: 92, BeatsPerBar: 4, Sureness: 0.93, TuningCents: -4}
	start := 0.4
	intro := 8
	at := func(n int) film.SongTime { return film.SongTime(start + float64(n)*beat) }
	n := intro
	for k := 0; len(s.Lines) < lines; k++ {
		part := lyric[k%len(lyric)]
		first := n
		name := part.section
		for i, text := range part.lines {
			l := film.Line{Section: len(s.Sections), Number: i + 1, Span: film.SongSpan{From: at(n), To: at(n + 8)}, Text: text}
			if i == 3 {
				l.Span.To = at(n + 10)
				n += 2
			}
			l.Words = words(text, l.Span)
			s.Lines = append(s.Lines, l)
			n += 8
			if len(s.Lines) == lines {
				break
			}
		}
		s.Sections = append(s.Sections, film.Section{Name: name, Letter: part.letter, Span: film.SongSpan{From: at(first), To: at(n)}})
	}
	s.Sections[0].PaceS = 6
	total := n + 6
	for i := range total {
		s.Beats = append(s.Beats, film.Beat{At: at(i), InBar: i % 4})
		if i%4 == 0 {
			s.Bars = append(s.Bars, film.Bar{Span: film.SongSpan{From: at(i), To: at(i + 4)}, FirstBeat: i, Count: min(4, total-i)})
		}
	}
	s.Duration = at(total) + 0.8
	s.Music = film.SongSpan{From: 0.4, To: s.Duration - 0.3}
	l := s.Lines
	s.MustSee = []film.MustSee{
		{Span: film.SongSpan{From: l[1].Span.From + 5*beat, To: l[1].Span.From + 7*beat}, Shows: film.ShowsHands, Text: "the run on the neck"},
		{Span: film.SongSpan{From: l[4].Span.From, To: l[4].Span.From + 2*beat}, Shows: film.ShowsLips, Text: "first words"},
	}
	for i := range l {
		s.Rests = append(s.Rests, film.Rest{At: l[i].Span.To - 0.3, Breath: i%2 == 0})
	}
	return s
}

// words lays the words of a line over its span but the last beat.
func words(text string, span film.SongSpan) []film.Word {
	var out []film.Word
	var letters int
	begin := -1
	var ends [][2]int
	for i, c := range text + " " {
		if c == ' ' {
			if begin >= 0 {
				ends = append(ends, [2]int{begin, i})
			}
			begin = -1
		} else if begin < 0 {
			begin = i
		}
		letters = i
	}
	long := (span.Len() - beat) / float64(max(letters, 1))
	for _, e := range ends {
		out = append(out, film.Word{
			Text: text[e[0]:e[1]],
			Span: film.SongSpan{From: span.From + film.SongTime(float64(e[0])*long), To: span.From + film.SongTime(float64(e[1])*long)},
		})
	}
	return out
}

// invent returns passes whose playing agrees here and there.
func invent(s *film.Song, o options) []workbench.Pass {
	var out []workbench.Pass
	each := o.passes / len(setups)
	for k, setup := range setups {
		many := each
		if k < o.passes%len(setups) {
			many++
		}
		for i := range many {
			out = append(out, one(s, o, setup, k, i, rand.New(rand.NewPCG(uint64(k), uint64(i)))))
		}
	}
	if o.state == "full" && len(out) > 8 {
		bad := &out[len(out)-1]
		bad.Status, bad.Reason, bad.Ribbons = film.Silent, "no sound to line up by", nil
		other := &out[len(out)-2]
		other.Status, other.Reason, other.Ribbons = film.Refused, "another song: 11 % of the notes are those of the record", nil
	}
	return out
}

func one(s *film.Song, o options, setup film.Setup, k, i int, chance *rand.Rand) workbench.Pass {
	name := setup.Name + " " + string(rune('1'+i%9))
	if i >= 9 {
		name = setup.Name + " " + string(rune('0'+(i+1)/10)) + string(rune('0'+(i+1)%10))
	}
	p := workbench.Pass{
		Name: name, Setup: setup.Name, Status: film.Aligned, Reason: "lined up over 97 % of the song",
		Width: 3840, Height: 2160, FPS: rate,
		Files: []workbench.File{{Clip: int64(1 + k*100 + i), Seconds: float64(s.Duration) + 4, Small: "ready", Type: "video/mp4"}},
	}
	if o.state == "silent" {
		p.Status, p.Reason = film.Silent, "no sound to line up by"
		return p
	}
	ahead := 1 + 2*chance.Float64() // how much of the clip runs before the song
	first, last := -1, len(s.Beats)
	if chance.IntN(4) == 0 {
		first = 24 + chance.IntN(24)
	}
	if chance.IntN(5) == 0 {
		last -= 30 + chance.IntN(30)
	}
	r := workbench.Ribbon{First: first, Lays: map[int]workbench.Laying{}}
	wander := 0.0
	state, left := "holds", 0
	for b := first; b < last; b++ {
		if left == 0 {
			left = 3 + chance.IntN(20)
			switch c := chance.IntN(10); {
			case c < 6:
				state = "holds"
			case c < 8:
				state, left = "doubtful", 2+chance.IntN(5)
			default:
				state, left = "refused", 2+chance.IntN(7)
			}
		}
		left--
		c := workbench.Cell{State: state, Score: 88 + chance.IntN(12)}
		wander += (chance.Float64() - 0.5) * 0.006
		switch state {
		case "doubtful":
			c.Score, c.Why = 45+chance.IntN(20), "cannot judge"
		case "refused":
			c.Score, c.Why, c.Late = chance.IntN(30), "late 46 ms", 46
			if i%2 == 1 {
				c.Why, c.Late = "other notes", 0
			}
		}
		r.Cells = append(r.Cells, c)
	}
	hold := 0.0
	for n := len(r.Cells) - 1; n >= 0; n-- {
		if r.Cells[n].State == "refused" {
			hold = 0
		} else {
			hold = math.Min(hold+beat, 9)
		}
		r.Cells[n].Hold = hold
	}
	at := func(b int) film.SongTime {
		switch {
		case b < 0:
			return 0
		case b >= len(s.Beats):
			return s.Duration
		}
		return s.Beats[b].At
	}
	r.Span = film.SongSpan{From: at(first), To: at(last)}
	r.Knots = [][2]float64{{float64(r.Span.From), float64(r.Span.From) + ahead}, {float64(r.Span.To), float64(r.Span.To) + ahead + wander}}
	for n, l := range s.Lines {
		if r.Span.Overlap(l.Span) > 0 {
			worst := math.Round(chance.Float64() * 60)
			r.Lays[n] = workbench.Laying{Slip: ahead, WorstMS: worst, Fits: worst < 45}
		}
	}
	p.Ribbons = []workbench.Ribbon{r}
	return p
}

// cut returns a cut that keeps to the pins as well as it may: every few beats
// the pass that holds longest among the setups whose turn it is.
func (d *day) cut(order string) workbench.Cut {
	s := &d.film.Song
	c := workbench.Cut{Order: order, Cut: film.Cut{Rate: rate, Shape: film.Shape(order), Frames: rate.NearestFrame(s.Duration)}}
	if len(d.film.Passes) == 0 {
		return c
	}
	chance := rand.New(rand.NewPCG(7, uint64(len(order))))
	var starts []film.SongTime
	starts = append(starts, 0)
	for b := 4 + chance.IntN(4); b < len(s.Beats)-4; b += 4 + 2*chance.IntN(4) {
		starts = append(starts, s.Beats[b].At)
	}
	for _, p := range d.film.Pins {
		switch p.Kind {
		case film.PinCut:
			starts = append(starts, p.Span.From)
		case film.PinShowPass, film.PinShowSetup:
			starts = slices.DeleteFunc(starts, func(t film.SongTime) bool { return t > p.Span.From-1 && t < p.Span.To+1 })
			starts = append(starts, p.Span.From, p.Span.To)
		case film.PinNoCut:
			starts = slices.DeleteFunc(starts, func(t film.SongTime) bool { return t >= p.Span.From && t < p.Span.To })
		}
	}
	slices.Sort(starts)
	last := ""
	for i, from := range starts {
		to := s.Duration
		if i+1 < len(starts) {
			to = starts[i+1]
		}
		span := film.SongSpan{From: from, To: to}
		p, state := d.best(span, last, chance)
		last = p.Setup
		slip := 0.0
		if len(p.Ribbons) > 0 {
			slip = p.Ribbons[0].Knots[0][1] - p.Ribbons[0].Knots[0][0]
		}
		c.Cut.Shots = append(c.Cut.Shots, film.Shot{
			First: rate.NearestFrame(from), End: rate.NearestFrame(to), Pass: p.Name, Setup: p.Setup, Clip: p.Files[0].Clip,
			SourceStart: film.PassTime(float64(from) + slip), Speed: 1, Agreement: 0.9, Worst: 0.7, Why: "agrees, holds the longest here",
		})
		c.States = append(c.States, state)
		var touch []int
		for n, pin := range d.film.Pins {
			if pin.Span.Overlap(span) > 0.05 || (pin.Span.Len() == 0 && (pin.Span.From == from)) {
				touch = append(touch, n)
			}
		}
		c.Pinned = append(c.Pinned, touch)
		c.Differs = append(c.Differs, order != "16:9" && i%5 == 2)
	}
	c.MeanShot = float64(s.Duration) / float64(len(starts))
	c.Agreeing = 0.97
	return c
}

func (d *day) best(span film.SongSpan, last string, chance *rand.Rand) (workbench.Pass, string) {
	best, bestFor := -1, math.Inf(-1)
	state := "holds"
	for i, p := range d.film.Passes {
		if len(p.Ribbons) == 0 || p.Ribbons[0].Span.Overlap(span) < span.Len()-0.1 {
			continue
		}
		worth := 3 * chance.Float64()
		if p.Setup == last {
			worth -= 6
		}
		for b, c := range p.Ribbons[0].Cells {
			n := p.Ribbons[0].First + b
			if n >= 0 && n < len(d.film.Song.Beats) && span.Holds(d.film.Song.Beats[n].At) && c.State == "refused" {
				worth -= 2
			}
		}
		for _, pin := range d.film.Pins {
			if pin.Span.Overlap(span) < 0.05 {
				continue
			}
			switch {
			case pin.Kind == film.PinShowPass && pin.Pass == p.Name, pin.Kind == film.PinShowSetup && pin.Name == p.Setup:
				worth += 100
			case pin.Kind == film.PinNotPass && pin.Pass == p.Name, pin.Kind == film.PinNotSetup && pin.Name == p.Setup:
				worth -= 100
			}
		}
		if worth > bestFor {
			best, bestFor = i, worth
		}
	}
	if best < 0 {
		return d.film.Passes[0], "doubtful"
	}
	return d.film.Passes[best], state
}
