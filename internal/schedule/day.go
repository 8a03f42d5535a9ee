package schedule

import (
	"fmt"
	"math"

	"takeweave/internal/film"
	"takeweave/internal/sun"
)

// Day is a day of filming, or what is left of one: then the setup that stands is
// held first by its rules, Start is now, and setups have the passes still to do.
type Day struct {
	SongS   float64    `json:"song_s"`
	Setups  []Setup    `json:"setups"`
	Rules   Rules      `json:"rules"`
	Start   sun.Minute `json:"start"`              // the first setup is rigged
	KeyBack sun.Minute `json:"key_back,omitempty"` // the room must be left; 0 when that is open
	Voice   int        `json:"voice,omitempty"`    // passes sung before Start
	Limits  Limits     `json:"limits"`
}

// Step is one setup of the day on the clock.
type Step struct {
	Setup     string     `json:"setup"`
	Start     sun.Minute `json:"start"` // of the change to it
	End       sun.Minute `json:"end"`
	ChangeMin float64    `json:"change_minutes"`
	FilmMin   float64    `json:"film_minutes"`
	BreakMin  float64    `json:"break_minutes"` // taken before it
	FullVoice int        `json:"full_voice"`    // passes; the others at half voice
}

// Plan is a day laid on the clock.
type Plan struct {
	Order    Order      `json:"order"`
	Steps    []Step     `json:"steps"`
	WorkMin  float64    `json:"work_minutes"` // changes and filming
	BreakMin float64    `json:"break_minutes"`
	SlackMin float64    `json:"slack_minutes"`
	WrapMin  float64    `json:"wrap_minutes"`
	Finish   sun.Minute `json:"finish"`  // of filming, with all slack used
	Leave    sun.Minute `json:"leave"`   // with the room put back
	SpareMin float64    `json:"spare"`   // until the key goes back; below 0 the day is too long
	Notes    []string   `json:"notes"`   // what to know, in words
	Drops    []Drop     `json:"dropped"` // what can go, the cheapest loss first
}

// Plan returns the best order of the day laid on the clock. Steps run without
// slack; Finish has all of it. Errors are those of [Best].
func (d Day) Plan() (Plan, error) {
	if !(d.SongS > 0) {
		return Plan{}, &film.Error{Code: film.CodeUsage, Msg: "the length of the song is not known", Hint: "give it in seconds"}
	}
	order, err := Best(d.Setups, d.Rules, d.Limits)
	if err != nil {
		return Plan{}, err
	}
	p := Plan{Order: order, Steps: d.steps(order.Setups), WrapMin: d.Limits.WrapMin, Drops: d.drops(order.Setups)}
	for _, s := range p.Steps {
		p.WorkMin += s.ChangeMin + s.FilmMin
		p.BreakMin += s.BreakMin
	}
	p.SlackMin = d.Limits.Slack * (p.WorkMin + p.BreakMin)
	p.Finish = d.Start + sun.Minute(p.WorkMin+p.BreakMin+p.SlackMin)
	p.Leave = p.Finish + sun.Minute(p.WrapMin)
	p.Notes = append(p.Notes, fmt.Sprintf("finish at %s", p.Finish))
	if d.KeyBack > 0 {
		p.SpareMin = float64(d.KeyBack - p.Leave)
		p.Notes[0] += fmt.Sprintf(", leave at %s, key back at %s", p.Leave, d.KeyBack)
		if p.SpareMin < 0 {
			p.Notes = append(p.Notes, fmt.Sprintf("%.0f minutes too long%s", math.Ceil(-p.SpareMin), d.toFit(p)))
		}
	}
	for i, s := range p.Steps {
		setup := d.Setups[order.Setups[i]]
		if half := setup.Passes - s.FullVoice; half > 0 && setup.sung() {
			p.Notes = append(p.Notes, fmt.Sprintf("%s has %d of %d passes at half voice", s.Setup, half, setup.Passes))
		}
	}
	p.Notes = append(p.Notes, order.Broken...)
	return p, nil
}

// steps lays an order on the clock. A break comes before the first setup that
// begins after so much work; the voice goes to the setups that show the mouth.
func (d Day) steps(order []int) []Step {
	voices := d.voices(order)
	steps := make([]Step, len(order))
	now, worked := d.Start, 0.0
	for k, i := range order {
		s := Step{Setup: d.Setups[i].Name, FilmMin: d.Limits.FilmMin(d.Setups[i], d.SongS), FullVoice: voices[i]}
		if d.Limits.BreakEvery > 0 && worked >= d.Limits.BreakEvery {
			s.BreakMin, worked = d.Limits.BreakMin, 0
		}
		if k > 0 {
			s.ChangeMin = d.Limits.ChangeMin(d.Setups[order[k-1]].Rig, d.Setups[i].Rig)
		}
		s.Start = now + sun.Minute(s.BreakMin)
		s.End = s.Start + sun.Minute(s.ChangeMin+s.FilmMin)
		now = s.End
		worked += s.ChangeMin + s.FilmMin
		steps[k] = s
	}
	return steps
}

// voices shares the passes at full voice out: first to setups that show the
// mouth, in order, then to the others.
func (d Day) voices(order []int) []int {
	left := max(0, int(d.Limits.FullVoice)-d.Voice)
	full := make([]int, len(d.Setups))
	for _, sung := range []bool{true, false} {
		for _, i := range order {
			if d.Setups[i].sung() == sung {
				full[i] = min(left, d.Setups[i].Passes)
				left -= full[i]
			}
		}
	}
	return full
}

// sung reports whether the mouth is seen, so that the voice must be full.
func (s Setup) sung() bool { return s.Shows != film.ShowsHands && s.Shows != film.ShowsNeither }
