package light

import "math"

// StopsOf returns a ratio of two amounts of light in stops.
func StopsOf(ratio float64) float64 { return math.Log2(ratio) }

// Times returns the ratio that stops are.
func Times(stops float64) float64 { return math.Exp2(stops) }

// stopsPerDensity is how many stops an optical density of 1 is: log2 10.
var stopsPerDensity = math.Log2(10)

// StopsOfDensity returns how many stops a filter of an optical density takes.
func StopsOfDensity(density float64) float64 { return density * stopsPerDensity }

// DensityOf returns the optical density that takes so many stops.
func DensityOf(stops float64) float64 { return stops / stopsPerDensity }

// LuxPerFootCandle converts foot-candles: lumens on a square foot.
const LuxPerFootCandle = 1 / (0.3048 * 0.3048)
