package look

// ChartPatches is the number of patches of the colour chart: four rows of six,
// skin tones first, greys last.
const ChartPatches = 24

// Made says when a chart was made: its colours changed in November 2014. The
// back of the chart tells.
type Made string

// The two editions.
const (
	MadeBefore2014 Made = "before-november-2014"
	MadeSince2014  Made = "since-november-2014"
)

// chartLab is the chart's colours in L*a*b* under D50. Source: [Colour], its data
// of colour checkers.
var chartLab = map[Made][ChartPatches]Lab{MadeBefore2014: {
	{37.986, 13.555, 14.059},
	{65.711, 18.130, 17.810},
	{49.927, -4.880, -21.905},
	{43.139, -13.095, 21.905},
	{55.112, 8.844, -25.399},
	{70.719, -33.397, -0.199},
	{62.661, 36.067, 57.096},
	{40.020, 10.410, -45.964},
	{51.124, 48.239, 16.248},
	{30.325, 22.976, -21.587},
	{72.532, -23.709, 57.255},
	{71.941, 19.363, 67.857},
	{28.778, 14.179, -50.297},
	{55.261, -38.342, 31.370},
	{42.101, 53.378, 28.190},
	{81.733, 4.039, 79.819},
	{51.935, 49.986, -14.574},
	{51.038, -28.631, -28.638},
	{96.539, -0.425, 1.186},
	{81.257, -0.638, -0.335},
	{66.766, -0.734, -0.504},
	{50.867, -0.153, -0.270},
	{35.656, -0.421, -1.231},
	{20.461, -0.079, -0.973},
}, MadeSince2014: {
	{37.54, 14.37, 14.92},
	{64.66, 19.27, 17.5},
	{49.32, -3.82, -22.54},
	{43.46, -12.74, 22.72},
	{54.94, 9.61, -24.79},
	{70.48, -32.26, -0.37},
	{62.73, 35.83, 56.5},
	{39.43, 10.75, -45.17},
	{50.57, 48.64, 16.67},
	{30.1, 22.54, -20.87},
	{71.77, -24.13, 58.19},
	{71.51, 18.24, 67.37},
	{28.37, 15.42, -49.8},
	{54.38, -39.72, 32.27},
	{42.43, 51.05, 28.62},
	{81.8, 2.67, 80.41},
	{50.63, 51.28, -14.12},
	{49.57, -29.71, -28.32},
	{95.19, -1.03, 2.93},
	{81.29, -0.57, 0.44},
	{66.89, -0.75, -0.06},
	{50.76, -0.13, 0.14},
	{35.63, -0.46, -0.48},
	{20.64, 0.07, -0.46},
}}

// whiteD50 is the white of the chart's L*a*b*. Source: [Lindbloom].
var whiteD50 = RGB{0.96422, 1, 0.82521}

// Chart returns how the chart's patches look in an encoding when they are exposed
// and balanced by the book; nil for an edition that is not known. One patch, cyan,
// lies beyond BT.709 and has a red below 0.
func Chart(e Encoding, made Made) []RGB {
	colours, known := chartLab[made]
	if !known {
		return nil
	}
	all := make([]RGB, ChartPatches)
	toWhite := Adaptation(whiteD50, e.white().xyz())
	for i, lab := range colours {
		all[i] = e.encode(e.toXYZ().inverse().of(toWhite.of(xyzOf(lab, whiteD50))))
	}
	return all
}

// MatchChart finds the trims from the chart's patches as a setup shows them, in
// the chart's order. Trims cannot mend every colour: After says what is left.
func MatchChart(e Encoding, made Made, seen []RGB) (Match, error) {
	return MatchPatches(e, seen, Chart(e, made))
}

// Point is a place in a picture in shares of its width and height.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// ReadChart returns the mean colours of the chart's patches in a picture. The
// corners are the chart's outer ones: beside the first patch of the first row,
// the last of it, the last of the last row and the first of it. Of each patch
// the middle third is read.
func ReadChart(p *Picture, corners [4]Point) []RGB {
	const rows, columns, samples = 4, 6, 7
	at := func(u, v float64) RGB {
		mix := func(a, b, c, d float64) float64 { return (1-v)*((1-u)*a+u*b) + v*((1-u)*d+u*c) }
		return p.At(mix(corners[0].X, corners[1].X, corners[2].X, corners[3].X),
			mix(corners[0].Y, corners[1].Y, corners[2].Y, corners[3].Y))
	}
	var all []RGB
	for row := range rows {
		for column := range columns {
			var patch []RGB
			for k := range samples * samples {
				x := 1.0/3 + float64(k%samples)/(samples-1)/3
				y := 1.0/3 + float64(k/samples)/(samples-1)/3
				patch = append(patch, at((float64(column)+x)/columns, (float64(row)+y)/rows))
			}
			all = append(all, Mean(patch))
		}
	}
	return all
}
