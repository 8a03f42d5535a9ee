package picture

import (
	"math"
	"slices"
)

// Grey writes the luma of rgb, 3 bytes a pixel, to dst, a byte a pixel: so one
// stream of colour pictures serves a [Finder] and a [Meter].
//
// Source: [BT709].
func Grey(dst, rgb []byte) {
	for i := range dst {
		p := rgb[3*i : 3*i+3]
		dst[i] = byte((2126*int(p[0]) + 7152*int(p[1]) + 722*int(p[2]) + 5000) / 10000)
	}
}

// Levels at which a pixel has no more detail, of 0..255. A pixel that was cut off
// spreads over a few levels through scaling and compression. Common practice.
const (
	clippedFrom = 250
	crushedTo   = 5
)

// exposure fills in what a picture's levels tell.
func exposure(now *moment, pix []byte, width, height int) {
	var histogram [256]int
	for r := range rows {
		for c := range columns {
			var sum, clipped, n int
			from, to := ceilDiv(c*width, columns), ceilDiv((c+1)*width, columns)
			for y := ceilDiv(r*height, rows); y < ceilDiv((r+1)*height, rows); y++ {
				for _, v := range pix[y*width+from : y*width+to] {
					histogram[v]++
					sum += int(v)
					if v >= clippedFrom {
						clipped++
					}
				}
				n += to - from
			}
			cell := r*columns + c
			now.level[cell], now.clipped[cell] = float32(sum)/float32(n), float32(clipped)/float32(n)
		}
	}
	seen, half := 0, len(pix)/2
	for v, n := range histogram {
		if v <= crushedTo {
			now.crushed += float64(n) / float64(len(pix))
		}
		if seen <= half && seen+n > half {
			now.middle = float64(v)
		}
		seen += n
	}
}

// How a step in brightness is told from something that moves: it is the same in
// most cells that are neither nearly black nor nearly clipped.
const (
	darkestCell    = 12
	brightestCell  = 240
	cellsForAStep  = cells / 4
	displayedGamma = 2.4 // from level to light [BT1886]
)

// stepStops returns by how many stops the light of the displayed picture rose:
// the median over cells. It is 0 when too few cells can tell.
func stepStops(before, now *[cells]float32) float64 {
	var stops []float64
	for i, v := range now {
		if b := before[i]; min(v, b) >= darkestCell && max(v, b) <= brightestCell {
			stops = append(stops, displayedGamma*math.Log2(float64(v/b)))
		}
	}
	if len(stops) < cellsForAStep {
		return 0
	}
	slices.Sort(stops)
	n := len(stops)
	return (stops[(n-1)/2] + stops[n/2]) / 2
}
