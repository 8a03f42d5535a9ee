package film

import (
	"math"
	"sort"
)

// Shows says what must look in sync in a setup.
type Shows string

// What a setup may show. ShowsUnknown is treated like both, at a middle size.
const (
	ShowsUnknown Shows = ""
	ShowsLips    Shows = "lips"
	ShowsHands   Shows = "hands"
	ShowsBoth    Shows = "both"
	ShowsNeither Shows = "neither"
)

// Size is the shot size of a setup.
type Size string

// The sizes that matter to sync tolerance and to neighbours in a cut.
const (
	SizeUnknown Size = ""
	SizeWide    Size = "wide"
	SizeMid     Size = "mid"
	SizeClose   Size = "close"
	SizeInsert  Size = "insert"
)

// Setup is one camera position.
type Setup struct {
	Name  string `json:"name"`
	Shows Shows  `json:"shows,omitempty"`
	Size  Size   `json:"size,omitempty"`
	// Serves names the sections (by letter or name) this setup is meant for;
	// empty means all of them.
	Serves []string `json:"serves,omitempty"`
	// Safety marks the setup that the film opens and closes with.
	Safety bool `json:"safety,omitempty"`
	// AngleDeg is where the camera stands around the subject, in degrees, 0 in
	// front of it, growing clockwise seen from above; nil when not known.
	AngleDeg *float64 `json:"angle_deg,omitempty"`
	// Magnify is how large the subject is in the picture, relative to the other
	// setups (2 is twice as tall); 0 when only Size is known.
	Magnify float64 `json:"magnify,omitempty"`
}

// Tolerance is how far picture and record may part, in seconds. Late is the
// picture later than the sound, Early the picture earlier.
type Tolerance struct {
	Late  float64 `json:"late"`
	Early float64 `json:"early"`
}

// The tolerance never leaves what ITU-R BT.1359-1 gives as detectable: the
// sound early by 45 ms (the picture late), the sound late by 125 ms.
const (
	maxLateSeconds  = 0.045 // ITU-R BT.1359-1, considering g
	maxEarlySeconds = 0.125 // ITU-R BT.1359-1, considering g
)

// SyncTolerance returns how far picture and record may part in this setup:
// 20 ms close up, 40 ms mid, 80 ms wide, within ITU-R BT.1359-1. A setup in
// which neither lips nor hands show has the widest tolerance that the
// Recommendation allows. Source for the sizes: common practice.
func (s Setup) SyncTolerance() Tolerance {
	half := 0.040
	switch {
	case s.Shows == ShowsNeither:
		half = maxEarlySeconds
	case s.Size == SizeClose || s.Size == SizeInsert:
		half = 0.020
	case s.Size == SizeWide:
		half = 0.080
	}
	return Tolerance{Late: math.Min(half, maxLateSeconds), Early: math.Min(half, maxEarlySeconds)}
}

// MaxSpeedChange returns the greatest |speed - 1| that a shot of this setup may
// have, a share: 0.02 where lips show or may show, 0.04 for hands alone or
// neither. Source: common practice; no measurement of our own set it.
func (s Setup) MaxSpeedChange() float64 {
	switch s.Shows {
	case ShowsHands, ShowsNeither:
		return 0.04
	}
	return 0.02
}

// Clip is a camera file.
type Clip struct {
	ID       int64   `json:"id"`
	Path     string  `json:"path"` // absolute
	File     string  `json:"file"` // name shown to people, relative to the clips folder, slashes
	Digest   string  `json:"digest"`
	Bytes    int64   `json:"bytes"`
	Setup    string  `json:"setup"`
	Duration float64 `json:"duration_s"`
	Width    int     `json:"width"`  // as shown: upright, square pixels
	Height   int     `json:"height"` // as shown: upright, square pixels
	Rate     Rate    `json:"rate"`
	Variable bool    `json:"variable_rate"`
	HasSound bool    `json:"has_sound"`
	// SoundOnly marks a file without a picture: a recorder's.
	SoundOnly bool `json:"sound_only,omitempty"`
	// PictureStart and PictureEnd bound the picture on the clip's own clock.
	PictureStart PassTime `json:"picture_start_s"`
	PictureEnd   PassTime `json:"picture_end_s"`
	Notes        []string `json:"notes,omitempty"` // what was odd about it, in plain words
	// Refusal is why the file cannot be used at all (unreadable, no picture); "" when it can.
	Refusal string `json:"refusal,omitempty"`
}

// Status is what line-up says of a pass.
type Status string

// The three answers. A pass that is not surely this song is refused.
const (
	Aligned Status = "aligned"
	Refused Status = "refused"
	Silent  Status = "silent"
)

// Knot ties a pass time to a song time.
type Knot struct {
	Pass PassTime `json:"pass"`
	Song SongTime `json:"song"`
}

// Segment is one unbroken stretch of a pass laid on the song: piecewise linear
// between knots, both clocks strictly rising, at least two knots. A pass that
// repeats or skips has several.
type Segment struct {
	Knots []Knot `json:"knots"`
	// ErrorMS is the bound, in milliseconds, within which the map is expected
	// to be right at 90 % of the onsets, one value per knot.
	ErrorMS []float64 `json:"error_ms"`
}

// SongSpan returns the stretch of song that the segment covers.
func (g *Segment) SongSpan() SongSpan {
	return SongSpan{g.Knots[0].Song, g.Knots[len(g.Knots)-1].Song}
}

// PassAt returns the pass time for a song time. Outside the segment it goes on
// at slope 1 from the nearest end.
func (g *Segment) PassAt(t SongTime) PassTime {
	k := g.Knots
	n := len(k)
	if t <= k[0].Song {
		return k[0].Pass + PassTime(t-k[0].Song)
	}
	if t >= k[n-1].Song {
		return k[n-1].Pass + PassTime(t-k[n-1].Song)
	}
	i := sort.Search(n, func(i int) bool { return k[i].Song > t })
	a, b := k[i-1], k[i]
	return a.Pass + PassTime(float64(t-a.Song)/float64(b.Song-a.Song)*float64(b.Pass-a.Pass))
}

// SongAt returns the song time for a pass time, with the same extension.
func (g *Segment) SongAt(p PassTime) SongTime {
	k := g.Knots
	n := len(k)
	if p <= k[0].Pass {
		return k[0].Song + SongTime(p-k[0].Pass)
	}
	if p >= k[n-1].Pass {
		return k[n-1].Song + SongTime(p-k[n-1].Pass)
	}
	i := sort.Search(n, func(i int) bool { return k[i].Pass > p })
	a, b := k[i-1], k[i]
	return a.Song + SongTime(float64(p-a.Pass)/float64(b.Pass-a.Pass)*float64(b.Song-a.Song))
}

// ErrorAt returns the map's 90 % bound at t in milliseconds: the larger of the
// two knots around it, or that of the nearest end.
func (g *Segment) ErrorAt(t SongTime) float64 {
	if len(g.ErrorMS) == 0 {
		return 0
	}
	i := sort.Search(len(g.Knots), func(i int) bool { return g.Knots[i].Song >= t })
	if i >= len(g.ErrorMS) {
		return g.ErrorMS[len(g.ErrorMS)-1]
	}
	if i > 0 && g.ErrorMS[i-1] > g.ErrorMS[i] {
		return g.ErrorMS[i-1]
	}
	return g.ErrorMS[i]
}

// LineUp is the map from a pass to the song, with what was learned on the way.
type LineUp struct {
	Status    Status    `json:"status"`
	Reason    string    `json:"reason"`            // plain words, always set
	Playback  bool      `json:"playback"`          // played along to the loudspeaker: one offset and drift
	DriftPPM  float64   `json:"drift_ppm"`         // only for playback: pass clock against record
	Cents     float64   `json:"cents"`             // tuning of the pass against the record, within a semitone
	Semitones int       `json:"semitones"`         // moved capo or other tuning, pass minus record
	Segments  []Segment `json:"segments"`          // in pass order; empty unless aligned
	Covered   float64   `json:"covered_s"`         // seconds of song covered at least once
	Figures   []Figure  `json:"figures,omitempty"` // the numbers behind the decision
}

// Figure is a named number behind a decision, with its unit ("" for a ratio).
type Figure struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit,omitempty"`
	Limit float64 `json:"limit,omitempty"`
}
