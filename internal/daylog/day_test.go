package daylog

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"takeweave/internal/film"
)

// aSong is 252 s long and has 9 sections of 4 lines of 7 s.
func aSong() *film.Song {
	s := &film.Song{Duration: 252}
	for i := range 9 {
		at := film.SongTime(28 * i)
		s.Sections = append(s.Sections, film.Section{Name: fmt.Sprintf("V%d", i+1), Span: film.SongSpan{From: at, To: at + 28}})
		for n := range 4 {
			from := at + film.SongTime(7*n)
			s.Lines = append(s.Lines, film.Line{Section: i, Number: n + 1, Span: film.SongSpan{From: from, To: from + 7}})
		}
	}
	return s
}

// habits are how a day goes: chances per pass unless said otherwise.
type habits struct {
	passes      int
	offsetS     float64 // the phone's clock less the camera's
	ppm         float64
	atEnd       bool  // files are stamped at their end
	coarseMS    int64 // file times are multiples
	noTimes     bool  // files have no times at all
	paper       bool  // the log is of whole minutes
	calls       float64
	linedUp     float64
	folders     bool
	cards       int
	careless    float64 // taps late or early by half a minute
	forgetBegin float64 // half of them are heard
	forgetEnd   float64
	forgetAll   float64
	lost        float64 // files
	falseStarts float64 // a third logged, a third not, a third within the pass's entry
	splits      float64
	doubleFiles float64
	doubleLogs  float64
	pickups     float64 // groups of looped pickups in one file
}

// anyHabits draws an ordinary day.
func anyHabits(r *rand.Rand) habits {
	offsets := []float64{0, 432, -95, 3600, -7200 + 312, 86400 * 3.3, 86400 * 2900, r.NormFloat64() * 1000}
	return habits{
		passes: 6 + r.IntN(17), offsetS: offsets[r.IntN(len(offsets))] + r.NormFloat64()*5, ppm: r.NormFloat64() * 40,
		atEnd: r.IntN(3) == 0, coarseMS: []int64{1, 1000, 2000}[r.IntN(3)],
		calls: []float64{0, 0, 0.3, 0.9}[r.IntN(4)], linedUp: []float64{0, 0.8}[r.IntN(2)], folders: r.IntN(2) == 0,
		cards: 1 + r.IntN(3), careless: 0.1, forgetBegin: 0.1, forgetEnd: 0.08, forgetAll: 0.05, lost: 0.04,
		falseStarts: 0.12, splits: 0.06, doubleFiles: 0.05, doubleLogs: 0.05, pickups: 0.08,
	}
}

// filmed is a day with its truth.
type filmed struct {
	entries []Entry
	clips   []Clip
	is      map[string][]string // file: its entries; nil when not logged
	either  map[string]bool     // a file that may as well be tied as not
	hasFile map[string]bool     // entries
}

// aDay films a day.
func aDay(r *rand.Rand, h habits) *filmed {
	d := &filmed{is: map[string][]string{}, either: map[string]bool{}, hasFile: map[string]bool{}}
	f := &filming{filmed: d, r: r, h: h, now: float64(noon) / 1000}
	setups := []string{"wide", "face", "hands"}
	for n := range h.passes {
		f.setup = setups[n*len(setups)/h.passes]
		f.card = n * h.cards / h.passes
		f.pass()
		f.now += 60 + r.ExpFloat64()*60
		if r.IntN(8) == 0 {
			f.now += 900 // a break or a relight
		}
	}
	r.Shuffle(len(d.clips), func(i, j int) { d.clips[i], d.clips[j] = d.clips[j], d.clips[i] })
	return d
}

type filming struct {
	*filmed
	r      *rand.Rand
	h      habits
	now    float64 // seconds, the phone's clock
	number int
	files  int
	setup  string
	card   int
}

func (f *filming) chance(p float64) bool { return f.r.Float64() < p }

// pass films one pass or what goes wrong with it.
func (f *filming) pass() {
	if f.chance(f.h.falseStarts) {
		f.falseStart()
	}
	if f.chance(f.h.pickups) {
		f.loops()
		return
	}
	from, length := f.now, 252+20+f.r.Float64()*15
	if f.chance(0.1) {
		length = 60 + f.r.Float64()*150 // broken off
	}
	f.now += length
	e := f.log(from, f.now, "")
	whole := length > 260
	f.film(from, length, e, []film.SongSpan{{From: 0, To: film.SongTime(min(252, length-15))}}, whole)
}

// falseStart films a few seconds before a pass.
func (f *filming) falseStart() {
	from, length := f.now, 5+f.r.ExpFloat64()*12
	f.now += length
	var e []Entry
	if f.r.IntN(2) == 0 {
		e = f.log(from, f.now, "")
	}
	f.film(from, length, e, nil, false)
	f.now += 20 + f.r.Float64()*40
}

// loops films looped pickups of one line in one file.
func (f *filming) loops() {
	from := f.now
	line := fmt.Sprintf("V%d.%d", 1+f.r.IntN(9), 1+f.r.IntN(4))
	span, _ := aSong().SpanOf(line)
	var entries []Entry
	var spans []film.SongSpan
	for range 1 + f.r.IntN(4) {
		entries = append(entries, f.log(f.now+3, f.now+20, line)...)
		spans = append(spans, film.SongSpan{From: max(0, span.From-6), To: span.To + 1})
		f.now += 30
	}
	f.film(from, f.now-from-8, entries, spans, false)
}

// log taps an entry, if it is not forgotten, and perhaps a second one.
func (f *filming) log(from, to float64, lines string) []Entry {
	f.number++
	e := Entry{ID: fmt.Sprintf("pass-%d", f.number), Number: f.number, Setup: f.setup, Lines: lines}
	tap := func(at float64) int64 {
		at += f.r.NormFloat64() * 2.5
		if f.chance(f.h.careless) {
			at += (f.r.Float64() - 0.5) * 60
		}
		return int64(at * 1000)
	}
	switch {
	case f.chance(f.h.forgetAll):
		return nil
	case f.h.paper:
		e.Origin = Later
		if f.chance(0.8) {
			e.RollingMS = int64(from/60) * minuteMS
		}
		return f.keep(e)
	case lines == "" && f.chance(f.h.forgetBegin):
		if f.chance(0.5) && to-from > 30 {
			e.Origin, e.RollingMS = Heard, int64((from+6+f.r.Float64()*14)*1000)
		}
	default:
		e.RollingMS = tap(from)
	}
	if !f.chance(f.h.forgetEnd) {
		e.CutMS = tap(to)
	}
	if e.CutMS != 0 && e.CutMS <= e.RollingMS {
		e.CutMS = e.RollingMS + 2000
	}
	if f.chance(f.h.doubleLogs) && e.RollingMS > 0 && to-from > 60 {
		twin := e
		f.number++
		twin.ID, twin.Number, twin.RollingMS = fmt.Sprintf("pass-%d", f.number), f.number, e.RollingMS+int64(f.r.Float64()*12_000)
		return f.keep(e, twin)
	}
	return f.keep(e)
}

func (f *filming) keep(e ...Entry) []Entry {
	f.entries = append(f.entries, e...)
	return e
}

// film writes the file or files of entries.
func (f *filming) film(from, length float64, entries []Entry, spans []film.SongSpan, mayBeWhole bool) {
	if f.chance(f.h.lost) {
		return
	}
	parts := []float64{length}
	if mayBeWhole && f.chance(f.h.splits) {
		at := length * (0.2 + 0.6*f.r.Float64())
		parts = []float64{at, length - at}
	}
	done := 0.0
	for k, part := range parts {
		c := f.clip(from+done, part)
		if f.h.folders {
			c.Setup = f.setup
		}
		for _, e := range entries {
			if k == 0 && !f.h.paper && e.Origin == Tapped && e.RollingMS > 0 && f.chance(f.h.calls) {
				at := float64(e.RollingMS)/1000 - from + f.r.NormFloat64()*0.1
				if at > 0 && at < part-1.5 {
					c.Calls = append(c.Calls, Call{e.Number, at})
				}
			}
			f.is[c.File] = append(f.is[c.File], e.ID)
			f.hasFile[e.ID] = true
		}
		if f.chance(f.h.linedUp) {
			c.LineUp = f.lineUp(spans, done, part)
		}
		if _, ok := f.is[c.File]; !ok {
			f.is[c.File] = nil
		}
		f.clips = append(f.clips, c)
		if f.chance(f.h.doubleFiles) {
			twin := c
			twin.File = "copy of " + c.File
			f.is[twin.File] = f.is[c.File]
			f.clips = append(f.clips, twin)
		}
		done += part
	}
}

// clip is a file with its time on the camera's clock.
func (f *filming) clip(from, length float64) Clip {
	f.files++
	at := from
	if f.h.atEnd {
		at += length
	}
	at += -f.h.offsetS + (from-float64(noon)/1000)*f.h.ppm*1e-6
	ms := int64(at*1000) / f.h.coarseMS * f.h.coarseMS
	c := Clip{File: fmt.Sprintf("K%03d.MOV", f.files), Digest: fmt.Sprint(f.files), Card: fmt.Sprint(f.card), TimeMS: ms, DurationS: length}
	if f.h.noTimes {
		c.TimeMS = 0
	}
	return c
}

// lineUp is what line-up says of part of a clip, which begins `done` seconds
// into the recording of spans.
func (f *filming) lineUp(spans []film.SongSpan, done, part float64) film.LineUp {
	if f.chance(0.1) || len(spans) == 0 {
		return film.LineUp{Status: []film.Status{film.Refused, film.Silent}[f.r.IntN(2)]}
	}
	l := film.LineUp{Status: film.Aligned}
	for _, s := range spans {
		if len(spans) == 1 && s.From == 0 { // a whole pass, after 15 s of getting ready
			s = film.SongSpan{From: film.SongTime(max(0, done-15)), To: film.SongTime(min(252, done+part-15))}
		}
		if s.Len() > 1 {
			l.Segments = append(l.Segments, film.Segment{Knots: []film.Knot{{Pass: 0, Song: s.From}, {Pass: film.PassTime(s.Len()), Song: s.To}}})
		}
	}
	return l
}

// score is how days were tied.
type score struct{ files, sure, wrong, asked, truthOffered, missing, wrongMissing int }

// judge compares a tying with the truth.
func (s *score) judge(d *filmed, t Tying) []string {
	var wrong []string
	say := func(format string, a ...any) { s.wrong++; wrong = append(wrong, fmt.Sprintf(format, a...)) }
	for _, tied := range t.Tied {
		s.sure++
		if !slices.Equal(tied.Entries, d.is[tied.File]) {
			say("%s tied to %v (%.4f), is %v", tied.File, tied.Entries, tied.Chance, d.is[tied.File])
		}
	}
	for _, file := range t.Unlogged {
		s.sure++
		if d.is[file] != nil {
			say("%s said to be unlogged, is %v", file, d.is[file])
		}
	}
	for _, q := range t.Questions {
		s.asked++
		if slices.ContainsFunc(q.Candidates, func(c Candidate) bool { return slices.Equal(c.Entries, d.is[q.File]) }) {
			s.truthOffered++
		}
	}
	for _, double := range t.Doubles {
		if !slices.Equal(d.is[double.File], d.is[double.Of]) {
			say("%s said to be a double of %s", double.File, double.Of)
		}
	}
	for _, id := range t.Missing {
		s.missing++
		if d.hasFile[id] {
			s.wrongMissing++
			wrong = append(wrong, fmt.Sprintf("%s said to have no file", id))
		}
	}
	s.files = s.sure + s.asked
	return wrong
}

// share returns how much was not asked.
func (s *score) share() float64 { return float64(s.sure) / float64(max(1, s.files)) }
