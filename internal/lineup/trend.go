package lineup

import "math"

// trend is how lags grow with time, at0 + slope*t, with what it may be off by.
type trend struct {
	at0, slope float64
	errs       trendError
}

// trendError says how sure a line is: the standard error of its slope and, at
// any time, of its place.
type trendError struct {
	slope  float64 // of the slope, seconds a second
	middle float64 // of the place at the time mid, seconds
	mid    float64
}

// leastTrendError is the least standard error stated for the place of a line, in
// seconds: a tenth of a sample, what the parabola through a sampled peak
// may be off by.
const leastTrendError = 0.000005

// at returns the standard error of the place at time t, in seconds.
func (e trendError) at(t float64) float64 {
	return math.Hypot(e.middle, e.slope*(t-e.mid))
}

// worst returns the largest standard error within [from, to], in seconds.
func (e trendError) worst(from, to float64) float64 {
	return math.Max(e.at(from), e.at(to))
}

// trendOf fits a line by least squares to windows hop seconds apart. Windows
// that overlap err alike, so they count as fewer. It needs three windows over
// more than a second.
//
// Source: standard errors of a straight line, [DraperSmith1998] chapter 1.
func trendOf(points []heardAt, hop float64) (trend, bool) {
	n := float64(len(points))
	var mt, ml float64
	for _, p := range points {
		mt, ml = mt+p.t/n, ml+p.lag/n
	}
	var stt, stl float64
	for _, p := range points {
		stt += (p.t - mt) * (p.t - mt)
		stl += (p.t - mt) * (p.lag - ml)
	}
	if n < 3 || stt < 1 {
		return trend{}, false
	}
	slope := stl / stt
	var rest float64
	for _, p := range points {
		r := p.lag - ml - slope*(p.t-mt)
		rest += r * r
	}
	alike := windowsAlike(hop)
	variance := alike * rest / math.Max(n-2*alike, 1)
	return trend{ml - slope*mt, slope, trendError{
		slope:  math.Hypot(math.Sqrt(variance/stt), leastTrendError/math.Sqrt(stt/n)),
		middle: math.Hypot(math.Sqrt(variance/n), leastTrendError),
		mid:    mt,
	}}, true
}

// windowsAlike returns how many windows, hop seconds apart, tell as much as one
// that shares no sound with others: one and twice the correlations of the error
// of one with those of the windows after it. Noise enters by the square of the
// Hann window.
func windowsAlike(hop float64) float64 {
	const steps = 400
	square := func(x float64) float64 { // of the window that begins at 0
		if x <= 0 || x >= windowSeconds {
			return 0
		}
		s := math.Sin(math.Pi * x / windowSeconds)
		return s * s * s * s
	}
	product := func(apart float64) (sum float64) {
		for i := range steps {
			x := windowSeconds * float64(i) / steps
			sum += square(x) * square(x-apart)
		}
		return sum
	}
	alike := 1.0
	for k := 1; float64(k)*hop < windowSeconds; k++ {
		alike += 2 * product(float64(k)*hop) / product(0)
	}
	return alike
}
