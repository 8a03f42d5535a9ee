package demo

import (
	"math"
	"strings"
)

// The form of "Slow Ferry Home", counted in quarter notes (beats), four to a
// bar: two bars of introduction, then verse, chorus, verse, chorus, and two
// bars of ending.
const (
	beatsPerBar  = 4
	verse1Beat   = 2 * beatsPerBar
	chorus1Beat  = verse1Beat + 8*beatsPerBar
	verse2Beat   = chorus1Beat + 4*beatsPerBar
	chorus2Beat  = verse2Beat + 8*beatsPerBar
	endingBeat   = chorus2Beat + 4*beatsPerBar
	songBeats    = endingBeat + 2*beatsPerBar
	recordBPM    = 104
	openStrings  = 6
	ringSeconds  = 2.6 // how long the last chord is left to ring
	leadSeconds  = 0.9 // silence before the first beat of the record
	strumDownSec = 0.011
	strumUpSec   = 0.009
)

// openMIDI is the tuning of the six strings, low E first.
// Source: common practice (E A D G B E, A4 = 440 Hz is MIDI note 69).
var openMIDI = [openStrings]int{40, 45, 50, 55, 59, 64}

// chord is the fret held on each string, low E first; -1 is not played.
type chord [openStrings]int

var (
	chordG  = chord{3, 2, 0, 0, 0, 3}
	chordDF = chord{2, -1, 0, 2, 3, 2}
	chordEm = chord{0, 2, 2, 0, 0, 0}
	chordC  = chord{-1, 3, 2, 0, 1, 0}
	chordD  = chord{-1, -1, 0, 2, 3, 2}
	chordAm = chord{-1, 0, 2, 2, 1, 0}
	chordBm = chord{-1, 2, 4, 4, 3, 2}
	chordF  = chord{1, 3, 3, 2, 1, 1}
	chordFs = chord{2, 4, 4, 3, 2, 2}
)

// bass returns the lowest string that the chord plays.
func (c chord) bass() int {
	for s, fret := range c {
		if fret >= 0 {
			return s
		}
	}
	return 0
}

// held is a chord held from a beat on.
type held struct {
	beat  float64
	chord chord
}

// note is one pluck of the score.
type note struct {
	beat   float64
	string int     // 0 is the low E
	fret   int     // 0 is open
	after  float64 // seconds after the beat: the spread of a strum
	force  float64 // 0..1
	strum  int     // +1 down, -1 up, 0 picked
}

// sung is one syllable of the score.
type sung struct {
	beat, beats float64
	midi        float64
	vowel       byte
	text        string
	line        int
}

// lyric is a line of the song: the unit that coverage counts.
type lyric struct {
	beat    float64
	section string
	text    string
}

// score is what is to be played and sung.
type score struct {
	chords []held
	notes  []note // by beat, then in playing order
	sung   []sung // by beat
	lines  []lyric
}

// chordAt returns the chord held at a beat.
func (s *score) chordAt(beat float64) chord {
	c := s.chords[0].chord
	for _, h := range s.chords {
		if h.beat > beat+1e-9 {
			break
		}
		c = h.chord
	}
	return c
}

// melody is a line as it is sung: the beat of each syllable within the line,
// where the last one ends, and the notes.
type melody struct {
	at   []float64
	end  float64
	midi []float64
}

var nineSyllables = []float64{0, 0.5, 1, 1.5, 2, 3, 3.5, 4, 4.5}

var verseMelody = [4]melody{
	{nineSyllables, 7.2, []float64{67, 67, 69, 67, 71, 69, 67, 66, 62}},
	{nineSyllables, 7.0, []float64{64, 66, 67, 64, 71, 69, 67, 67, 64}},
	{nineSyllables, 7.2, []float64{67, 67, 69, 71, 74, 71, 69, 69, 66}},
	{nineSyllables, 6.6, []float64{69, 67, 69, 71, 72, 69, 67, 66, 69}},
}

var chorusMelody = [2]melody{
	{[]float64{0, 1.5, 2, 2.5, 4, 5.5, 6, 6.5}, 7.8, []float64{72, 71, 69, 67, 71, 69, 67, 62}},
	{nineSyllables, 7.4, []float64{69, 69, 72, 71, 69, 66, 66, 71, 67}},
}

// The words are the demo's own. The second string gives the vowel of each
// syllable, one letter of the table in voice.go.
var verseWords = [2][4][2]string{
	{
		{"Nets are hung to dry a- bove the stair", "eAUuAaUae"},
		{"Salt still shin- ing in my broth- er's hair", "OiAiiAUae"},
		{"Tide goes out and takes the day a- long", "AoAaeaeaO"},
		{"Leaves me just the one half of a song", "iiUaUAOaO"},
	},
	{
		{"Rope and tar and cof- fee go- ing cold", "oaAaOioio"},
		{"Ev- ery plank down here is twice as old", "eiaAiiAao"},
		{"Gulls have gone to where the gulls can sleep", "UaOueaUai"},
		{"I've a qui- et prom- ise left to keep", "AaAaOieui"},
	},
}

var chorusWords = [2][2]string{
	{"Slow fer- ry home, slow fer- ry home", "oeiooeio"},
	{"Lamps a- long the wa- ter, let me come", "aaOaOaeiU"},
}

var (
	verseChords  = [8]chord{chordG, chordDF, chordEm, chordC, chordG, chordDF, chordAm, chordD}
	chorusChords = []held{{0, chordC}, {4, chordG}, {8, chordAm}, {10, chordD}, {12, chordG}}
)

// pattern writes one bar of accompaniment over a chord.
type pattern func(bar float64, c chord) []note

// picked is the verse: thumb and fingers in turn, a pinch at the start of a bar.
func picked(bar float64, c chord) []note {
	b := c.bass()
	second := 2
	if b == 2 {
		second = 3
	}
	third := 3
	if second == 3 {
		third = 4
	}
	notes := []note{
		{beat: bar, string: b, force: 0.9},
		{beat: bar, string: 5, after: 0.004, force: 0.62},
		{beat: bar + 0.5, string: third, force: 0.55},
		{beat: bar + 1, string: second, force: 0.7},
		{beat: bar + 1.5, string: 4, force: 0.6},
		{beat: bar + 2, string: b, force: 0.8},
		{beat: bar + 2.5, string: third, force: 0.55},
		{beat: bar + 3, string: second, force: 0.7},
		{beat: bar + 3.5, string: 4, force: 0.58},
	}
	return fingered(notes, c)
}

// rolled is the other picking: the same chords, another order of the strings.
func rolled(bar float64, c chord) []note {
	b := c.bass()
	notes := []note{
		{beat: bar, string: b, force: 0.85},
		{beat: bar + 0.5, string: 5, force: 0.6},
		{beat: bar + 0.75, string: 4, force: 0.5},
		{beat: bar + 1.5, string: 5, force: 0.62},
		{beat: bar + 1.75, string: 3, force: 0.5},
		{beat: bar + 2.25, string: 4, force: 0.62},
		{beat: bar + 2.75, string: 5, force: 0.6},
		{beat: bar + 3.25, string: 3, force: 0.55},
		{beat: bar + 3.75, string: 5, force: 0.5},
	}
	return fingered(notes, c)
}

// strummed is the chorus: down, down-up, up, down-up.
func strummed(bar float64, c chord) []note {
	var notes []note
	for _, stroke := range []struct {
		beat, force float64
		dir         int
	}{{0, 0.85, 1}, {1, 0.62, 1}, {1.5, 0.45, -1}, {2.5, 0.5, -1}, {3, 0.7, 1}, {3.5, 0.45, -1}} {
		notes = append(notes, strum(bar+stroke.beat, c, stroke.dir, stroke.force, 1)...)
	}
	return notes
}

// strum plays the chord's strings one after the other; slow stretches the spread.
func strum(beat float64, c chord, dir int, force, slow float64) []note {
	var notes []note
	k := 0
	for i := range openStrings {
		s, gap := i, strumDownSec
		if dir < 0 {
			s, gap = openStrings-1-i, strumUpSec
		}
		if c[s] < 0 || dir < 0 && s < 2 { // an up stroke leaves the low strings alone
			continue
		}
		notes = append(notes, note{
			beat: beat, string: s, after: float64(k) * gap * slow,
			force: force * (1 - 0.05*float64(k)), strum: dir,
		})
		k++
	}
	return fingered(notes, c)
}

// fingered puts each note on the fret that the chord holds.
func fingered(notes []note, c chord) []note {
	for i := range notes {
		notes[i].fret = max(0, c[notes[i].string])
	}
	return notes
}

// changes are what a pass plays differently from the record.
type changes struct {
	verse2 pattern // nil: as on the record
	chord  func(beat float64, c chord) chord
}

// writeScore returns the song as it is played with the given changes.
func writeScore(ch changes) *score {
	s := &score{}
	bar := func(beat float64, c chord, p pattern) {
		s.hold(beat, c, ch)
		s.notes = append(s.notes, p(beat, s.chordAt(beat))...)
	}
	bar(0, chordG, picked)
	bar(beatsPerBar, chordG, picked)
	for v, from := range []float64{verse1Beat, verse2Beat} {
		p := pattern(picked)
		if v == 1 && ch.verse2 != nil {
			p = ch.verse2
		}
		for i, c := range verseChords {
			bar(from+float64(i*beatsPerBar), c, p)
		}
		for i, words := range verseWords[v] {
			s.sing([]string{"verse 1", "verse 2"}[v], from+float64(8*i), words, verseMelody[i])
		}
	}
	for v, from := range []float64{chorus1Beat, chorus2Beat} {
		for _, h := range chorusChords {
			s.hold(from+h.beat, h.chord, ch)
		}
		for i := range 4 {
			beat := from + float64(i*beatsPerBar)
			notes := strummed(beat, s.chordAt(beat))
			for k := range notes { // chords change inside a bar
				c := s.chordAt(notes[k].beat)
				notes[k].fret = max(0, c[notes[k].string])
				if c[notes[k].string] < 0 {
					notes[k].force = 0
				}
			}
			for _, n := range notes {
				if n.force > 0 {
					s.notes = append(s.notes, n)
				}
			}
		}
		for i, words := range chorusWords {
			s.sing([]string{"chorus 1", "chorus 2"}[v], from+float64(8*i), words, chorusMelody[i])
		}
	}
	s.hold(endingBeat, chordG, ch)
	s.notes = append(s.notes, picked(endingBeat, s.chordAt(endingBeat))...)
	s.notes = append(s.notes, strum(endingBeat+beatsPerBar, s.chordAt(endingBeat), 1, 0.8, 5)...)
	return s
}

// otherScore is a bit of another tune, a waltz in B minor; nobody sings.
func otherScore() *score {
	s := &score{}
	for i, c := range []chord{chordBm, chordBm, chordEm, chordBm, chordFs, chordFs, chordBm, chordEm, chordEm, chordBm, chordFs, chordBm} {
		bar := float64(3 * i)
		s.chords = append(s.chords, held{bar, c})
		s.notes = append(s.notes, fingered([]note{
			{beat: bar, string: c.bass(), force: 0.85},
			{beat: bar + 1, string: 3, force: 0.5},
			{beat: bar + 1, string: 4, after: 0.006, force: 0.5},
			{beat: bar + 1, string: 5, after: 0.012, force: 0.55},
			{beat: bar + 2, string: 3, force: 0.45},
			{beat: bar + 2, string: 4, after: 0.006, force: 0.45},
			{beat: bar + 2.5, string: 5, force: 0.6},
		}, c)...)
	}
	return s
}

// hold puts a chord into the score, or what the pass plays in its place.
func (s *score) hold(beat float64, c chord, ch changes) {
	if ch.chord != nil {
		c = ch.chord(beat, c)
	}
	s.chords = append(s.chords, held{beat, c})
}

// sing adds a line of the song.
func (s *score) sing(section string, beat float64, words [2]string, m melody) {
	syllables := strings.Fields(words[0])
	line := len(s.lines)
	s.lines = append(s.lines, lyric{beat, section, strings.ReplaceAll(words[0], "- ", "")})
	for i, text := range syllables {
		end := m.end
		if i+1 < len(m.at) {
			end = m.at[i+1]
		}
		s.sung = append(s.sung, sung{
			beat: beat + m.at[i], beats: end - m.at[i], midi: m.midi[i],
			vowel: words[1][i], text: text, line: line,
		})
	}
}

// midiHz returns the frequency of a MIDI note, A4 = 440 Hz being 69.
func midiHz(midi float64) float64 { return 440 * math.Exp2((midi-69)/12) }
