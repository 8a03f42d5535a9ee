package filmday

import (
	"math/rand/v2"

	"takeweave/internal/dsp"
)

// RecordOptions says how a song is recorded.
type RecordOptions struct {
	Drums, Bass, Pad, Second, Double bool // what nobody plays live
	Click                            bool // played to a steady tempo
	Habits                           Habits
	Cents                            float64 // tuning against A4 = 440 Hz
	LeadIn                           float64 // seconds before the first bar
	Balance                          float64 // loudness of the voice over all else, dB
	RT60                             float64 // of the added room, seconds; 0 dry
	CompressDB                       float64 // most that loud parts are lowered
	LimitDB                          float64 // how far peaks are pushed into the limiter
	FadeIn, FadeOut                  float64 // seconds
	CodecKbps                        float64 // 0: not coded
}

// AnyRecord draws a record, solo or produced.
func AnyRecord(r *rand.Rand) RecordOptions {
	one := func(in int) bool { return r.IntN(in) == 0 }
	o := RecordOptions{
		Cents: 10 * r.NormFloat64(), LeadIn: 0.2 + 2*r.Float64(), Balance: -3 + 8*r.Float64(), RT60: 1.2 * r.Float64(), CompressDB: 10 * r.Float64(), LimitDB: 6 * r.Float64(), Click: one(3),
		Habits: Habits{Tempo: 1, Walk: 0.004 + 0.012*r.Float64(), Memory: 0.9, EndSlow: 0.03 * r.Float64(), Jitter: 0.003 + 0.006*r.Float64(), Spread: 1, Force: 0.2},
	}
	if r.IntN(2) == 0 {
		o.Drums, o.Bass, o.Pad, o.Second, o.Double = one(2), one(2), one(3), one(3), one(3)
	}
	if o.Click {
		o.Habits.Walk, o.Habits.EndSlow = 0, 0
	}
	if one(4) {
		o.FadeIn = 2 * r.Float64()
	}
	if one(3) {
		o.FadeOut = 1 + 6*r.Float64()
	}
	if one(3) {
		o.CodecKbps = 48 + 80*r.Float64()
	}
	return o
}

// Record is a recorded song.
type Record struct {
	Song  *Song
	Sound dsp.Slice
	Meant []Sounded // what may be played live, as it is on the record
	beat  pulse
	end   float64 // seconds, of the last bar
	cents float64
}

// NewRecord plays and mixes the record of a song.
func NewRecord(r *rand.Rand, s *Song, o RecordOptions) *Record {
	p := &player{Habits: o.Habits, r: r}
	rec := &Record{Song: s, cents: o.Cents}
	rec.beat = p.beat(s, 0, s.Quarters(), o.LeadIn)
	rec.end = rec.beat.at(s.Quarters())
	rec.Meant = p.play(s, s.written(0, s.Quarters()), rec.beat)
	all := append(append([]Sounded(nil), rec.Meant...), p.play(s, added(s.band(r, o)), rec.beat)...)

	x := make([]float32, int((rec.end+1.5)*Rate))
	newTimbre(r, o.Cents).add(r, x, all, 0)
	newThroat(r).singOver(r, x, all, o.Cents/100, o.Balance)
	if o.RT60 > 0 {
		x = Room{RT60: o.RT60, DirectDB: 6, Early: 6}.in(r, x)
	}
	toLevel(x, -16)
	compress(x, -20, o.CompressDB, 0.01, 0.15)
	toLevel(x, -16)
	if o.CodecKbps > 0 {
		x = Codec{Kbps: o.CodecKbps}.code(x)
	}
	fade(x, o.FadeIn, o.FadeOut+1.5)
	limit(x, o.LimitDB)
	rec.Sound = dsp.Slice{Hz: Rate, Samples: x}
	return rec
}

// band writes what nobody plays live.
func (s *Song) band(r *rand.Rand, o RecordOptions) (out []Note) {
	second := newFigure(r, Picked, s.Meter, s.BPM)
	for bar, b := range s.Bars {
		start := s.start(bar)
		t := s.voicing(b.Chords[0])
		length := float64(s.Meter.Quarters)
		if b.Letter == 'I' || b.Letter == 'P' {
			continue // the singer begins alone
		}
		for e := 0.0; e < length; e += 0.5 {
			if o.Drums {
				out = append(out, Note{start + e, 0.2, 2, 0.6, 0, Drum})
				if s.Meter.strong(e) {
					out = append(out, Note{start + e, 0.3, 0, 0.9, 0, Drum})
				} else if e == 1 && !s.Meter.Compound || e == 3 {
					out = append(out, Note{start + e, 0.3, 1, 0.7, 0, Drum})
				}
			}
			if o.Bass && s.Meter.strong(e) {
				out = append(out, Note{start + e, 1.4, t[0] - 12, 0.9, 0, BandBass})
			}
		}
		if o.Pad {
			for _, p := range t[2:5] {
				out = append(out, Note{start, length, p, 0.8, 0, Pad})
			}
		}
		if o.Second {
			for _, n := range s.accompany(r, bar, second) {
				n.Part, n.Pitch = Second, n.Pitch+12
				out = append(out, n)
			}
		}
	}
	if o.Double {
		for _, n := range s.Notes {
			if n.Part == Voice {
				n.Part = Double
				out = append(out, n)
			}
		}
	}
	return out
}
