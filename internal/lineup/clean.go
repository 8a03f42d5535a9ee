package lineup

import "takeweave/internal/dsp"

// loudest is the largest sample taken for sound: 60 dB over full scale, more
// than any file of floating-point samples means.
const loudest = 1000.0

// clean is a source whose samples are all finite: what is no number, infinite or
// beyond loudest, as damaged files hold, is silence.
type clean struct{ dsp.Source }

func (c clean) Read(dst []float32, from int) error {
	if err := c.Source.Read(dst, from); err != nil {
		return err
	}
	for i, v := range dst {
		if !(v > -loudest && v < loudest) { // no number is neither
			dst[i] = 0
		}
	}
	return nil
}
