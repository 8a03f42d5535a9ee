package look

import (
	"math/rand/v2"

	"takeweave/internal/film"
)

// deadBelow is the mean CIEDE2000 under which a step is called dead: half of what
// an attentive eye sees side by side (see Apart).
const deadBelow = 0.5

// Effect is what a step does to the finished picture: how far it is from the
// picture without that step.
type Effect struct {
	Step Step `json:"step"`
	Difference
	Dead bool `json:"dead"` // it could be left out
}

// Effects measures the steps that are set and on, over a sample of encoded
// colours such as the pixels of some frames. Edge darkening is measured over the
// places of a 16:9 picture. The letterbox is none: see Letterbox.
func (c *Chain) Effects(sample []RGB) []Effect {
	var all []Effect
	add := func(s Step, d Difference) {
		all = append(all, Effect{s, d, d.Mean < deadBelow})
	}
	for i, s := range Order[:baked] {
		if c.steps[i] != nil {
			add(s, compare(sample, c.Apply, c.Without(s).Apply))
		}
	}
	if c.look.On(StepEdge) && c.look.Edge.Stops != 0 {
		add(StepEdge, c.edgeEffect(sample))
	}
	return all
}

// edgeEffect goes through the sample once, each colour at another place.
func (c *Chain) edgeEffect(sample []RGB) Difference {
	places := rand.New(rand.NewPCG(1, 2))
	darken := func(v RGB) RGB {
		v = c.Apply(v)
		factor := c.look.Edge.Factor(places.Float64(), places.Float64(), 16.0/9)
		for i := range v {
			v[i] = clamp01(v[i]) * factor
		}
		return v
	}
	return compare(sample, darken, c.Apply)
}

// OverOrBeside returns how far the look with LUT B over A is from the same look
// with B beside A.
func OverOrBeside(l Look, t Trim, a, b *film.LUT, sample []RGB) (Difference, error) {
	l.Placing = Over
	over, err := NewChain(l, t, a, b)
	if err != nil {
		return Difference{}, err
	}
	l.Placing = Beside
	beside, err := NewChain(l, t, a, b)
	if err != nil {
		return Difference{}, err
	}
	return compare(sample, over.Apply, beside.Apply), nil
}

// Colours returns n colours spread evenly by chance over 0..1, always the same
// for a seed.
func Colours(n int, seed uint64) []RGB {
	chance := rand.New(rand.NewPCG(seed, 0))
	all := make([]RGB, n)
	for i := range all {
		all[i] = RGB{chance.Float64(), chance.Float64(), chance.Float64()}
	}
	return all
}
