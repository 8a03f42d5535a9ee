package checks

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// Kind is one check.
type Kind string

// The checks.
const (
	Black        Kind = "black"
	Frozen       Kind = "frozen"
	Repeated     Kind = "repeated"
	Levels       Kind = "levels"
	Clipped      Kind = "clipped"
	Flashing     Kind = "flashing"
	Length       Kind = "length"
	Tags         Kind = "tags"
	StartSilence Kind = "start-silence"
	EndSilence   Kind = "end-silence"
	Loudness     Kind = "loudness"
	TruePeak     Kind = "true-peak"
	Captions     Kind = "captions"
	InSync       Kind = "sync"
)

// All are the checks in the order in which they are told.
var All = []Kind{Length, Tags, Black, Frozen, Repeated, Levels, Clipped, Flashing, StartSilence, EndSilence, Loudness, TruePeak, InSync, Captions}

// Finding is one fault.
type Finding struct {
	Kind   Kind        `json:"kind"`
	First  film.Frames `json:"first_frame"`
	End    film.Frames `json:"end_frame"` // exclusive
	Words  string      `json:"words"`
	Number float64     `json:"number"` // what was measured
	Limit  float64     `json:"limit"`  // what it is held against
}

// Report is what one look at the film says.
type Report struct {
	Checked    []Kind
	NotChecked []Unchecked
	Findings   []Finding
}

// Unchecked is a check that was not done.
type Unchecked struct {
	Kind Kind   `json:"kind"`
	Why  string `json:"why"`
}

// Verdict is what all looks say together. Its slices are never nil.
type Verdict struct {
	Checked    []Kind      `json:"checked"`
	NotChecked []Unchecked `json:"not_checked"`
	Findings   []Finding   `json:"findings"` // by first frame
}

// Conclude puts reports together. A check that no report speaks of was not done.
func Conclude(reports ...Report) Verdict {
	v := Verdict{Checked: []Kind{}, NotChecked: []Unchecked{}, Findings: []Finding{}}
	for _, k := range All {
		checked := false
		var why []string
		for _, r := range reports {
			checked = checked || slices.Contains(r.Checked, k)
			for _, n := range r.NotChecked {
				if n.Kind == k {
					why = append(why, n.Why)
				}
			}
		}
		if checked {
			v.Checked = append(v.Checked, k)
		} else if len(why) == 0 {
			why = append(why, "nothing was given to check it with")
		}
		if len(why) > 0 { // a check may be done in part
			v.NotChecked = append(v.NotChecked, Unchecked{k, strings.Join(why, "; ")})
		}
	}
	for _, r := range reports {
		v.Findings = append(v.Findings, r.Findings...)
	}
	slices.SortStableFunc(v.Findings, func(a, b Finding) int { return cmp.Compare(a.First, b.First) })
	return v
}

// Words returns the verdict in one sentence.
func (v Verdict) Words() string {
	done := fmt.Sprintf("%d of %d checks done", len(v.Checked), len(All))
	switch len(v.Findings) {
	case 0:
		return done + ", nothing found"
	case 1:
		return done + ", 1 finding"
	}
	return fmt.Sprintf("%s, %d findings", done, len(v.Findings))
}
