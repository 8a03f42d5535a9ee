package cut

import "takeweave/internal/film"

// place is what a cut point is in the music.
type place uint8

const (
	atSection  place = iota // a section begins
	atLine                  // a line begins
	atRest                  // a marked rest or breath
	atDownbeat              // first beat of a bar
	atMidBar                // beat 3 of 4
	atWeakBeat              // another beat
	atQuiet                 // before or after the music
	atOffBeat               // half-way between long beats, or where a picture begins or ends
	places
)

// weights is the table of wishes. The unit is one cut on a weak beat: a weight
// of 2 means "rather make two cuts on weak beats than this". Unless a line says
// otherwise the weights are our own judgement, after common practice. What each
// means beside the others is told in docs/cut.md.
var weights = struct {
	cut         [places]float64 // once for each cut
	samePass    float64         // once, two neighbouring shots of one pass
	sameSetup   float64         // once, two neighbouring shots of one setup
	jump        float64         // once, two setups between which a cut reads as a jump
	alike       float64         // once, two setups of one size whose angles are not known
	returnPass  float64         // once, the very pass of the shot before last comes back
	returnSetup float64         // once, the setup of the shot before last comes back
	word        float64         // once, a cut inside a sung word, lips on both sides
	ends        float64         // once for the first shot and once for the last, without the safety

	length    float64 // each second, times the squared log ratio of the length to the wanted one
	overLong  float64 // each second above the longest shot
	stretched float64 // the wanted length of shots before the first line and after the last, times this

	doubt   float64 // each second, times its doubt
	weakest float64 // once a shot, times the doubt of its weakest beat
	bare    float64 // each second that does not agree, times how plainly the setup shows it
	spoilt  float64 // each agreeing second inside a shot that must be marked as not agreeing
	parting float64 // each second at 40 ms of parting and map error together, growing with the square
	strain  float64 // each second, times the share by which the clip's whole frames push the shot out of its tolerance
	speed   float64 // each per cent of speed change, once a shot

	mustSee    float64 // each second of what must be seen and is not
	mustSeeCut float64 // once, a cut inside what must be seen
	elsewhere  float64 // each second in a section that the setup is not meant for
	anywhere   float64 // each second of a setup that is meant for nothing in particular
	picture    float64 // each second at the poorest picture, less in proportion
	framing    float64 // each second with the subject wholly out of the film's shape, less in proportion
	spread     float64 // each second of the best pass at the start of the song, falling to 0 at its end and with the pass's standing
	quiet      float64 // each second before or after the music, times how plainly the setup shows that nothing is played
}{
	// Bar and phrase starts for big changes. Source: common practice; Prétet,
	// Richard and Peeters [Pretet2021] see editors place cuts on musical events.
	cut: [places]float64{
		atSection: 0, atLine: 0.1, atRest: 0.1, atDownbeat: 0.3, atMidBar: 0.6, atWeakBeat: 1, atQuiet: 0.5, atOffBeat: 6,
	},
	samePass:    100, // the same picture hops: only where nothing else is left. Common practice
	sameSetup:   60,  // a jump; dearer than any shot length. Common practice
	jump:        30,  // the 30-degree rule. Common practice
	alike:       4,   // common practice: a change of size makes a cut read
	returnPass:  0.8, // common practice: no return to the same pass within two cuts
	returnSetup: 0.4,
	word:        6,
	ends:        8, // common practice: the safety opens and closes

	length:    8, // shot lengths are right-skewed, near log-normal. Source: common practice
	overLong:  6,
	stretched: 1.5, // common practice: the opening and the last shot are longer

	doubt:   12,
	weakest: 1,
	bare:    2,
	spoilt:  0.5,
	parting: 3,
	strain:  2,
	speed:   0.5,

	mustSee:    40,
	mustSeeCut: 6,
	elsewhere:  2,
	anywhere:   0.3,
	picture:    3,
	framing:    8,
	spread:     0.3,
	quiet:      0.2,
}

// plainness is how plainly a setup shows that the playing is not the record's:
// a close picture tells all, a wide one little.
func plainness(s film.Setup) float64 {
	switch {
	case s.Shows == film.ShowsNeither:
		return 0
	case s.Size == film.SizeWide:
		return 0.3
	case s.Size == film.SizeClose || s.Size == film.SizeInsert:
		return 2
	}
	return 1
}
