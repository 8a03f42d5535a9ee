package light

import (
	"cmp"
	"fmt"
	"slices"
)

// mostLoads keeps the search short: with 14 loads the closest rooms tried took
// 0.4 s.
const mostLoads = 14

// Plugged is which load is plugged in where.
type Plugged struct {
	OK    bool         `json:"ok"`
	Loads []Load       `json:"loads"` // as they were if there is no way
	Sums  []CircuitSum `json:"sums"`
	Words string       `json:"words"`
}

// Spread decides the circuit of every load that has none, so that each circuit
// stays within its share of the rating. The search is exact: it finds a way if one
// exists. Up to 14 loads may be undecided; more, and whatever [Limits.Sums] does
// not take, are errors of code usage.
func (l Limits) Spread(circuits []Circuit, loads []Load) (Plugged, error) {
	sums, err := l.Sums(circuits, loads)
	if err != nil {
		return Plugged{}, err
	}
	none := Plugged{Loads: loads, Sums: sums}
	s := search{dead: map[string]bool{}}
	for i, c := range sums {
		if !c.OK {
			none.Words = c.Circuit + " carries too much before anything is added"
			return none, nil
		}
		s.left = append(s.left, (c.AllowedAmps-c.Amps)*circuits[i].Volts)
	}
	undecided := largestFirst(loads)
	if len(undecided) > mostLoads {
		return Plugged{}, usage(fmt.Sprintf("%d loads are too many to spread", len(undecided)), "decide the circuit of some first")
	}
	for _, i := range undecided {
		s.needs = append(s.needs, loads[i].voltAmps())
	}
	none.Words = s.shortage()
	s.at = make([]int, len(undecided))
	if !s.place(0) {
		return none, nil
	}
	spread := slices.Clone(loads)
	for k, i := range undecided {
		spread[i].Circuit = circuits[s.at[k]].Name
	}
	sums, err = l.Sums(circuits, spread)
	return Plugged{true, spread, sums, "every circuit stays within " + plain(100*l.CircuitShare) + " % of its rating"}, err
}

// largestFirst lists the loads without a circuit.
func largestFirst(loads []Load) []int {
	var undecided []int
	for i, load := range loads {
		if load.Circuit == "" {
			undecided = append(undecided, i)
		}
	}
	slices.SortStableFunc(undecided, func(a, b int) int { return cmp.Compare(loads[b].voltAmps(), loads[a].voltAmps()) })
	return undecided
}

// shortage says why there is no way, if there is none.
func (s *search) shortage() string {
	const ask = ": leave something off, or ask the venue for another circuit"
	need, left := sum(s.needs), sum(s.left)
	if need > left {
		return fmt.Sprintf("%.0f VA are wanted where %.0f are left", need, left) + ask
	}
	return fmt.Sprintf("%.0f VA are wanted and %.0f left in all, but no way of sharing them out fits", need, left) + ask
}

// search is over circuits: the largest loads first, each where most is left, back
// again where that leads nowhere. All in volt-amperes.
type search struct {
	needs []float64
	left  []float64 // by circuit
	at    []int     // the circuit of each load
	dead  map[string]bool
}

func (s *search) place(k int) bool {
	if k == len(s.needs) {
		return true
	}
	if sum(s.needs[k:]) > sum(s.left)+slack || s.dead[s.state(k)] {
		return false
	}
	order := make([]int, len(s.left))
	for c := range order {
		order[c] = c
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.left[b], s.left[a]) })
	for _, c := range order {
		before := s.left[c]
		if s.needs[k] > before+slack {
			break // nor into those with less
		}
		s.at[k], s.left[c] = c, before-s.needs[k]
		if s.place(k + 1) {
			return true
		}
		s.left[c] = before
	}
	s.dead[s.state(k)] = true
	return false
}

// state names a place in the search: what is left is all that counts, whichever
// circuit has it.
func (s *search) state(k int) string {
	left := slices.Sorted(slices.Values(s.left))
	return fmt.Sprintf("%d %.6f", k, left)
}

func sum(values []float64) float64 {
	total := 0.0
	for _, v := range values {
		total += v
	}
	return total
}
