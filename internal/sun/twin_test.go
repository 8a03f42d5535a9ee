package sun

import "math"

// This is the slow twin: the long way of [Meeus1998], which is also that of
// [SPA2004]. The earth goes by the largest periodic terms of VSOP87 (chapter 32
// and appendix III, from memory), with aberration by distance, four terms of
// nutation (chapter 22), apparent sidereal time, dynamical time and parallax. It
// shares no constant of the orbit with the short theory.

// periodic is A cos(B + C t), A in 1e-8.
type periodic struct{ a, b, c float64 }

var earthLongitude = [][]periodic{
	{
		{175347046, 0, 0},
		{3341656, 4.6692568, 6283.07585},
		{34894, 4.6261, 12566.1517},
		{3497, 2.7441, 5753.3849},
		{3418, 2.8289, 3.5231},
		{3136, 3.6277, 77713.7715},
		{2676, 4.4181, 7860.4194},
		{2343, 6.1352, 3930.2097},
		{1324, 0.7425, 11506.7698},
		{1273, 2.0371, 529.691},
		{1199, 1.1096, 1577.3435},
		{990, 5.233, 5884.927},
		{902, 2.045, 26.298},
		{857, 3.508, 398.149},
		{780, 1.179, 5223.694},
		{753, 2.533, 5507.553},
		{505, 4.583, 18849.228},
		{492, 4.205, 775.523},
		{357, 2.92, 0.067},
		{317, 5.849, 11790.629},
		{284, 1.899, 796.298},
		{271, 0.315, 10977.079},
	},
	{
		{628331966747, 0, 0},
		{206059, 2.678235, 6283.07585},
		{4303, 2.6351, 12566.1517},
		{425, 1.59, 3.523},
		{119, 5.796, 26.298},
		{109, 2.966, 1577.344},
	},
	{{52919, 0, 0}, {8720, 1.0721, 6283.0758}, {309, 0.867, 12566.152}},
}

var earthDistance = [][]periodic{
	{{100013989, 0, 0}, {1670700, 3.0984635, 6283.07585}, {13956, 3.05525, 12566.1517}, {3084, 5.1985, 77713.7715}},
	{{103019, 1.10749, 6283.07585}},
}

// series sums periodic terms times powers of t, Julian millennia from 2000.
func series(powers [][]periodic, t float64) float64 {
	sum := 0.0
	for power, terms := range powers {
		for _, p := range terms {
			sum += p.a * 1e-8 * math.Cos(p.b+p.c*t) * math.Pow(t, float64(power))
		}
	}
	return sum
}

func slowly(d Day, m Minute) Position {
	jd := d.julian(m)
	const deltaT = 66.0 // seconds; 29 in 1950, 69 in 2026: 0.0005 degree at most
	t := (jd + deltaT/86400 - 2451545) / 36525
	distance := series(earthDistance, t/10)
	longitude := degrees(series(earthLongitude, t/10)) + 180 - 0.09033/3600 - 20.4898/3600/distance

	node := radians(125.04452 - 1934.136261*t)
	sun := radians(2 * (280.4665 + 36000.7698*t))
	moon := radians(2 * (218.3165 + 481267.8813*t))
	nutation := (-17.2*math.Sin(node) - 1.32*math.Sin(sun) - 0.23*math.Sin(moon) + 0.21*math.Sin(2*node)) / 3600
	tilt := 23 + 26.0/60 + 21.448/3600 - 46.815/3600*t +
		(9.2*math.Cos(node)+0.57*math.Cos(sun)+0.1*math.Cos(moon)-0.09*math.Cos(2*node))/3600
	longitude += nutation

	// A vector to the sun, turned from ecliptic to equator to horizon, less the
	// earth's radius in the direction of the zenith.
	lambda, eps := radians(longitude), radians(tilt)
	x, y, z := math.Cos(lambda), math.Sin(lambda)*math.Cos(eps), math.Sin(lambda)*math.Sin(eps)
	theta := radians(sidereal(jd) + nutation*math.Cos(eps) + d.Place.LongitudeDeg)
	phi := radians(d.Place.LatitudeDeg)
	south := x*math.Cos(theta) + y*math.Sin(theta) // towards the meridian, in the equator
	east := y*math.Cos(theta) - x*math.Sin(theta)
	up := south*math.Cos(phi) + z*math.Sin(phi) - math.Sin(radians(8.794/3600/distance))
	north := z*math.Cos(phi) - south*math.Sin(phi)
	return Position{
		AzimuthDeg:   turn(degrees(math.Atan2(east, north))),
		ElevationDeg: degrees(math.Atan2(up, math.Hypot(north, east))),
	}
}
