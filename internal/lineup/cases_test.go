package lineup

import (
	"math"
	"math/rand/v2"
	"slices"

	"takeweave/internal/dsp"
)

// pair is a place that both record and pass play, with its true times.
type pair struct{ pass, song float64 }

// filmed is a generated pass with what is true of it.
type filmed struct {
	kind   string
	sound  []float32
	want   string // a film.Status
	pairs  []pair
	shift  int
	offset float64 // playback only
	ppm    float64 // playback only
}

// shoot is a generated record with its passes to come.
type shoot struct {
	r       *rand.Rand
	song    *song
	voices  human // how the record is voiced
	record  []float32
	when    map[int]float64 // note id to record time
	band    bool
	seconds float64
}

// newShoot makes a record. lead is who carries the melody; with a band, bass
// and drums are on it that no pass has; without strings there is the lead only.
func newShoot(seed uint64, sections int, lead voice, band, strings bool) *shoot {
	r := rand.New(rand.NewPCG(seed, 7))
	s := &shoot{r: r, song: newSong(r, sections, nil), band: band, when: map[int]float64{}}
	notes := s.song.notes
	if band {
		notes = s.song.band()
	}
	s.voices = human{tempo: 1, walk: 0.01, jitter: 0.006, lead: lead, loudGuitar: 1, loudLead: 0.9}
	if !strings {
		s.voices.mute = map[voice]bool{pluck: true}
	}
	sounds, truth, end := perform(r, s.song, notes, []stretchPlan{{0, float64(s.song.bars * 4)}}, s.voices, 1)
	s.seconds = end + 1.5
	s.record = render(r, sounds, s.seconds)
	for _, h := range truth {
		s.when[h.id] = h.at
	}
	return s
}

// player returns another performance's habits.
func (s *shoot) player() human {
	r := s.r
	h := s.voices
	h.tempo, h.walk, h.jitter = 0.92+0.16*r.Float64(), 0.02+0.01*r.Float64(), 0.010
	h.missing, h.wrong, h.extra = 0.03, 0.02, 0.02
	h.cents = 30 * (r.Float64() - 0.5)
	h.loudGuitar, h.loudLead = 0.6+0.8*r.Float64(), 0.6+0.6*r.Float64()
	return h
}

func (s *shoot) room() camera {
	r := s.r
	return camera{snrDB: 5 + 20*r.Float64(), rt60: 0.25 + 0.6*r.Float64(), directDB: -4 + 8*r.Float64(), hum: r.IntN(3) == 0, narrow: r.IntN(2) == 0, gain: r.IntN(2) == 0}
}

// live films a performance of plan.
func (s *shoot) live(kind string, plan [][]stretchPlan, h human, c camera) filmed {
	out := filmed{kind: kind, want: "aligned", shift: h.shift}
	now := 3 + 6*s.r.Float64()
	pre := now
	var sounds []sounded
	type talk struct{ from, to float64 }
	var talks []talk
	for i, p := range plan {
		if i > 0 {
			talks = append(talks, talk{now + 0.8, now + 4})
			now += 5
		}
		more, truth, end := perform(s.r, s.song, s.song.notes, p, h, now)
		sounds = append(sounds, more...)
		for _, t := range truth {
			if at, ok := s.when[t.id]; ok {
				out.pairs = append(out.pairs, pair{t.at, at})
			}
		}
		now = end
	}
	x := render(s.r, sounds, now+3)
	chatter(s.r, x, 0.5, pre-0.7)
	for _, t := range talks {
		chatter(s.r, x, t.from, t.to)
	}
	out.sound = c.film(s.r, x)
	return out
}

func (s *shoot) beats() float64 { return float64(s.song.bars * 4) }

// pass makes one pass of the named kind.
func (s *shoot) pass(kind string) filmed {
	r := s.r
	all := s.beats()
	h, c := s.player(), s.room()
	one := func(p ...stretchPlan) [][]stretchPlan { return [][]stretchPlan{p} }
	bar := func(share float64) float64 { return 4 * math.Round(share*all/4) }
	switch kind {
	case "full":
		return s.live(kind, one(stretchPlan{0, all}), h, c)
	case "clean":
		c = camera{snrDB: 25, rt60: 0.3, directDB: 6}
		return s.live(kind, one(stretchPlan{0, all}), h, c)
	case "noisy":
		c.snrDB, c.directDB = 5, -4
		return s.live(kind, one(stretchPlan{0, all}), h, c)
	case "sloppy":
		h.missing, h.wrong, h.extra, h.jitter = 0.10, 0.07, 0.08, 0.02
		return s.live(kind, one(stretchPlan{0, all}), h, c)
	case "rubato":
		h.walk = 0.07
		return s.live(kind, one(stretchPlan{0, all}), h, c)
	case "midstart":
		return s.live(kind, one(stretchPlan{bar(0.3), all}), h, c)
	case "falsestart":
		return s.live(kind, [][]stretchPlan{{{0, bar(0.15)}}, {{0, all}}}, h, c)
	case "restart":
		return s.live(kind, [][]stretchPlan{{{0, bar(0.5)}}, {{bar(0.5) - 8, all}}}, h, c)
	case "repeat":
		return s.live(kind, one(stretchPlan{0, bar(0.5)}, stretchPlan{bar(0.25), all}), h, c)
	case "skip":
		return s.live(kind, one(stretchPlan{0, bar(0.4)}, stretchPlan{bar(0.6), all}), h, c)
	case "vamp": // one bar five times over
		v := stretchPlan{bar(0.5) - 4, bar(0.5)}
		return s.live(kind, one(stretchPlan{0, bar(0.5)}, v, v, v, v, stretchPlan{bar(0.5), all}), h, c)
	case "capo":
		h.shift = []int{-3, -2, -1, 1, 2, 3}[r.IntN(6)]
		return s.live(kind, one(stretchPlan{0, all}), h, c)
	case "short":
		from := bar(0.2 + 0.5*r.Float64())
		return s.live(kind, one(stretchPlan{from, from + 32}), h, c)
	case "silentvoice": // the singer mimes, only the guitar is heard
		h.mute = map[voice]bool{sung: true}
		return s.live(kind, one(stretchPlan{0, all}), h, c)
	case "acapella":
		h.mute = map[voice]bool{pluck: true}
		return s.live(kind, one(stretchPlan{0, all}), h, c)
	case "playback":
		return s.mimed(h, c)
	case "decoy": // same key, chords, style, nearly the tempo; other tune and picking
		return s.other(kind, newSong(r, len(s.song.form), s.song), h, c)
	case "decoyriff": // and the same picking, only the tune is another
		d := newSong(r, len(s.song.form), s.song)
		d.bpm = s.song.bpm
		d.notes = slices.DeleteFunc(d.notes, func(n note) bool { return n.voice == pluck })
		for _, n := range s.song.notes {
			if n.voice == pluck {
				d.notes = append(d.notes, n)
			}
		}
		return s.other(kind, d, h, c)
	case "other":
		return s.other(kind, newSong(r, len(s.song.form), nil), h, c)
	case "talk":
		x := make([]float32, 40*rate)
		chatter(r, x, 0.5, 39)
		return filmed{kind: kind, sound: c.film(r, x), want: "refused"}
	case "room":
		x := make([]float32, 30*rate)
		for i := range x {
			x[i] = float32(1e-3 * r.NormFloat64())
		}
		c.snrDB, c.hum = 0, true
		return filmed{kind: kind, sound: c.film(r, x), want: "silent"}
	}
	panic(kind)
}

func (s *shoot) other(kind string, o *song, h human, c camera) filmed {
	sounds, _, end := perform(s.r, o, o.notes, []stretchPlan{{0, s.beats()}}, h, 5)
	x := render(s.r, sounds, end+2)
	chatter(s.r, x, 0.5, 4.3)
	return filmed{kind: kind, sound: c.film(s.r, x), want: "refused"}
}

// mimed films the record coming from a loudspeaker with somebody playing along.
func (s *shoot) mimed(h human, c camera) filmed {
	r := s.r
	out := filmed{kind: "playback", want: "aligned", offset: 4 + 8*r.Float64(), ppm: 160 * (r.Float64() - 0.5)}
	x := make([]float32, int((out.offset+s.seconds+3)*rate))
	// The loudspeaker: narrow and a little driven, on the camera's clock.
	var low, high float64
	for i := range x {
		t := (float64(i)/rate - out.offset) / (1 + out.ppm/1e6) * rate
		v := 0.0
		if k := int(math.Floor(t)); k >= 2 && k < len(s.record)-3 {
			v = cubic(s.record[k-1:k+3], t-float64(k))
		}
		low += 0.05 * (v - low)
		high += 0.8 * (v - low - high)
		x[i] = float32(math.Tanh(3*high) / 3)
	}
	// Played along to: the player is off by some 15 ms.
	var sounds []sounded
	for id, n := range s.song.notes {
		if at, ok := s.when[id]; ok && n.voice == pluck {
			sounds = append(sounds, sounded{out.offset + at*(1+out.ppm/1e6) + 0.015*r.NormFloat64(), 0.6, dsp.MIDIHz(float64(n.pitch)), 0.5 * n.amp, pluck})
		}
	}
	for i, v := range render(r, sounds, float64(len(x))/rate) {
		x[i] += v
	}
	chatter(r, x, 0.5, out.offset-0.5)
	out.sound = c.film(r, x)
	for _, at := range s.when {
		out.pairs = append(out.pairs, pair{out.offset + at*(1+out.ppm/1e6), at})
	}
	return out
}

// cubic interpolates between y[1] and y[2].
func cubic(y []float32, x float64) float64 {
	a, b, c, d := float64(y[0]), float64(y[1]), float64(y[2]), float64(y[3])
	return b + 0.5*x*(c-a+x*(2*a-5*b+4*c-d+x*(3*(b-c)+d-a)))
}
