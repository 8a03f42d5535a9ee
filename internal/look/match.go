package look

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Match is the trim that brings a setup to what was wanted, and how far the
// colours compared were apart before and after, in CIEDE2000.
type Match struct {
	Trim   Trim       `json:"trim"`
	Before Difference `json:"before"`
	After  Difference `json:"after"`
	// Warning says in words why the trim is doubtful; "" when it is not.
	Warning string `json:"warning,omitempty"`
}

// Grey18 is how a grey card of 18 % looks in BT.709 when it is exposed and
// balanced by the book.
var Grey18 = RGB{BT709.Encode(0.18), BT709.Encode(0.18), BT709.Encode(0.18)}

// MatchGrey finds exposure, temperature and tint from one patch: seen is its mean
// colour in the setup, wanted what it should be: [Grey18] for a grey card, or what
// the same card, or the same face in the same light, is in another setup.
func MatchGrey(e Encoding, seen, wanted RGB) (Match, error) {
	return match(e, []RGB{seen}, []RGB{wanted}, Trim{}, false)
}

// MatchPatches finds all four trims from pairs of colours, such as the patches of
// a chart in two setups. At least four, not all grey, are needed.
func MatchPatches(e Encoding, seen, wanted []RGB) (Match, error) {
	if len(seen) < 4 {
		return Match{}, usage(fmt.Sprintf("%d patches do not tell saturation", len(seen)), "give at least 4, or match by a grey card")
	}
	return match(e, seen, wanted, Trim{}, true)
}

// MatchMoment finds the trims from the pixels of two pictures of the same moment
// of the song, taken at regular places. It compares the mean colours of ten bands
// of brightness and the mean strength of the colours, so both setups must show
// much the same things. Where they do not, it says so and leaves saturation.
func MatchMoment(e Encoding, seen, wanted []RGB) (Match, error) {
	if len(seen) < leastPixels || len(wanted) < leastPixels {
		return Match{}, usage("there are too few pixels to compare", "give at least 100 of each picture")
	}
	a, b := bands(e, seen), bands(e, wanted)
	m, err := match(e, a, b, Trim{}, false)
	if err != nil {
		return m, err
	}
	if m.After.Mean > doubtfulMoment {
		m.Warning = fmt.Sprintf("the two pictures do not show the same things: after the trim they are still %.1f apart; "+
			"the balance may serve, the exposure may not", m.After.Mean)
		return m, nil
	}
	trim := trimmer(m.Trim, e)
	trimmed := make([]RGB, len(seen))
	for i, c := range seen {
		trimmed[i] = trim(c)
	}
	if s := strength(trimmed); s > 0 {
		m.Trim.Saturation = bounded(strength(wanted)/s-1, mostMomentSaturation)
	}
	return match(e, a, b, m.Trim, false)
}

const (
	leastPixels          = 100
	mostMomentSaturation = 0.4 // what differs more is not the same things
	bandsOfMoment        = 10
	endsOfMoment         = 0.05 // left out at both ends of brightness, where pictures clip

	// Set between open clips of the same scene a second apart, at most 1.8 after the
	// trim, and other clips or closer crops of it, 6.2 and more.
	doubtfulMoment = 4
)

// bands returns the mean colours of ten bands of pixels ordered by luminance. The
// means are taken in linear light, on which exposure and balance work.
func bands(e Encoding, pixels []RGB) []RGB {
	light := make([]RGB, len(pixels))
	for i, c := range pixels {
		light[i] = e.decode(c)
	}
	slices.SortStableFunc(light, func(a, b RGB) int { return cmp.Compare(Luma(a), Luma(b)) })
	ends := int(endsOfMoment * float64(len(light)))
	light = light[ends : len(light)-ends]
	means := make([]RGB, bandsOfMoment)
	for k := range means {
		part := light[k*len(light)/bandsOfMoment : (k+1)*len(light)/bandsOfMoment]
		means[k] = e.encode(Mean(part))
	}
	return means
}

// Mean returns the mean of colours.
func Mean(all []RGB) RGB {
	var sum RGB
	for _, c := range all {
		for i, v := range c {
			sum[i] += v / float64(len(all))
		}
	}
	return sum
}

// strength is the mean distance of colours from the grey of their luma.
func strength(all []RGB) float64 {
	sum := 0.0
	for _, c := range all {
		y := Luma(c)
		sum += math.Abs(c[0]-y) + math.Abs(c[1]-y) + math.Abs(c[2]-y)
	}
	return sum / float64(len(all))
}

// match searches the trim, from the given one on, with the least mean square of
// CIEDE2000 by the method of Nelder and Mead [NelderMead1965]; saturation only
// when it is free.
func match(e Encoding, seen, wanted []RGB, from Trim, saturationToo bool) (Match, error) {
	if err := e.known(); err != nil {
		return Match{}, err
	}
	if len(seen) != len(wanted) {
		return Match{}, usage(fmt.Sprintf("%d colours cannot be matched to %d", len(seen), len(wanted)), "give as many")
	}
	goal := make([]Lab, len(wanted))
	for i, c := range wanted {
		goal[i] = Shown(e.toBT709(c))
	}
	// In units in which a step is about as visible for each.
	read := func(x []float64) Trim {
		t := Trim{
			ExposureStops:    bounded(x[0], mostStops),
			TemperatureMired: bounded(100*x[1], mostShiftMired),
			Tint:             bounded(20*x[2], mostTint),
			Saturation:       from.Saturation,
		}
		if saturationToo {
			t.Saturation = bounded(x[3], 1)
		}
		return t
	}
	cost := func(x []float64) float64 {
		f, sum := trimmer(read(x), e), 0.0
		for i, c := range seen {
			d := CIEDE2000(Shown(e.toBT709(f(c))), goal[i])
			sum += d * d
		}
		return sum
	}
	x := []float64{from.ExposureStops, from.TemperatureMired / 100, from.Tint / 20}
	if saturationToo {
		x = append(x, from.Saturation)
	}
	// A second start from the end of the first gets a stuck simplex moving again.
	x = minimise(cost, x, 0.5, 150)
	x = minimise(cost, x, 0.1, 150)
	t := read(x)
	// No more digits than a hand would set.
	t.ExposureStops = math.Round(t.ExposureStops*1000) / 1000
	t.TemperatureMired = math.Round(t.TemperatureMired*10) / 10
	t.Tint = math.Round(t.Tint*10) / 10
	t.Saturation = math.Round(t.Saturation*1000) / 1000
	return Match{Trim: t, Before: pairs(e, seen, wanted, Trim{}), After: pairs(e, seen, wanted, t)}, nil
}

func bounded(v, most float64) float64 { return math.Max(-most, math.Min(most, v)) }

// pairs sums up how far the first, trimmed, are from the second.
func pairs(e Encoding, a, b []RGB, t Trim) Difference {
	d, f := Difference{Colours: len(a)}, trimmer(t, e)
	for i, c := range a {
		apart := Apart(e.toBT709(f(c)), e.toBT709(b[i]))
		d.Mean += apart / float64(len(a))
		d.Max = math.Max(d.Max, apart)
	}
	return d
}
