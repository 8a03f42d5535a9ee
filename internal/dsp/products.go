package dsp

// Dot returns the inner product of two rows of equal length.
func Dot(a, b []float32) float32 { return dot(a, b) }

// Columns is a series turned around: value d of row i lies at d*Rows+i.
type Columns struct {
	Rows, Dim int
	Data      []float32
}

// Columns returns the series turned around.
func (s *Series) Columns() *Columns {
	c := &Columns{s.Rows(), s.Dim, make([]float32, len(s.Data))}
	s.turnRows(c.Data, 0, c.Rows, c.Rows)
	return c
}

// Products writes the inner products of row, of Dim values, with the rows
// 0..len(dst)-1 to dst.
func (c *Columns) Products(dst, row []float32) {
	clear(dst)
	combine(dst, c.Data, row[:c.Dim], c.Rows)
}

// LagProducts returns the inner product of every row i of a with row i+l of b at
// l*a.Rows()+i, for l below lags. b has at least lags-1 rows more than a.
func LagProducts(a, b *Series, lags int) []float32 {
	const block = 8 * lanes // rows; so many stay in the nearest cache for all lags
	n, wide := a.Rows(), block+lags-1
	out := make([]float32, n*lags)
	ofA, ofB := make([]float32, a.Dim*block), make([]float32, a.Dim*wide)
	for from := 0; from < n; from += block {
		rows := min(block, n-from)
		a.turnRows(ofA, from, rows, block)
		b.turnRows(ofB, from, rows+lags-1, wide)
		for l := range lags {
			pairUp(out[l*n+from:][:rows], ofA, ofB[l:], a.Dim, block, wide)
		}
	}
	return out
}

// turnRows writes value d of row from+i to dst[d*width+i], i below rows.
func (s *Series) turnRows(dst []float32, from, rows, width int) {
	for i := range rows {
		for d, v := range s.Row(from + i) {
			dst[d*width+i] = v
		}
	}
}

// SumAt writes the sum over t of x[at[t]+k] to each dst[k].
func SumAt(dst, x []float32, at []int) {
	clear(dst)
	addUp(dst, x, at)
}
