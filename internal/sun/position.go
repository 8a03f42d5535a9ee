package sun

import "math"

// Position is where the sun's middle stands in the sky.
type Position struct {
	AzimuthDeg   float64 `json:"azimuth"`   // bearing from true north, clockwise, 0 to 360
	ElevationDeg float64 `json:"elevation"` // above a level horizon, without air
	ApparentDeg  float64 `json:"apparent"`  // the same as seen through air
}

// At returns where the sun stands at a minute of the day.
//
// Source: [Meeus1998], formulas 12.4, 13.5 and 13.6.
// Checked: the worked example of [SPA2004], tables of [SPA2004]'s authors.
func (d Day) At(m Minute) Position {
	jd := d.julian(m)
	decl, hour := d.seen(jd)
	sinLat, cosLat := sincos(d.Place.LatitudeDeg)
	sinDecl, cosDecl := sincos(decl)
	sinHour, cosHour := sincos(hour)
	up := sinLat*sinDecl + cosLat*cosDecl*cosHour
	north := cosLat*sinDecl - sinLat*cosDecl*cosHour
	east := -cosDecl * sinHour
	elevation := degrees(math.Atan2(up, math.Hypot(north, east)))
	return Position{
		AzimuthDeg:   turn(degrees(math.Atan2(east, north))),
		ElevationDeg: elevation,
		ApparentDeg:  elevation + refraction(elevation),
	}
}

// seen returns the sun's declination and its local hour angle, within 180
// degrees of noon, west positive.
func (d Day) seen(jd float64) (decl, hour float64) {
	ascension, decl := equatorial(jd)
	return decl, math.Remainder(sidereal(jd)+d.Place.LongitudeDeg-ascension, 360)
}

// equatorial returns the sun's apparent right ascension and declination.
// Source: [Meeus1998], chapter 25, low accuracy. Checked: its example 25.a.
func equatorial(jd float64) (ascension, decl float64) {
	t := (jd - 2451545) / 36525
	mean := 280.46646 + t*(36000.76983+t*0.0003032)
	anomaly := 357.52911 + t*(35999.05029-t*0.0001537)
	sin1, _ := sincos(anomaly)
	sin2, _ := sincos(2 * anomaly)
	sin3, _ := sincos(3 * anomaly)
	centre := (1.914602-t*(0.004817+t*0.000014))*sin1 + (0.019993-t*0.000101)*sin2 + 0.000289*sin3
	node := 125.04 - 1934.136*t
	sinNode, cosNode := sincos(node)
	sinLon, cosLon := sincos(mean + centre - 0.00569 - 0.00478*sinNode)
	tilt := 23.4392911 - t*(0.0130042+t*(1.64e-7-t*5.04e-7)) + 0.00256*cosNode
	sinTilt, cosTilt := sincos(tilt)
	return degrees(math.Atan2(cosTilt*sinLon, cosLon)), degrees(math.Asin(sinTilt * sinLon))
}

// sidereal returns the mean sidereal time at Greenwich in degrees.
// Source: [Meeus1998], formula 12.4.
func sidereal(jd float64) float64 {
	days := jd - 2451545
	t := days / 36525
	return turn(280.46061837 + 360.98564736629*days + t*t*(0.000387933-t/38710000))
}

// refraction returns by how much air lifts what stands at an elevation, in
// degrees, at 1010 hPa and 10 degrees C; nothing for what is below the horizon.
// Source: [Meeus1998], formula 16.4 (Saemundsson).
func refraction(elevation float64) float64 {
	if elevation < RiseDeg {
		return 0
	}
	return 1.02 / 60 / math.Tan(radians(elevation+10.3/(elevation+5.11)))
}

func radians(deg float64) float64 { return deg * math.Pi / 180 }
func degrees(rad float64) float64 { return rad * 180 / math.Pi }

func sincos(deg float64) (sin, cos float64) { return math.Sincos(radians(deg)) }

// turn brings an angle into 0 up to 360.
func turn(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	return deg
}
