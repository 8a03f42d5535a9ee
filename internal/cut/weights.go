package cut

import "takeweave/internal/film"

// place is what a cut point is in the music.
type place uint8

const (
	atSection  place = iota // a section begins
	atLine                  // a line begins
	atDownbeat              // first beat of a bar
	atMidBar                // beat 3 of 4
	atWeakBeat              // another beat
	atOffBeat               // half-way between long beats, or where a picture begins or ends
	atQuiet                 // before or after the music
	places
)

// weights is the table of wishes. The unit is one cut on a weak beat: a weight
// of 2 means "rather make two cuts on weak beats than this". Unless a line says
// otherwise the weights are our own judgement, after common practice.
var weights = struct {
	cut         [places]float64 // once for each cut
	sameSetup   float64         // once, two neighbouring shots of one setup
	samePass    float64         // once, two neighbouring shots of one pass
	sameSize    float64         // once, two setups of the same known size
	returnSetup float64         // once, the setup of the shot before last comes back
	returnPass  float64         // once, the very pass of the shot before last comes back

	length    float64 // each second, times the squared log ratio of the length to the wanted one
	overLong  float64 // each second above the longest shot
	stretched float64 // the wanted length of shots that touch the intro, the end or the film's edges, times this

	doubt   float64 // each second, times -ln of the chance that it agrees
	weakest float64 // once a shot, times -ln of that chance at its weakest beat
	spoilt  float64 // each agreeing second inside a shot that must be marked as not agreeing
	parting float64 // each second at 40 ms of parting and map error together, growing with the square
	strain  float64 // each second, times the share by which the clip's whole frames push the shot out of its tolerance
	speed   float64 // each per cent of speed change, once a shot

	elsewhere float64 // each second in a section that the setup is not meant for
	anywhere  float64 // each second of a setup that is meant for nothing in particular
	bare      float64 // each second that does not agree, times how plainly the setup shows it
	quiet     float64 // each second before or after the music, times the same
}{
	// Bar and phrase starts for big changes. Source: common practice; Prétet,
	// Richard and Peeters [Pretet2021] see editors place cuts on musical events.
	cut: [places]float64{
		atSection: 0, atLine: 0.1, atDownbeat: 0.3, atMidBar: 0.6, atWeakBeat: 1, atOffBeat: 2, atQuiet: 0.5,
	},
	sameSetup:   60,  // a jump; dearer than any shot length, so only where nothing else is left. Common practice
	samePass:    100, // worse: the same picture hops
	sameSize:    0.5, // common practice: a change of size or of axis makes a cut read
	returnSetup: 0.4,
	returnPass:  0.8, // common practice: no return to the same pass within two cuts

	length:    0.75, // shot lengths are right-skewed, near log-normal. Source: common practice
	overLong:  4,
	stretched: 1.5, // common practice: the opening and the last shot are longer

	doubt:   1,
	weakest: 1,
	spoilt:  0.5,
	parting: 0.3,
	strain:  1,
	speed:   0.5,

	elsewhere: 1,
	anywhere:  0.2,
	bare:      1,
	quiet:     0.2,
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
