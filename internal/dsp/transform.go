package dsp

// transform is a complex Fourier transform of one length, of a power of two
// values, of one sequence or of lanes sequences side by side.
type transform struct {
	re, im   []float32 // what to transform
	re2, im2 []float32
	stages   []stage
}

// stage is one pass over all values. Every stage reads a and writes b.
type stage struct {
	radix  int // 4, 2, or 0: turn
	m, s   int // butterflies, each on s neighbours
	w      []float32
	wr, wi []float32
}

func newWork(size int, stages []stage) transform {
	part := func() []float32 { return make([]float32, size) }
	return transform{part(), part(), part(), part(), stages}
}

// newTransform is for one sequence of n values. A long one is taken as a table
// n/lanes x lanes, of which first the columns and then the rows are transformed,
// so that in every stage lanes neighbours are treated alike.
//
// Source: the four-step scheme, [Bailey1990].
func newTransform(n int) transform {
	rows := n / lanes
	if rows < lanes {
		return newWork(n, stagesOf(n, 1))
	}
	t := stage{m: rows, wr: make([]float32, n), wi: make([]float32, n)}
	for i := range n {
		t.wr[i], t.wi[i] = root(i/lanes*(i%lanes), n)
	}
	stages := append(stagesOf(rows, lanes), t)
	return newWork(n, append(stages, stagesOf(lanes, rows)...))
}

// newLanesTransform is for lanes sequences of n values.
func newLanesTransform(n int) transform {
	return newWork(n*lanes, stagesOf(n, lanes))
}

// stagesOf returns the stages of a transform of n values with s sequences side
// by side.
func stagesOf(n, s int) []stage {
	var out []stage
	for n > 1 {
		if n%4 != 0 { // 2: the last stage
			return append(out, stage{radix: 2, m: 1, s: s})
		}
		m := n / 4
		w := make([]float32, 6*m)
		for p := range m {
			for power := range 3 {
				w[6*p+2*power], w[6*p+2*power+1] = root(p*(power+1), n)
			}
		}
		out = append(out, stage{radix: 4, m: m, s: s, w: w})
		n, s = m, 4*s
	}
	return out
}

// run transforms what lies in re and im, spoils it, and returns where the result
// lies.
func (t *transform) run() (re, im []float32) {
	xr, xi, yr, yi := t.re, t.im, t.re2, t.im2
	for i := range t.stages {
		switch st := &t.stages[i]; st.radix {
		case 4:
			radix4(xr, xi, yr, yi, st.w, st.m, st.s)
		case 2:
			radix2(xr, xi, yr, yi, st.s)
		default:
			turn(xr, xi, yr, yi, st.wr, st.wi, st.m)
		}
		xr, xi, yr, yi = yr, yi, xr, xi
	}
	return xr, xi
}
