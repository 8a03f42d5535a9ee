package picture

import (
	"cmp"
	"math"
	"slices"
)

// How sharpness is put together; the numbers are our own.
const (
	leastCoarse  = 2.0 // energy of slopes below which a cell has nothing to be sharp
	leastArea    = 0.4 // share of the area that must have something
	sharpSeconds = 1.0 // over which the median is taken
	bestShare    = 0.9 // of the moments are no sharper than the best
)

// sharpen fills in the sharpness of all moments, and the best.
//
// Every cell is compared with its own best, and the median cell speaks for the
// area: a hand that comes and goes changes some cells, focus changes all. The
// scale is that of the ratio of the area's energies, which other passes share.
func (r *Reading) sharpen(moments []moment, areas []area) {
	cellBest := cellBests(moments)
	share, ratio := make([]float64, len(moments)), make([]float64, len(moments))
	for i := range moments {
		share[i] = areas[i].sharpness(&moments[i], &cellBest)
		if coarse := areas[i].mean(&moments[i].coarse); share[i] > 0 {
			ratio[i] = areas[i].mean(&moments[i].fine) / coarse
		}
	}
	half := int(math.Round(sharpSeconds / 2 / r.StepSeconds))
	smooth := make([]float64, len(share))
	for i := range share {
		if around := known(share[max(0, i-half):min(len(share), i+half+1)]); len(around) > 0 {
			smooth[i] = median(around)
		}
	}
	if top := best(smooth); top > 0 {
		r.Best = best(ratio)
		for i, s := range smooth {
			r.Moments[i].Sharpness = s / top * r.Best
		}
	}
}

// ratio returns how much of the detail of a cell is fine, 0 where there is
// nothing to see.
func (m *moment) ratio(cell int) float64 {
	if m.coarse[cell] < leastCoarse {
		return 0
	}
	return float64(m.fine[cell] / m.coarse[cell])
}

// cellBests returns the best ratio of every cell, 0 where it is never known.
func cellBests(moments []moment) [cells]float64 {
	var out [cells]float64
	v := make([]float64, len(moments))
	for c := range out {
		for i := range moments {
			v[i] = moments[i].ratio(c)
		}
		out[c] = best(v)
	}
	return out
}

// sharpness returns the median over the area of how sharp its cells are, of
// their best, 0 where too few have anything to be sharp.
func (a *area) sharpness(m *moment, cellBest *[cells]float64) float64 {
	type weighed struct{ value, weight float64 }
	var v []weighed
	all, seen := 0.0, 0.0
	for c, w := range a {
		all += w
		if ratio := m.ratio(c); w > 0 && ratio > 0 {
			v = append(v, weighed{ratio / cellBest[c], w})
			seen += w
		}
	}
	if seen == 0 || seen < leastArea*all {
		return 0
	}
	slices.SortFunc(v, func(a, b weighed) int { return cmp.Compare(a.value, b.value) })
	sum := 0.0
	for _, x := range v {
		if sum += x.weight; sum >= seen/2 {
			return x.value
		}
	}
	return v[len(v)-1].value
}

// best returns the value that a tenth of the known ones reach, 0 without any.
func best(v []float64) float64 {
	v = known(v)
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return v[int(bestShare*float64(len(v)-1))]
}

// known returns the values that are not 0.
func known(v []float64) []float64 {
	var out []float64
	for _, x := range v {
		if x != 0 {
			out = append(out, x)
		}
	}
	return out
}
