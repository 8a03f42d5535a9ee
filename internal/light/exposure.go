package light

import (
	"math"

	"takeweave/internal/film"
	"takeweave/internal/optics"
)

// Exposure is how a camera takes a picture. All but NDStops are above 0.
type Exposure struct {
	Stop    float64 `json:"stop"` // the f-number
	Seconds float64 `json:"seconds"`
	ISO     float64 `json:"iso"`
	NDStops float64 `json:"nd_stops,omitempty"` // of a grey filter before the lens, 0 or more
}

// EV returns the exposure value of stop and time, log2(N²/t).
func (e Exposure) EV() float64 { return math.Log2(e.Stop * e.Stop / e.Seconds) }

// EV100 returns the exposure value at ISO 100 of light for which the exposure is
// right, the filter counted.
func (e Exposure) EV100() float64 { return e.EV() - StopsOf(e.ISO/100) + e.NDStops }

// Lux returns how much light on the subject the exposure wants, c being the meter
// constant in lux: C N² / (t S). Source: [ISO2720].
func (e Exposure) Lux(c float64) float64 { return c / 100 * Times(e.EV100()) }

// Luminance returns in cd/m² what comes out as the middle tone, k being the meter
// constant: K N² / (t S). Source: [ISO2720].
func (e Exposure) Luminance(k float64) float64 { return k / 100 * Times(e.EV100()) }

// StopFor returns the f-number at which light of so many lux is right, the rest
// of the exposure unchanged.
func (e Exposure) StopFor(lux, c float64) float64 {
	return e.Stop * math.Sqrt(lux/e.Lux(c))
}

// AgreeingReflectance returns the reflectance of a grey at which a meter for light
// that falls on and one for light given back agree: pi K / C.
func AgreeingReflectance(k, c float64) float64 { return math.Pi * k / c }

// ShutterSeconds returns the time of a shutter of an angle, 360 at most.
func ShutterSeconds(angleDeg float64, rate film.Rate) float64 {
	return angleDeg / 360 * rate.FrameSeconds()
}

// ShutterDeg returns the angle of a shutter of a time.
func ShutterDeg(seconds float64, rate film.Rate) float64 {
	return 360 * seconds * rate.PerSecond()
}

// engravedISO are a decade of the ISO steps that cameras show, thirds of a stop
// apart. Source: common practice.
var engravedISO = []float64{100, 125, 160, 200, 250, 320, 400, 500, 640, 800}

// ISOStep returns the ISO step of a camera nearest to a sensitivity in stops.
func ISOStep(iso float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(iso))-2)
	best := 1000 * decade
	for _, step := range engravedISO {
		if math.Abs(StopsOf(step*decade/iso)) < math.Abs(StopsOf(best/iso)) {
			best = step * decade
		}
	}
	return best
}

// cameraFixes are the ways to take so many stops, or to give them if negative, at
// the camera, the least effort first.
func (e Exposure) cameraFixes(off float64) []Fix {
	iso := ISOStep(e.ISO / Times(off))
	stop := optics.NextStop(e.Stop * math.Sqrt(Times(off)))
	fixes := []Fix{
		{Do: SetISO, Words: "ISO " + plain(iso), Value: iso, Left: off + StopsOf(iso/e.ISO)},
		{Do: SetStop, Words: "f/" + plain(stop), Value: stop, Left: off - optics.Stops(e.Stop, stop)},
	}
	nd := math.Round(off) // filters come in whole stops
	if nd < 0 {
		nd = max(nd, -e.NDStops)
	}
	if nd != 0 {
		fixes = append(fixes, Fix{Do: SetND, Words: ndWords(e.NDStops + nd), Value: e.NDStops + nd, Left: off - nd})
	}
	return better(fixes, off)
}

func ndWords(stops float64) string {
	if stops == 0 {
		return "the grey filter off"
	}
	return "a grey filter of " + stopWord(stops)
}
