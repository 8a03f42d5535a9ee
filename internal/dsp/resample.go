package dsp

import "math"

const (
	sincReach  = 8   // samples to both sides
	sincPhases = 512 // places between two samples
)

// Resampled returns n samples read from src, sample i from place at+i*step, which
// may lie between its samples and outside it. Up to 0.7 of the highest frequency
// it errs by less than a thousandth. step is near 1: nothing guards against
// aliasing.
//
// Source: the windowed sinc, [OppenheimSchafer2010] chapter 4.
func Resampled(src Source, at, step float64, n int) ([]float32, error) {
	table := sincTable()
	first := int(math.Floor(at)) - sincReach
	in := make([]float32, int(math.Ceil(float64(n)*step))+2*sincReach+2)
	if err := src.Read(in, first); err != nil {
		return nil, err
	}
	out := make([]float32, n)
	for i := range out {
		place := at - float64(first) + float64(i)*step
		k := int(place)
		phase := int((place-float64(k))*sincPhases + 0.5)
		out[i] = Dot(table[phase][:], in[k-sincReach+1:k+sincReach+1])
	}
	return out, nil
}

// sincTable returns the weights of the samples around, per place between.
func sincTable() *[sincPhases + 1][2 * sincReach]float32 {
	var table [sincPhases + 1][2 * sincReach]float32
	for p := range table {
		for k := range table[p] {
			d := float64(k-sincReach+1) - float64(p)/sincPhases
			v := 1.0
			if d != 0 {
				v = math.Sin(math.Pi*d) / (math.Pi * d)
			}
			table[p][k] = float32(v * (0.5 + 0.5*math.Cos(math.Pi*d/sincReach)))
		}
	}
	return &table
}
