package workbench

import (
	"takeweave/internal/job"
	"takeweave/internal/look"
)

// This file is the part of the contract that is about the look.

// Looked is what the present look does.
type Looked struct {
	Words   string           `json:"words"`
	Effects []look.Effect    `json:"effects"`         // of the steps that are set and on
	Baked   look.Difference  `json:"baked_error"`     // of the look as one table
	NoRoom  []string         `json:"no_room"`         // shots whose face the letterbox cuts
	Apart   *look.Difference `json:"apart,omitempty"` // LUT B over A, and beside it
}

// TableAsk asks for the table of a look that need not be decided. The answer is
// bare: single-precision numbers, little end first, R, G, B of each point, red
// running fastest.
type TableAsk struct {
	Look  look.Look `json:"look"`
	Trim  look.Trim `json:"trim,omitzero"`
	Quick bool      `json:"quick,omitempty"` // while a hand drags
}

// Instants are the hardest instants of a cut.
type Instants struct {
	Instants []job.Instant `json:"instants"`
}

// LUTFile brings a LUT file into the film.
type LUTFile struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// LUTTaken says that it is there, with warnings when it seems to be made for
// another input.
type LUTTaken struct {
	Name     string   `json:"name"`
	Warnings []string `json:"warnings"`
}
