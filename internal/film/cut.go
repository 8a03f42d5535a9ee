package film

// Shape is a frame shape, "16:9".
type Shape string

// Shot is a stretch of one pass used in the cut. A Shot without a File is a
// hole: nothing can be shown there, and Why says so.
type Shot struct {
	First       Frames   `json:"first_frame"`
	End         Frames   `json:"end_frame"` // exclusive
	Pass        string   `json:"pass"`      // name of the pass, "" for a hole
	Clip        int64    `json:"clip"`
	File        string   `json:"file"`
	Setup       string   `json:"setup"`
	Segment     int      `json:"segment"`        // which segment of the pass's line-up
	SourceStart PassTime `json:"source_start_s"` // shown at the start of frame First
	Speed       float64  `json:"speed"`          // 1 is native
	HoldErrorMS float64  `json:"hold_error_ms"`  // worst parting of picture and record by the map
	MapErrorMS  float64  `json:"map_error_ms"`   // 90 % bound of the map itself over the shot
	Agreement   float64  `json:"agreement"`      // mean score over the shot
	Worst       float64  `json:"worst"`          // lowest score averaged over one beat
	Why         string   `json:"why"`
	Crop        *Crop    `json:"crop,omitempty"` // nil shows the whole picture, as far as the film's shape allows
}

// Cut is what the viewer sees, instant by instant, for one shape. The shots
// cover frames [0, Frames) exactly once, in order.
type Cut struct {
	Rate   Rate   `json:"fps"`
	Shape  Shape  `json:"shape"`
	Frames Frames `json:"song_frames"`
	Shots  []Shot `json:"shots"`
	// From is the song time at which film frame 0 begins: 0 for a whole film,
	// the start of the stretch for an extract.
	From SongTime `json:"song_from_s,omitempty"`
}

// At returns the song time at which film frame f begins.
func (c *Cut) At(f Frames) SongTime { return c.From + c.Rate.FrameStart(f) }
