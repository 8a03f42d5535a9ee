package filmday

import (
	"math/rand/v2"
	"slices"

	"takeweave/internal/dsp"
)

// Rate is the sample rate of all sound, in Hz.
const Rate = dsp.AnalysisRate

// Part is who plays a note.
type Part uint8

// The parts. From Second on they are only ever on the record: nobody plays them
// in front of the camera.
const (
	Guitar Part = iota
	Piano
	Bass
	Voice
	Hum
	Second
	BandBass
	Double
	Pad
	Drum
	parts
)

// Filmed reports whether the part is played in front of the camera.
func (p Part) Filmed() bool { return p < Second }

// Sings reports whether a mouth makes the sound.
func (p Part) Sings() bool { return p == Voice || p == Hum || p == Double }

// Note is a written note.
type Note struct {
	At, Length float64 // quarter notes
	Pitch      int     // MIDI note; of drums 0 kick, 1 snare, 2 hat
	Loud       float64 // 0..1
	Spread     float64 // seconds after its place: the strings of a strum
	Part       Part
}

// Style is how the hands accompany.
type Style uint8

// The styles.
const (
	Picked Style = iota
	Strummed
	Keys
	BassLine
	styles
)

// Tune is how the melody sounds.
type Tune uint8

// The tunes.
const (
	Sung Tune = iota
	Hummed
	NoTune
)

// Meter is 3/4, 4/4 or, compound, 6/8: bars of three quarters with two accents.
type Meter struct {
	Quarters int
	Compound bool
}

// SongOptions says what song to write.
type SongOptions struct {
	Seconds float64 // about how long
	Key     int     // MIDI pitch of the tonic, 40..51
	Minor   bool
	Meter   Meter
	BPM     float64 // quarter notes a minute
	Swing   float64 // quarters by which the second of two eighths comes late
	Style   Style
	Tune    Tune
	Pickup  bool // the melody begins before the first bar
	// Loops gives a section's letter its chords, one a bar. Letters without one
	// get a loop of their own.
	Loops map[byte][]Chord
}

// AnySong draws a song of about so many seconds.
func AnySong(r *rand.Rand, seconds float64) SongOptions {
	o := SongOptions{
		Seconds: seconds, Key: 40 + r.IntN(12), Minor: r.IntN(3) == 0, BPM: 56 + 124*r.Float64()*r.Float64() + 20*r.Float64(),
		Meter: []Meter{{4, false}, {4, false}, {4, false}, {3, false}, {3, true}}[r.IntN(5)], Style: Style(r.IntN(int(styles))),
		Tune: []Tune{Sung, Sung, Sung, Hummed, NoTune}[r.IntN(5)], Pickup: r.IntN(3) == 0,
	}
	if o.BPM > 180 {
		o.BPM = 180
	}
	if o.Style == BassLine && r.IntN(2) == 0 { // the rarest of the four
		o.Style = Picked
	}
	if o.Style == BassLine {
		o.Tune = Sung
	}
	if !o.Meter.Compound && r.IntN(4) == 0 {
		o.Swing = r.Float64() / 6
	}
	return o
}

// Song is a written song.
type Song struct {
	SongOptions
	Sections []Section
	Bars     []Bar
	Notes    []Note // by place
	figures  map[byte]figure
}

// Bar is one bar of a song.
type Bar struct {
	Chords []Chord // share the bar evenly
	Letter byte    // of the section
}

// Quarters returns how many quarter notes the song lasts.
func (s *Song) Quarters() float64 { return float64(len(s.Bars) * s.Meter.Quarters) }

// start returns where a bar begins, in quarters.
func (s *Song) start(bar int) float64 { return float64(bar * s.Meter.Quarters) }

// NewSong writes a song. What repeats comes back nearly the same, as singers do.
func NewSong(r *rand.Rand, o SongOptions) *Song {
	s := &Song{SongOptions: o, figures: map[byte]figure{}}
	s.layOut(r)
	tunes := map[byte][]Note{}
	lowest := 50 + r.IntN(11) // of the voice
	for _, part := range s.Sections {
		letter := part.Letter
		f, known := s.figures[letter]
		if !known {
			f = newFigure(r, s.Style, s.Meter, s.BPM)
			s.figures[letter] = f
			if s.Tune != NoTune && letter != 'I' && letter != 'O' && letter != 'P' {
				tunes[letter] = s.melody(r, part, lowest)
			}
		}
		if letter == 'P' {
			s.Notes = append(s.Notes, s.pickup(r, lowest)...)
			continue
		}
		for bar := part.First; bar < part.First+part.Bars; bar++ {
			own := f
			if r.IntN(6) == 0 || bar%4 == 3 && r.IntN(3) == 0 { // above all at the end of a line
				own = f.varied(r)
			}
			s.Notes = append(s.Notes, s.accompany(r, bar, own)...)
		}
		line := tunes[letter]
		if known {
			line = otherWords(r, line)
		}
		for _, n := range line {
			if n.At < float64(part.Bars*s.Meter.Quarters) {
				n.At += s.start(part.First)
				s.Notes = append(s.Notes, n)
			}
		}
	}
	slices.SortStableFunc(s.Notes, func(a, b Note) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		}
		return 0
	})
	return s
}
