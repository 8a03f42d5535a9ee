package daylog

import (
	"math"
	"math/rand/v2"
	"testing"
)

// everyAssignment is the slow twin of align: it writes down every assignment of
// files from i and passes from j, and gives each its weight once.
func everyAssignment(ev *evidence, ck *clock, i, j int, weight float64, onlyBlock bool, visit func(weight float64, used []block), used []block) {
	if i == len(ev.clips) && j == len(ev.units) {
		visit(weight, used)
		return
	}
	// Skipped files come before skipped passes.
	if !onlyBlock {
		for i2 := i + 1; i2 <= len(ev.clips); i2++ {
			everyAssignment(ev, ck, i2, j, weight*math.Exp(ev.unlogged(i, i2)), false, visit, append(used, block{i: i, i2: i2, j: -1}))
		}
	}
	if j < len(ev.units) {
		everyAssignment(ev, ck, i, j+1, weight*missingChance, true, visit, used)
	}
	for i2 := i + 1; i2 <= len(ev.clips); i2++ {
		for j2 := j + 1; j2 <= len(ev.units); j2++ {
			if i2 > i+1 && j2 > j+1 {
				continue
			}
			w := math.Exp(ev.besidesTimes(i, i2, j, j2) + ev.times(ck, i, i2, j, j2))
			if j2 > j+1 && !ev.fits(i, j, j2) {
				w = 0
			}
			everyAssignment(ev, ck, i2, j2, weight*w, false, visit, append(used, block{i: i, i2: i2, j: j, j2: j2}))
		}
	}
}

func TestAlignAgainstEveryAssignment(t *testing.T) {
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 2))
		h := anyHabits(r)
		h.passes, h.cards = 4, 1
		h.splits, h.pickups, h.falseStarts = 0.3, 0.2, 0.3
		d := aDay(r, h)
		clips, _ := withoutDoubles(orders(d.clips)[0])
		units := unitsOf(d.entries)
		ev := newEvidence(aSong(), clips[:min(5, len(clips))], units[:min(5, len(units))], h.atEnd)
		for _, ck := range ev.clocks()[:2] {
			al := ev.align(ck, ev.steps())
			var total float64
			chance := map[block]float64{}
			unlogged := make([]float64, len(ev.clips))
			everyAssignment(ev, &ck, 0, 0, 1, false, func(w float64, used []block) {
				total += w
				for _, b := range used {
					if b.j >= 0 {
						chance[b] += w
						continue
					}
					for i := b.i; i < b.i2; i++ {
						unlogged[i] += w
					}
				}
			}, nil)
			const near = 1e-9 // sums of rounded logarithms
			if math.Abs(al.log-ck.prior()-math.Log(total)) > near*100 {
				t.Errorf("day %d: evidence %v, want %v", seed, al.log-ck.prior(), math.Log(total))
			}
			for _, b := range al.blocks {
				if want := chance[block{i: b.i, i2: b.i2, j: b.j, j2: b.j2}] / total; math.Abs(b.chance-want) > near {
					t.Errorf("day %d: %+v has chance %v, want %v", seed, b, b.chance, want)
				}
			}
			for i, got := range al.unlogged {
				if math.Abs(got-unlogged[i]/total) > near {
					t.Errorf("day %d: clip %d unlogged %v, want %v", seed, i, got, unlogged[i]/total)
				}
			}
		}
	}
}
