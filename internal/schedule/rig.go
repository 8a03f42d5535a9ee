package schedule

import (
	"slices"

	"takeweave/internal/film"
)

// Rig is what stands in the room for a setup. Things are told apart by name
// alone; an empty name is a thing like any other.
type Rig struct {
	Light    string   `json:"light,omitempty"`    // the state of the lamps
	Lamps    []string `json:"lamps,omitempty"`    // those that burn in it, when they are known
	Position string   `json:"position,omitempty"` // where the camera stands, on what
	Lens     string   `json:"lens,omitempty"`
	Wardrobe string   `json:"wardrobe,omitempty"`
	Tuning   string   `json:"tuning,omitempty"` // of the instrument, with capo
}

// Setup is a setup with what it takes to film it.
type Setup struct {
	film.Setup
	Rig    Rig     `json:"rig"`
	Passes int     `json:"passes,omitempty"` // of the whole song
	Tries  int     `json:"tries,omitempty"`  // of a loop
	LoopS  float64 `json:"loop_s,omitempty"` // the song's seconds in that loop
	// Value is what the setup is worth to the film, in any unit; it decides what
	// is dropped first.
	Value float64 `json:"value,omitempty"`
}

// ChangeMin returns the minutes from one rig to another: the sum over what
// differs. Where both rigs name their lamps, the light costs what goes up and
// comes down, at most a change of the whole light.
func (l Limits) ChangeMin(from, to Rig) float64 {
	minutes := 0.0
	if from.Light != to.Light {
		minutes += l.lightMin(from.Lamps, to.Lamps)
	}
	for _, c := range []struct {
		from, to string
		minutes  float64
	}{
		{from.Position, to.Position, l.MoveMin},
		{from.Lens, to.Lens, l.LensMin},
		{from.Wardrobe, to.Wardrobe, l.WardrobeMin},
		{from.Tuning, to.Tuning, l.TuningMin},
	} {
		if c.from != c.to {
			minutes += c.minutes
		}
	}
	return minutes
}

func (l Limits) lightMin(from, to []string) float64 {
	if len(from) == 0 || len(to) == 0 {
		return l.RelightMin
	}
	minutes := l.LampDownMin*float64(missing(from, to)) + l.LampUpMin*float64(missing(to, from))
	return min(l.RelightMin, minutes)
}

// missing counts the names that are not among the others.
func missing(names, others []string) (n int) {
	for _, name := range names {
		if !slices.Contains(others, name) {
			n++
		}
	}
	return n
}

// PassS returns the seconds of a whole pass with what follows it.
func (l Limits) PassS(songS float64) float64 { return songS + l.ResetS }

// TryS returns the seconds of one try of a loop with what follows it.
func (l Limits) TryS(loopS float64) float64 { return l.RunInS + loopS + l.TryResetS }

// FilmMin returns the minutes in which a setup is filmed, once it stands.
func (l Limits) FilmMin(s Setup, songS float64) float64 {
	return (float64(s.Passes)*l.PassS(songS) + float64(s.Tries)*l.TryS(s.LoopS)) / 60
}
