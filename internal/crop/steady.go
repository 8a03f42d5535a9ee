package crop

import (
	"math"
	"sort"
)

// band is where the window may stand along one direction at one moment, in
// pixels: best of all at best, well anywhere in [lo, hi], and without cutting more
// of the subject than a little in [least, most];
// least <= lo <= best <= hi <= most. A band that is not known asks for nothing.
type band struct {
	least, lo, best, hi, most float64
	known                     bool
}

// wish is what a steady path weighs up.
type wish struct {
	outside float64 // cost per pixel outside [lo, hi] at one moment
	cut     float64 // further cost per pixel outside [least, most] at one moment
	pull    float64 // cost per pixel from the best place at one moment
	travel  float64 // cost per pixel travelled
	reach   float64 // farthest way from one moment to the next, pixels
}

// steady returns the path x through the bands, one place per moment in
// [0, room], that costs least:
//
//	Σ outside·dist(x[i], [lo, hi]) + cut·dist(x[i], [least, most]) +
//	  pull·|x[i]-best| + travel·|x[i]-x[i-1]|
//
// among all with |x[i]-x[i-1]| at most reach. The minimum is exact: going
// forward, the least cost of all paths that end at a place is a convex function
// of that place, made of straight pieces; going back, each step either stays or
// goes as little as it must. Time O(n·m), where m, the pieces alive at once, is
// at most five per moment within room/reach moments.
//
// Source: Johnson [Johnson2013], whose dynamic programme for the fused lasso
// this is, with a cost of straight pieces and a limit of speed added.
func steady(bands []band, room float64, w wish) []float64 {
	n := len(bands)
	if n == 0 {
		return nil
	}
	f := &cost{room: room}
	// Between from[i] and to[i] it does not pay to come from elsewhere at i.
	from, to := make([]float64, n), make([]float64, n)
	for i, b := range bands {
		if b.known {
			f.add(b.least, -w.cut, 0)
			f.add(b.lo, -w.outside, 0)
			f.add(b.best, -w.pull, w.pull)
			f.add(b.hi, 0, w.outside)
			f.add(b.most, 0, w.cut)
		}
		if i < n-1 {
			from[i], to[i] = f.rises(-w.travel), f.rises(w.travel)
			f.travel(w.travel, w.reach)
		}
	}
	x := make([]float64, n)
	x[n-1] = f.rises(0)
	for i := n - 2; i >= 0; i-- {
		x[i] = clamp(clamp(x[i+1], from[i], to[i]), x[i+1]-w.reach, x[i+1]+w.reach)
	}
	return x
}

// total returns what a path through the bands costs.
func (w wish) total(x []float64, bands []band) float64 {
	sum := 0.0
	for i, b := range bands {
		sum += w.at(x[i], b)
		if i > 0 {
			sum += w.travel * math.Abs(x[i]-x[i-1])
		}
	}
	return sum
}

// stand returns the even pixel in [0, room], room itself even, at which it costs
// least to stand all through the bands; of several the first.
func stand(bands []band, room float64, w wish) float64 {
	// The cost is convex, so it falls up to that pixel and not after it.
	k := sort.Search(int(room/2), func(k int) bool {
		return w.standing(2*float64(k), bands) <= w.standing(2*float64(k+1), bands)
	})
	return 2 * float64(k)
}

// standing returns what it costs to stand at x all through the bands.
func (w wish) standing(x float64, bands []band) float64 {
	sum := 0.0
	for _, b := range bands {
		sum += w.at(x, b)
	}
	return sum
}

// at returns what it costs to stand at x at one moment.
func (w wish) at(x float64, b band) float64 {
	if !b.known {
		return 0
	}
	off := func(lo, hi float64) float64 { return math.Max(0, math.Max(lo-x, x-hi)) }
	return w.outside*off(b.lo, b.hi) + w.cut*off(b.least, b.most) + w.pull*math.Abs(x-b.best)
}

// cost is a convex function on [0, room] made of straight pieces, up to a
// constant: its slope at 0 and the bends, in rising order, at which it grows.
type cost struct {
	room  float64
	slope float64
	bends []bend
	spare []bend // the memory of the bends before last
}

// bend is a place at which the slope grows by more.
type bend struct{ at, more float64 }

// add adds a function that has one slope left of a place and another right of it.
func (f *cost) add(at, left, right float64) {
	f.slope += left
	switch {
	case at <= 0:
		f.slope += right - left
		return
	case at >= f.room:
		return
	}
	i := len(f.bends)
	f.bends = append(f.bends, bend{})
	for ; i > 0 && f.bends[i-1].at > at; i-- {
		f.bends[i] = f.bends[i-1]
	}
	f.bends[i] = bend{at, right - left}
}

// rises returns the first place right of which the slope is at least s; room
// when there is none.
func (f *cost) rises(s float64) float64 {
	slope := f.slope
	if slope >= s {
		return 0
	}
	for _, b := range f.bends {
		if slope += b.more; slope >= s {
			return b.at
		}
	}
	return f.room
}

// travel turns the least cost of being at a place now into that of being at a
// place at the next moment, when a pixel of way costs price and the way is at
// most reach. What is steeper than the price moves outward by reach: from there
// it pays to come.
func (f *cost) travel(price, reach float64) {
	slope, start := f.slope, f.slope
	out := f.spare[:0]
	put := func(at, more float64) {
		switch {
		case more <= 0 || at >= f.room:
		case at <= 0:
			start += more
		default:
			out = append(out, bend{at, more})
		}
	}
	if slope > price { // all that lies right of 0 may come from there
		start = price
		put(reach, slope-price)
	}
	for _, b := range f.bends {
		falling := clamp(-price-slope, 0, b.more)
		rising := clamp(slope+b.more-price, 0, b.more)
		put(b.at-reach, falling)
		put(b.at, b.more-falling-rising)
		put(b.at+reach, rising)
		slope += b.more
	}
	if slope < -price { // all that lies left of the room's end may come from there
		put(f.room-reach, -price-slope)
	}
	f.slope, f.bends, f.spare = start, out, f.bends
}
