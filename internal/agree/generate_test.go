package agree

import (
	"math"
	"math/rand/v2"
	"slices"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// The generator invents songs, records of them with players whom nobody films,
// and passes in which some stretches are played otherwise, so that it is known of
// every moment which notes both play.

const rate = dsp.AnalysisRate

type voice int

const (
	pluck voice = iota
	sung
	bass
	pad
	drum
)

// note is a note of the song: times in beats.
type note struct {
	at, length float64
	pitch      int
	loud       float64
	spread     float64 // seconds after the beat: strums
	voice      voice
}

// tune is an invented song.
type tune struct {
	key, perBar, bars int
	bpm               float64
	strum             bool
	patterns          [2][]int
	chords            []int // one a bar: root above the key, 100 more is minor
	notes             []note
}

var loops = [][]int{{0, 7, 109, 5}, {0, 5, 7, 0}, {109, 5, 0, 7}, {0, 104, 5, 7}, {100, 8, 3, 10}, {100, 10, 8, 7}, {0, 10, 5, 0}, {102, 7, 0, 109}}

func tones(key, chord int) []int {
	third := 4
	if chord >= 100 {
		third = 3
	}
	base := key + chord%100%12
	return []int{base, base + 7, base + 12, base + 12 + third, base + 19, base + 24}
}

// accompany returns a bar of guitar on a chord. pattern has one number a half
// beat: which string is picked, or how a strum is left out.
func (s *tune) accompany(bar, chord int, pattern []int, strum bool) []note {
	var out []note
	t := tones(s.key, chord)
	for e := range 2 * s.perBar {
		at := float64(bar*s.perBar) + float64(e)/2
		switch p := pattern[e]; {
		case strum && (e%2 == 0 && p != 0 || p > 3):
			for k, n := range t[:5] {
				out = append(out, note{at, 1, n, 0.10, 0.009 * float64(k), pluck})
			}
		case !strum && (e == 0 || p != 0):
			n := t[1+(p+4)%5]
			if e%s.perBar == 0 {
				n = t[0]
			}
			out = append(out, note{at, 1.5, n, 0.22, 0, pluck})
		}
	}
	return out
}

func pattern(r *rand.Rand, perBar int) []int {
	p := make([]int, 2*perBar)
	for i := range p {
		p[i] = r.IntN(6)
	}
	return p
}

// melody returns a tune over bars.
func (s *tune) melody(r *rand.Rand, from, to int) []note {
	var out []note
	pitch := s.key + 24 + r.IntN(5)
	for bar := from; bar < to; bar++ {
		t := tones(s.key+12, s.chords[bar])
		for b := 0.0; b < float64(s.perBar); {
			length := math.Min([]float64{0.5, 0.5, 1, 1, 1.5, 2}[r.IntN(6)], float64(s.perBar)-b)
			if r.Float64() > 0.2 {
				if r.Float64() < 0.6 {
					pitch = t[1+r.IntN(4)]
				} else {
					pitch += []int{-2, -1, 1, 2}[r.IntN(4)]
				}
				pitch = min(max(pitch, s.key+15), s.key+32)
				out = append(out, note{float64(bar*s.perBar) + b, length * 0.95, pitch, 0.16, 0, sung})
			}
			b += length
		}
	}
	return out
}

func newTune(r *rand.Rand, bars int) *tune {
	s := &tune{key: 40 + r.IntN(10), perBar: 4, bars: bars, bpm: 70 + 70*r.Float64(), strum: r.IntN(2) == 0}
	if r.IntN(4) == 0 {
		s.perBar = 3
	}
	a, b := loops[r.IntN(len(loops))], loops[r.IntN(len(loops))]
	s.patterns = [2][]int{pattern(r, s.perBar), pattern(r, s.perBar)}
	for bar := range bars {
		loop, p := a, s.patterns[bar/8%2]
		if bar/8%2 == 1 {
			loop = b
		}
		s.chords = append(s.chords, loop[bar%4])
		s.notes = append(s.notes, s.accompany(bar, loop[bar%4], p, s.strum)...)
	}
	if r.IntN(4) > 0 {
		s.notes = append(s.notes, s.melody(r, 0, bars)...)
	}
	return s
}

// unseen returns what is on the record and never in a pass.
func (s *tune) unseen(r *rand.Rand) (out []note) {
	hasDrums, hasBass, hasPad, hasSecond := r.IntN(3) == 0, r.IntN(2) == 0, r.IntN(4) == 0, r.IntN(4) == 0
	p, loud := pattern(r, s.perBar), 0.4+1.2*r.Float64()
	defer func() {
		for i := range out {
			out[i].loud *= loud
		}
	}()
	for bar := range s.bars {
		t := tones(s.key, s.chords[bar])
		start := float64(bar * s.perBar)
		for b := range s.perBar {
			at := start + float64(b)
			if hasDrums {
				out = append(out, note{at, 0.2, b % 2, 0.25, 0, drum}, note{at + 0.5, 0.1, 2, 0.06, 0, drum})
			}
			if hasBass && (b == 0 || b == 2) {
				out = append(out, note{at, 1.8, t[0] - 12, 0.3, 0, bass})
			}
		}
		if hasPad {
			for _, n := range t[2:5] {
				out = append(out, note{start, float64(s.perBar), n, 0.05, 0, pad})
			}
		}
		if hasSecond {
			for _, n := range s.accompany(bar, s.chords[bar], p, false) {
				n.pitch, n.loud = n.pitch+12, n.loud/2
				out = append(out, n)
			}
		}
	}
	return out
}

// otherwise returns what is played in a stretch in place of the song.
func (s *tune) otherwise(r *rand.Rand, x stretch) []note {
	from, to, strength := x.from, x.to, x.strength

	var own, out []note
	for _, n := range s.notes {
		if b := n.at / float64(s.perBar); b >= float64(from) && b < float64(to) {
			own = append(own, n)
		}
	}
	p, strum := pattern(r, s.perBar), r.IntN(2) == 0
	if share := strength; share < 0.5 { // nearly the song's own pattern
		strum = s.strum
		for i, own := range s.patterns[from/8%2] {
			if r.Float64() > 0.2+share {
				p[i] = own
			}
		}
	}
	other := loops[r.IntN(len(loops))]
	switch x.kind {
	case "wrong": // the rhythm, other notes
		share := 0.3 + 0.6*strength
		for _, n := range own {
			if r.Float64() < share {
				n.pitch += []int{-5, -4, -3, -2, -1, 1, 2, 3, 4, 5}[r.IntN(10)]
			}
			out = append(out, n)
		}
	case "same chords": // another pattern
		for bar := from; bar < to; bar++ {
			out = append(out, s.accompany(bar, s.chords[bar], p, strum)...)
		}
	case "other riff":
		for bar := from; bar < to; bar++ {
			out = append(out, s.accompany(bar, other[(bar+1)%4], p, strum)...)
		}
		out = append(out, s.melody(r, from, to)...)
	case "thin": // much is left out
		share := 0.65 - 0.5*strength
		for _, n := range own {
			if r.Float64() < share {
				out = append(out, n)
			}
		}
	case "busy": // fills between
		share := 0.4 + 0.6*strength
		out = append(out, own...)
		for bar := from; bar < to; bar++ {
			t := tones(s.key, s.chords[bar])
			for e := range 4 * s.perBar {
				if r.Float64() < share {
					out = append(out, note{float64(bar*s.perBar) + float64(e)/4, 0.3, t[1+r.IntN(5)] + []int{0, 2, 12}[r.IntN(3)], 0.2, 0, pluck})
				}
			}
		}
	case "stopped":
	}
	return out
}

// stretch is a run of bars played otherwise, a little (strength 0) or much (1).
type stretch struct {
	from, to int
	kind     string
	strength float64
}

// swell is a run of bars of the song as it is, played softer or harder than on
// the record.
type swell struct {
	from, to int
	dB       float64
}

// player is a performance.
type player struct {
	tempo, walk, jitter float64
	miss, slip          float64 // share of notes left out, played wrong
	semitones           int
	cents               float64
	mapError            float64 // seconds of spread of the line-up
	drift               float64 // seconds by which the map is wrong in the middle third
	plan                []stretch
	swells              []swell
	room                room
}

// heardNote is a note as played.
type heardNote struct {
	at, length float64
	pitch      int
	loud       float64
	voice      voice
}

// perform returns the notes as played and the times of all quarter beats.
func (s *tune) perform(r *rand.Rand, notes []note, p player, start float64) (out []heardNote, when []float64) {
	total := s.bars * s.perBar
	when = make([]float64, 4*total+17)
	when[0] = start
	drift := 0.0
	for i := 1; i < len(when); i++ {
		drift = 0.985*drift + p.walk*math.Sqrt(1-0.985*0.985)*r.NormFloat64()
		when[i] = when[i-1] + 15/(s.bpm*p.tempo)*(1+drift)
	}
	for _, n := range notes {
		if r.Float64() < p.miss {
			continue
		}
		if n.voice != drum && r.Float64() < p.slip {
			n.pitch += []int{-2, -1, 1, 2}[r.IntN(4)]
		}
		at := timeAt(when, n.at) + n.spread + p.jitter*r.NormFloat64()
		out = append(out, heardNote{at, timeAt(when, n.at+n.length) - timeAt(when, n.at), n.pitch, n.loud * (0.7 + 0.6*r.Float64()), n.voice})
	}
	return out, when
}

// timeAt returns when a beat falls.
func timeAt(when []float64, beat float64) float64 {
	x := math.Min(beat*4, float64(len(when)-2))
	i := int(x)
	return when[i] + (x-float64(i))*(when[i+1]-when[i])
}

// timbre is how the voices of one recording sound.
type timbre struct {
	tilt, decay, attack, click, formant float64
	harmonics                           int
	cents                               float64
}

func newTimbre(r *rand.Rand, cents float64) timbre {
	return timbre{tilt: 0.7 + 0.9*r.Float64(), decay: 0.5 + 1.2*r.Float64(), attack: 0.001 + 0.004*r.Float64(), click: 0.3 * r.Float64(), formant: 500 + 1500*r.Float64(), harmonics: 6 + r.IntN(8), cents: cents}
}

// render adds up notes over seconds; balance weighs the voice against the guitar.
func (c timbre) render(r *rand.Rand, notes []heardNote, seconds, balance float64) []float32 {
	out := make([]float32, int(seconds*rate))
	made := map[[2]int][]float32{}
	for _, n := range notes {
		key := [2]int{n.pitch, int(n.voice)}
		wave, ok := made[key]
		if !ok {
			wave = c.wave(r, n.pitch, n.voice)
			made[key] = wave
		}
		loud := n.loud
		if n.voice == sung {
			loud *= balance
		}
		length := int(n.length * rate)
		const release = rate / 15
		from := int(n.at * rate)
		for i := range min(len(wave), length+release) {
			k := from + i
			if k < 0 || k >= len(out) {
				continue
			}
			g := float32(loud)
			if i > length {
				g *= 1 - float32(i-length)/release
			}
			out[k] += g * wave[i]
		}
	}
	return out
}

// wave returns a note as long as it may be held.
func (c timbre) wave(r *rand.Rand, pitch int, v voice) []float32 {
	seconds := 2.0
	if v == pad {
		seconds = 4
	}
	out := make([]float32, int(seconds*rate))
	if v == drum {
		for i := range out {
			t := float64(i) / rate
			switch pitch {
			case 0:
				out[i] = float32(math.Sin(2*math.Pi*(55*t-3*math.Exp(-40*t))) * math.Exp(-t*12))
			case 1:
				out[i] = float32(r.NormFloat64() * math.Exp(-t*18))
			default:
				out[i] = float32(r.NormFloat64() * math.Exp(-t*60))
			}
		}
		return out
	}
	hz := dsp.MIDIHz(float64(pitch) + c.cents/100)
	attack, vibratoHz, vibrato := c.attack, 4.8+r.Float64(), 0.0
	switch v {
	case sung:
		attack, vibrato = 0.045, 0.006
	case pad:
		attack = 0.3
	}
	for k := 1; k <= c.harmonics; k++ {
		f := hz * float64(k)
		if f > 8000 {
			break
		}
		strength, decay := math.Pow(float64(k), -c.tilt), 0.0
		switch v {
		case pluck:
			decay = (0.7 + 0.3*float64(k)) / c.decay
		case bass:
			strength, decay = strength/float64(k), 1/0.8
		case sung:
			d := (f - c.formant) / 600
			strength *= 0.3 + math.Exp(-d*d)
		}
		// A turning and shrinking pointer, retuned every 64 samples for vibrato.
		s, co := math.Sincos(2 * math.Pi * r.Float64())
		x, y := strength*co, strength*s
		var stepX, stepY float64
		for i := range out {
			if i%64 == 0 && (i == 0 || vibrato > 0) {
				now := f * (1 + vibrato*math.Cos(2*math.Pi*vibratoHz*float64(i)/rate))
				sn, cs := math.Sincos(2 * math.Pi * now / rate)
				shrink := math.Exp(-decay / rate)
				stepX, stepY = cs*shrink, sn*shrink
			}
			out[i] += float32(y)
			x, y = x*stepX-y*stepY, x*stepY+y*stepX
		}
	}
	for i := range min(len(out), int(attack*rate)) {
		out[i] *= float32(float64(i) / (attack * rate))
	}
	if v == pluck {
		for i := range rate / 20 {
			out[i] += float32(c.click * r.NormFloat64() * math.Exp(-float64(i)/rate/0.006))
		}
	}
	return out
}

// room is the way from the strings to the file.
type room struct {
	snrDB, rt60, directDB float64
	narrow, hum, gain     bool
}

func newRoom(r *rand.Rand) room {
	return room{snrDB: 4 + 20*r.Float64(), rt60: 0.2 + 0.7*r.Float64(), directDB: -5 + 11*r.Float64(), narrow: r.IntN(2) == 0, hum: r.IntN(3) == 0, gain: r.IntN(2) == 0}
}

func (c room) film(r *rand.Rand, x []float32) []float32 {
	ir := make([]float32, int(c.rt60*rate))
	var energy float64
	for i := rate * 3 / 1000; i < len(ir); i++ {
		v := r.NormFloat64() * math.Exp(-6.9*float64(i)/float64(len(ir)))
		ir[i] = float32(v)
		energy += v * v
	}
	scale := float32(math.Pow(10, -c.directDB/20) / math.Sqrt(energy))
	for i := range ir {
		ir[i] *= scale
	}
	ir[0] = 1
	y := convolve(x, ir)
	var power float64
	for _, v := range y {
		power += float64(v) * float64(v)
	}
	level := math.Sqrt(power/float64(len(y))) * math.Pow(10, -c.snrDB/20)
	var pink, low, high float64
	env := 0.05
	for i := range y {
		white := r.NormFloat64()
		pink = 0.98*pink + 0.2*white
		v := float64(y[i]) + level*(0.5*white+0.8*pink)
		if c.hum {
			v += level * 0.7 * math.Sin(2*math.Pi*50*float64(i)/rate)
		}
		if c.narrow {
			low += 0.035 * (v - low)
			high += 0.85 * (v - low - high)
			v = high
		}
		if c.gain {
			if a := math.Abs(v); a > env {
				env += (a - env) * 0.002
			} else {
				env += (a - env) * 0.00002
			}
			v *= 0.2 / math.Max(env, 0.02)
		}
		y[i] = float32(math.Tanh(v))
	}
	return y
}

// tilted returns x brighter (by > 0) or duller: microphones differ.
func tilted(x []float32, by float64) []float32 {
	var last float32
	for i, v := range x {
		x[i] = v - float32(by)*last
		last = v
	}
	return x
}

func convolve(x, ir []float32) []float32 {
	n := 8
	for n < len(x)+len(ir) {
		n *= 2
	}
	f := dsp.NewFFT(n)
	spectrum := func(v []float32) (re, im []float32) {
		padded := make([]float32, n)
		copy(padded, v)
		re, im = make([]float32, n/2+1), make([]float32, n/2+1)
		f.Forward(re, im, padded)
		return re, im
	}
	ar, ai := spectrum(x)
	br, bi := spectrum(ir)
	for k := range ar {
		ar[k], ai[k] = ar[k]*br[k]-ai[k]*bi[k], ar[k]*bi[k]+ai[k]*br[k]
	}
	out := make([]float32, n)
	f.Inverse(out, ar, ai)
	return out[:len(x)]
}

// filmed is a record and a pass with what is true of them.
type filmed struct {
	record, pass []float32
	lu           film.LineUp
	common       func(t float64) float64 // share of the notes around song time t that both play
	kind         func(t float64) string  // how the pass is played there
	lateMS       func(t float64) float64 // how much later the playing is than the line-up says
	meant, heard []heardNote             // the song on the record and the pass, each on its own clock
}

// shoot makes a record and a pass.
func (s *tune) shoot(r *rand.Rand, p player) filmed {
	plan := p.plan
	recordNotes, recordWhen := s.perform(r, s.notes, player{tempo: 1, walk: 0.01, jitter: 0.005}, 1)
	others, _ := s.performAlong(r, s.unseen(r), recordWhen)
	balance := 0.6 + 0.8*r.Float64()
	end := timeAt(recordWhen, float64(s.bars*s.perBar))
	record := newTimbre(r, 0).render(r, append(slices.Clone(recordNotes), others...), end+1, balance)
	for i := range record {
		record[i] += float32(1e-4 * r.NormFloat64())
	}

	var played []note
	kindOf := make([]string, s.bars)
	for _, n := range s.notes {
		bar := int(n.at) / s.perBar
		if !slices.ContainsFunc(plan, func(x stretch) bool { return bar >= x.from && bar < x.to }) {
			played = append(played, n)
		}
	}
	for _, x := range plan {
		played = append(played, s.otherwise(r, x)...)
		for bar := x.from; bar < x.to; bar++ {
			kindOf[bar] = x.kind
		}
	}
	const preRoll = 3
	passNotes, passWhen := s.perform(r, played, p, preRoll)
	sounds := slices.Clone(passNotes)
	for i := range sounds {
		if sounds[i].voice != drum {
			sounds[i].pitch += p.semitones
		}
	}
	for _, x := range p.swells {
		from, to := timeAt(passWhen, float64(x.from*s.perBar)), timeAt(passWhen, float64(x.to*s.perBar))
		for i := range sounds {
			if sounds[i].at >= from && sounds[i].at < to {
				sounds[i].loud *= math.Pow(10, x.dB/20)
			}
		}
	}
	passEnd := timeAt(passWhen, float64(s.bars*s.perBar))
	pass := newTimbre(r, p.cents).render(r, sounds, passEnd+2, balance*(0.5+r.Float64()))
	pass = p.room.film(r, tilted(pass, 0.6*r.Float64()-0.3))

	// The line-up: wrong by mapError, and by drift in the middle third.
	var g film.Segment
	var offs, songTimes []float64
	wander := 0.0
	total := float64(s.bars * s.perBar)
	for beat := 0.0; beat <= total; beat++ {
		wander = 0.9*wander + p.mapError*math.Sqrt(1-0.9*0.9)*r.NormFloat64()
		off := wander
		if x := beat / total; x > 1.0/3 && x < 2.0/3 {
			off += p.drift
		}
		offs, songTimes = append(offs, off), append(songTimes, timeAt(recordWhen, beat))
		g.Knots = append(g.Knots, film.Knot{Pass: film.PassTime(timeAt(passWhen, beat) + off), Song: film.SongTime(timeAt(recordWhen, beat))})
	}
	f := filmed{record: record, pass: pass}
	f.lateMS = func(t float64) float64 {
		i := max(0, min(len(offs)-2, sortSearch(songTimes, t)-1))
		return -1000 * (offs[i] + (t-songTimes[i])/(songTimes[i+1]-songTimes[i])*(offs[i+1]-offs[i]))
	}
	f.lu = film.LineUp{Status: film.Aligned, Segments: []film.Segment{g}, Semitones: p.semitones, Cents: p.cents}
	f.meant, f.heard = recordNotes, slices.Clone(passNotes)
	for i := range passNotes { // on the song's clock, by the true times
		passNotes[i].at = songTime(recordWhen, passWhen, passNotes[i].at)
	}
	f.common = func(t float64) float64 { return commonShare(recordNotes, passNotes, t) }
	f.kind = func(t float64) string {
		for bar := range s.bars {
			if t < timeAt(recordWhen, float64((bar+1)*s.perBar)) {
				return kindOf[bar]
			}
		}
		return ""
	}
	return f
}

// performAlong plays notes in the time of another performance.
func (s *tune) performAlong(r *rand.Rand, notes []note, when []float64) ([]heardNote, []float64) {
	var out []heardNote
	for _, n := range notes {
		at := timeAt(when, n.at) + 0.006*r.NormFloat64()
		out = append(out, heardNote{at, timeAt(when, n.at+n.length) - timeAt(when, n.at), n.pitch, n.loud, n.voice})
	}
	return out, when
}

// songTime turns a pass time into song time by the beats of both.
func songTime(record, pass []float64, t float64) float64 {
	i := max(0, min(len(pass)-2, sortSearch(pass, t)-1))
	return record[i] + (t-pass[i])/(pass[i+1]-pass[i])*(record[i+1]-record[i])
}

func sortSearch(x []float64, t float64) int {
	i, _ := slices.BinarySearch(x, t)
	return i
}

// commonShare returns 2 x common / (notes of both) within 0.75 s of t. A note is
// common when the other plays the same pitch within 100 ms.
func commonShare(a, b []heardNote, t float64) float64 {
	around := func(all []heardNote) (out []heardNote) {
		for _, n := range all {
			if math.Abs(n.at-t) <= 0.75 {
				out = append(out, n)
			}
		}
		return out
	}
	x, y := around(a), around(b)
	if len(x)+len(y) == 0 {
		return math.NaN()
	}
	used := make([]bool, len(y))
	common := 0
	for _, n := range x {
		for k, m := range y {
			if !used[k] && m.pitch == n.pitch && math.Abs(m.at-n.at) < 0.1 {
				used[k] = true
				common++
				break
			}
		}
	}
	return 2 * float64(common) / float64(len(x)+len(y))
}

// kinds are the ways a stretch may be played otherwise.
var kinds = []string{"wrong", "same chords", "other riff", "thin", "busy", "stopped"}

// anyPlayer returns habits and a plan in which about a third of the song is
// played otherwise.
func anyPlayer(r *rand.Rand, bars int) player {
	p := player{tempo: 0.94 + 0.12*r.Float64(), walk: 0.03 * r.Float64(), jitter: 0.004 + 0.014*r.Float64(), miss: 0.07 * r.Float64(), slip: 0.05 * r.Float64(), cents: 30*r.Float64() - 15, mapError: 0.012, room: newRoom(r)}
	if r.IntN(8) == 0 {
		p.semitones = []int{-2, -1, 1, 2}[r.IntN(4)]
	}
	if r.IntN(4) == 0 {
		p.drift = 0.05 * r.NormFloat64()
	}
	if r.IntN(6) == 0 {
		return p // all of it as it should be
	}
	for bar := 2 + r.IntN(4); bar < bars-2; {
		length := 2 + r.IntN(5)
		to := min(bars, bar+length)
		p.plan = append(p.plan, stretch{bar, to, kinds[r.IntN(len(kinds))], r.Float64()})
		bar = to + 2 + r.IntN(6)
	}
	return p
}
