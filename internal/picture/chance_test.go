package picture

import "math"

// chance returns numbers in [0, 1) that are the same in every run.
func chance(seed uint64) func() float64 {
	return func() float64 {
		seed = seed*6364136223846793005 + 1442695040888963407 // Knuth's constants, from memory
		return float64(seed>>40) / (1 << 24)
	}
}

// scene is a made picture: soft spots of all sizes, the more the smaller, so that
// it can be taken from any place and as blurred as one likes, exactly.
type scene []struct{ x, y, sigma, amplitude float64 }

// newScene returns a scene for pictures of width x height and some way beyond.
func newScene(seed uint64, width, height int) scene {
	random := chance(seed)
	s := make(scene, width*height/20)
	for i := range s {
		s[i].x, s[i].y = (1.6*random()-0.3)*float64(width), (1.6*random()-0.3)*float64(height)
		s[i].sigma = 0.8 / math.Sqrt(random()+0.002)
		s[i].amplitude = 90 * (random() - 0.5)
	}
	return s
}

// taken returns the picture with the scene x and y pixels to the right and down,
// blurred by a Gaussian of sigma pixels: it adds to the square of each spot's own.
func (s scene) taken(width, height int, x, y, sigma float64) []float64 {
	out := make([]float64, width*height)
	for i := range out {
		out[i] = 128
	}
	line := make([]float64, width)
	for _, g := range s {
		wide := math.Sqrt(g.sigma*g.sigma + sigma*sigma)
		a, cx, cy := g.amplitude*square(g.sigma/wide), g.x+x, g.y+y
		left, right := max(0, int(cx-4*wide)), min(width, int(cx+4*wide)+1)
		for c := left; c < right; c++ {
			line[c] = math.Exp(-square((float64(c)-cx)/wide) / 2)
		}
		for r := max(0, int(cy-4*wide)); r < min(height, int(cy+4*wide)+1); r++ {
			down := a * math.Exp(-square((float64(r)-cy)/wide)/2)
			for c := left; c < right; c++ {
				out[r*width+c] += down * line[c]
			}
		}
	}
	return out
}

// grey rounds a picture to bytes, with noise of sd levels.
func grey(picture []float64, sd float64, random func() float64) []byte {
	out := make([]byte, len(picture))
	for i, v := range picture {
		if sd > 0 {
			// Four uniform numbers are near enough to a bell; their variance is a third.
			v += sd * math.Sqrt(3) * (random() + random() + random() + random() - 2)
		}
		out[i] = byte(math.Round(min(255, max(0, v))))
	}
	return out
}
