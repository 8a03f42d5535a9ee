package demo

import "math"

// sparkTau is the law of the sparks: dt seconds after its string was plucked a
// spark stands at exp(-dt/sparkTau) of the way from the dark of the inlay's
// band to the light of its pearl, in code values. A pluck starts it anew.
//
// 120 ms: over the first two frames at 25 fps the light falls by at least 0.7
// code values a millisecond, while coding leaves an error of one or two on the
// mean of a core (TestSparksSurviveCoding); and it is down to a tenth before the
// song has the same string plucked again, at the earliest after 0.28 s.
const sparkTau = 0.120

// The two ends of the law as colours.
var (
	inlayDark  = rgb(44, 27, 20)
	inlayLight = rgb(255, 238, 196)
)

// sparkLevel returns the law's value dt seconds after the pluck, 0 before it.
func sparkLevel(dt float64) float64 {
	if dt < 0 {
		return 0
	}
	return math.Exp(-dt / sparkTau)
}

// sparkRadiusPx is the radius of a core at a scale in pixels a metre: at least
// 4.5 pixels of evenly lit disc, so that its middle survives scaling and coding.
func sparkRadiusPx(pxPerMetre float64) float64 { return math.Max(4.5, 0.009*pxPerMetre) }

// lastPlucks knows when each string was last plucked.
type lastPlucks [openStrings][]float64

func newLastPlucks(plucks []pluck) lastPlucks {
	var l lastPlucks
	for _, p := range plucks {
		l[p.string] = append(l[p.string], p.at)
	}
	return l
}

// since returns the seconds since the string's last pluck at time t, or +Inf.
func (l *lastPlucks) since(s int, t float64) float64 {
	i := lastBefore(len(l[s]), func(i int) bool { return l[s][i] > t })
	if i < 0 {
		return math.Inf(1)
	}
	return t - l[s][i]
}

// drawInlay paints pearl, jet and the six sparks: first all that shines beyond
// the cores, then the cores, so that no spark lights another's core.
func drawInlay(c *canvas, p place, plucks *lastPlucks, t float64) {
	places := inlay()
	r := sparkRadiusPx(p.k)
	reach := places[1].sub(places[0]).len()*p.k - r - 1.5
	var level [inlayPlaces]float64
	level[0] = 1
	for s := range openStrings {
		level[s+1] = sparkLevel(plucks.since(s, t))
		q := p.point(places[s+1])
		l := level[s+1]
		if l < 0.02 {
			continue
		}
		glow := math.Min(reach, 3.2*r)
		c.glow(q, r*0.6, glow, rgb(255, 168, 72).fade(0.75*l))
		long := math.Min(reach, 3.6*r) * (0.45 + 0.55*l)
		for k := range 4 {
			sin, cos := math.Sincos(float64(k)*math.Pi/2 + 0.4)
			side := pt{-sin, cos}.mul(0.16 * r)
			end := q.add(pt{cos, sin}.mul(long))
			c.fill(flat(rgb(255, 226, 160).fade(0.75*l)), []pt{q.add(side), end, q.sub(side)})
		}
	}
	for i, q := range places {
		c.fill(flat(inlayDark.mix(inlayLight, level[i])), oval(p.point(q), r, r, 0))
	}
}
