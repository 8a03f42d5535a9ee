package workbench

import "takeweave/internal/plan"

// This file is the part of the contract that is about the plan.

// Planned is the plan as it is decided, with what follows from it.
type Planned struct {
	Plan plan.Plan `json:"plan"`
	Told plan.Told `json:"told"`
}
