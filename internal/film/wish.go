package film

// MustSee is a stretch of the song in which the viewer must see something: a
// run on the neck, the first word of a chorus.
type MustSee struct {
	Span   SongSpan `json:"span"`
	Shows  Shows    `json:"shows"`                   // ShowsHands or ShowsLips; ShowsBoth wants both
	Before Frames   `json:"frames_before,omitempty"` // wanted before the span as well
	After  Frames   `json:"frames_after,omitempty"`  // wanted after it
	Text   string   `json:"text,omitempty"`          // what it is, in the person's words
	// Matches is how many usable passes are wanted of it; 0 leaves it to the plan.
	Matches int `json:"matches,omitempty"`
}

// Word is one sung word of a line.
type Word struct {
	Span SongSpan `json:"span"`
	Text string   `json:"text"`
	// Estimated marks a span that was spread over the line, not heard or given.
	Estimated bool `json:"estimated,omitempty"`
}

// Rest is a place between notes or words where a cut is good.
type Rest struct {
	At     SongTime `json:"at"`               // where a cut is best: as the breath begins
	Breath bool     `json:"breath,omitempty"` // the singer is heard breathing
}

// Grades are how good something is over time, on the AgreementStep grid.
type Grades struct {
	First int       `json:"first"` // grid index of Score[0]: song time First*AgreementStep
	Score []float64 `json:"score"` // 0..1, 1 is as good as can be
}
