package optics

import (
	"math"
	"strconv"
)

// Stops returns by how many stops b lets less light through than a.
func Stops(a, b float64) float64 { return 2 * math.Log2(b/a) }

// engraved are the numbers on lenses for third stops from f/1; the exact ones
// are powers of the sixth root of 2. Source: common practice.
var engraved = []float64{
	1, 1.1, 1.2, 1.4, 1.6, 1.8, 2, 2.2, 2.5, 2.8, 3.2, 3.5, 4, 4.5, 5, 5.6, 6.3, 7.1,
	8, 9, 10, 11, 13, 14, 16, 18, 20, 22, 25, 29, 32,
}

// ThirdStop returns the exact f-number so many thirds of a stop from f/1.
func ThirdStop(thirds int) float64 { return math.Exp2(float64(thirds) / 6) }

// stopSlack is how many stops count as nothing where a stop is advised: engraved
// numbers are rounded by up to as much. Source: common practice.
const stopSlack = 0.1

// NextStop returns the first third stop that is closed at least as far as a
// number, but for a tenth of a stop, as engraved on a lens. Numbers below f/1
// give f/1; above f/32 there is none, which gives the number itself.
func NextStop(stop float64) float64 {
	thirds := max(0, int(math.Ceil(3*(Stops(1, stop)-stopSlack))))
	if thirds >= len(engraved) {
		return stop
	}
	return engraved[thirds]
}

// stopWords writes an f-number as on a lens.
func stopWords(stop float64) string {
	return "f/" + strconv.FormatFloat(math.Round(10*stop)/10, 'f', -1, 64)
}
