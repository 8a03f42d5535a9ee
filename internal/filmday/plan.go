package filmday

import (
	"math/rand/v2"
)

// Run is an unbroken stretch of playing, by bars of the song.
type Run struct {
	From, To int
	Pause    float64 // seconds of something else before it
	Vamp     bool    // the bars' chords over and over, not the song
}

// Playback is a loudspeaker that plays the record. With neither hands nor voice
// in the plan, nothing else is heard.
type Playback struct {
	SpeakerDB float64 // over the live playing
	Lag       float64 // seconds that the live playing is behind
}

// Plan is what happens in front of the camera.
type Plan struct {
	Runs          []Run
	Otherwise     []Stretch // in every run
	Habits        Habits
	Semitones     int     // another key, capo or tuning, against the record
	Cents         float64 // tuning against the record
	NoVoice       bool    // hands only
	NoHands       bool    // voice only
	Balance       float64 // loudness of the voice over the hands, dB
	Playback      *Playback
	Before, After float64 // seconds around the playing
	Talk, Noodle  float64 // 0..1, how much of the pauses is filled with either
}

// AnyPlan draws a fair performance of all of a song.
func AnyPlan(r *rand.Rand, s *Song) Plan {
	return Plan{
		Runs: []Run{{To: len(s.Bars)}}, Habits: AnyHabits(r), Cents: 40*r.Float64() - 20, Balance: -4 + 9*r.Float64(),
		Before: 1.5 + 6*r.Float64(), After: 1 + 4*r.Float64(), Talk: r.Float64(), Noodle: 0.6 * r.Float64(),
	}
}

// noodle invents a bit of playing around in [from, to) seconds.
func (s *Song) noodle(r *rand.Rand, from, to float64) (out []Sounded) {
	part := []Part{Guitar, Guitar, Piano, Bass}[s.Style]
	pitches := s.scale(45+r.IntN(8), 20)
	if r.IntN(2) == 0 {
		other := *s
		other.Key += 1 + r.IntN(11)
		pitches = other.scale(45, 20)
	}
	for t := from; t < to; t += 0.12 + 0.5*r.Float64() {
		n := Sounded{At: t, Length: 0.2 + r.Float64(), Pitch: pitches[r.IntN(len(pitches))], Loud: 0.3 + 0.5*r.Float64(), Part: part, Note: -1, Piece: -1}
		out = append(out, n)
		if r.IntN(6) == 0 {
			for k := range 3 {
				n.At, n.Pitch = t+0.008*float64(k+1), pitches[min(len(pitches)-1, 2*k+r.IntN(6))]
				out = append(out, n)
			}
		}
	}
	return out
}
