package checks

import "takeweave/internal/film"

// Limits are what counts as a fault. A person may state others.
type Limits struct {
	// FrozenFrames alike in a row are a freeze; fewer are repeated frames.
	FrozenFrames film.Frames `json:"frozen_frames"`
	// OutsideShare is the share of the picture that may lie outside the
	// tolerated range of levels.
	OutsideShare float64 `json:"outside_share"`
	// ClippedShare of the picture may be flat white for ClippedS seconds.
	ClippedShare  float64 `json:"clipped_share"`
	ClippedS      float64 `json:"clipped_s"`
	StartSilenceS float64 `json:"start_silence_s"`
	EndSilenceS   float64 `json:"end_silence_s"`
}

// Usual are the limits unless others are stated. Source: [EBUR103] for
// OutsideShare; common practice for the rest, which no measurement set.
var Usual = Limits{FrozenFrames: 5, OutsideShare: 0.01, ClippedShare: 0.1, ClippedS: 1, StartSilenceS: 2, EndSilenceS: 4}
