package light

import "math"

// McCamy returns the colour temperature of a chromaticity x, y near the line of
// white lights, good from 2850 to 7000 K. Source: [McCamy1992].
func McCamy(x, y float64) float64 {
	n := (x - 0.3320) / (y - 0.1858)
	return ((-449*n+3525)*n-6823.3)*n + 5520.33
}

// Hernandez returns the colour temperature of a chromaticity x, y near the line
// of white lights, from 3000 to 50000 K; below that it reads low.
// Source: [Hernandez1999].
func Hernandez(x, y float64) float64 {
	n := (x - 0.3366) / (y - 0.1735)
	return -949.86315 + 6253.80338*math.Exp(-n/0.92159) +
		28.70599*math.Exp(-n/0.20039) + 0.00004*math.Exp(-n/0.07125)
}

// Kelvin returns the colour temperature of what a colour meter reads as x, y, by
// the method that is good there; false outside of 2000 to 50000 K. How far the
// light lies off the line of white lights it does not tell.
func Kelvin(x, y float64) (kelvin float64, ok bool) {
	kelvin = Hernandez(x, y)
	if !(kelvin >= 3000) {
		kelvin = McCamy(x, y)
	}
	return kelvin, kelvin >= 2000 && kelvin <= 50000
}
