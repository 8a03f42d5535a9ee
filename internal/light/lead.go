package light

import "fmt"

// Lead is an extension lead, there and back in one.
type Lead struct {
	LengthM float64 `json:"length"`
	MM2     float64 `json:"mm2"`  // copper of one conductor; 0 is 1.5
	Reel    bool    `json:"reel"` // it comes on a reel
}

// usualMM2 is the copper for which [Limits] give the loss.
const usualMM2 = 1.5

func (l Lead) copper() float64 {
	if l.MM2 == 0 {
		return usualMM2
	}
	return l.MM2
}

// DropVolts returns the voltage a lead loses at a current; it goes with length
// over copper. Source: physics.
func (l Limits) DropVolts(lead Lead, amps float64) float64 {
	return l.LeadMV / 1000 * amps * lead.LengthM * usualMM2 / lead.copper()
}

// LeadCheck is what a lead does to a load.
type LeadCheck struct {
	DropVolts float64 `json:"drop_volts"`
	OK        bool    `json:"ok"`
	Words     string  `json:"words"`
}

// CheckLead tells what a lead loses, and that a reel is to be unwound.
func (l Limits) CheckLead(lead Lead, volts, amps float64) LeadCheck {
	c := LeadCheck{DropVolts: l.DropVolts(lead, amps)}
	share := c.DropVolts / volts
	c.OK = share <= l.DropShare
	c.Words = fmt.Sprintf("%s m of %s mm² at %s A lose %s V, %s %%",
		plain(lead.LengthM), plain(lead.copper()), plain(amps), plain(c.DropVolts), plain(100*share))
	if !c.OK {
		c.Words += ": take a thicker or a shorter one"
	}
	if lead.Reel {
		c.Words += "; unwind the reel fully"
	}
	return c
}
