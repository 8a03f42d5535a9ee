package dsp

// batch finds the power spectra of lanes frames of one length at a time. One
// goroutine at a time.
type batch struct {
	at     [lanes]int // where the frames begin
	window []float32
	z      transform
	c, s   []float32
	power  []float32 // bin k of frame l at k*lanes+l
}

// newBatch prepares for frames as long as the window, a power of two from 8 up.
func newBatch(window []float32) *batch {
	n := len(window)
	b := &batch{window: window, z: newLanesTransform(n / 2), power: make([]float32, (n/2+1)*lanes)}
	b.c, b.s = halfTurn(n)
	return b
}

// run takes the frames from x.
func (b *batch) run(x []float32) {
	h := len(b.window) / 2
	gather(b.z.re, b.z.im, x, b.window, &b.at)
	zr, zi := b.z.run()
	for l := range lanes {
		low, high := zr[l]+zi[l], zr[l]-zi[l]
		b.power[l], b.power[h*lanes+l] = low*low, high*high
	}
	power(b.power, zr, zi, b.c, b.s, h)
}
