package dsp

// reader holds a stretch of a source, of which it keeps every n-th sample.
// Places count kept samples.
type reader struct {
	src        Source
	block      []float32 // [start, end)
	start, end int
	low        *lowering // nil: every sample is kept
	raw        []float32
}

// newReader prepares for stretches of length kept samples.
func newReader(src Source, every, length int) *reader {
	r := &reader{src: src, block: make([]float32, length)}
	if every > 1 {
		r.low = newLowering(every)
		r.raw = make([]float32, every*length+2*r.low.side)
	}
	return r
}

// hold makes sure that [from, to) is there, or as much of it as fits, from from
// on.
func (r *reader) hold(from, to int) error {
	if r.start <= from && to <= r.end {
		return nil
	}
	r.start, r.end = from, from+len(r.block)
	if r.low == nil {
		return r.src.Read(r.block, from)
	}
	if err := r.src.Read(r.raw, from*r.low.every-r.low.side); err != nil {
		return err
	}
	r.low.lower(r.block, r.raw)
	return nil
}
