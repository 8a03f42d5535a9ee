package lineup

import "math"

// part is a run of pass time given to one curve.
type part struct {
	curve            int
	passFrom, passTo float64
}

// Prices of leaving and entering a curve, in units of fit times seconds.
const (
	enterCost  = 2.0
	switchCost = 3.0
	minPart    = 2.0 // seconds; shorter ones are chance
)

// assign gives every moment of the pass to the curve that fits best there, or
// to none, with the least changes (Viterbi on a grid of evidenceStep in pass
// time). Curves may overlap in pass time; the result does not.
func assign(curves []*curve, evidences []*evidence) []part {
	if len(curves) == 0 {
		return nil
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, e := range evidences {
		lo, hi = math.Min(lo, e.pass[0]), math.Max(hi, e.pass[len(e.pass)-1])
	}
	n := int((hi-lo)/evidenceStep) + 1
	k := len(curves)
	const none = math.MaxFloat64
	gain := make([]float64, n*k) // -none where the curve does not reach
	for i := range gain {
		gain[i] = -none
	}
	for q, e := range evidences {
		j := 0
		for i := range n {
			p := lo + float64(i)*evidenceStep
			if p < e.pass[0] || p > e.pass[len(e.pass)-1] {
				continue
			}
			for j < len(e.pass)-1 && e.pass[j+1] <= p {
				j++
			}
			gain[i*k+q] = e.fit[j] * evidenceStep
		}
	}
	score, next := make([]float64, k+1), make([]float64, k+1) // state k: none
	back := make([]uint16, n*(k+1))
	for q := range k {
		score[q] = -none
	}
	for i := range n {
		best := 0
		for q := range score {
			if score[q] > score[best] {
				best = q
			}
		}
		for q := range k + 1 {
			v, from := score[q], q
			price := enterCost
			if q < k {
				if best < k {
					price = switchCost
				}
				if w := score[k] - enterCost; w > v {
					v, from = w, k
				}
			}
			if w := score[best] - price; w > v {
				v, from = w, best
			}
			if q < k {
				if gain[i*k+q] == -none {
					v = -none
				} else {
					v += gain[i*k+q]
				}
			}
			next[q], back[i*(k+1)+q] = v, uint16(from)
		}
		score, next = next, score
	}
	state := k
	for q := range score {
		if score[q] > score[state] {
			state = q
		}
	}
	var parts []part
	for i := n - 1; i >= 0; i-- {
		p := lo + float64(i)*evidenceStep
		if state < k {
			if m := len(parts); m > 0 && parts[m-1].curve == state && parts[m-1].passFrom-p < 1.5*evidenceStep {
				parts[m-1].passFrom = p
			} else {
				parts = append(parts, part{state, p, p + evidenceStep})
			}
		}
		state = int(back[i*(k+1)+state])
	}
	var out []part
	for i := len(parts) - 1; i >= 0; i-- {
		if parts[i].passTo-parts[i].passFrom >= minPart {
			out = append(out, parts[i])
		}
	}
	return out
}
