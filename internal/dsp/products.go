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
	for i := range c.Rows {
		for d, v := range s.Row(i) {
			c.Data[d*c.Rows+i] = v
		}
	}
	return c
}

// Products writes the inner products of row, of Dim values, with the rows
// 0..len(dst)-1 to dst.
func (c *Columns) Products(dst, row []float32) {
	clear(dst)
	combine(dst, c.Data, row[:c.Dim], c.Rows)
}

// ProductsAtLag writes the inner product of every row i with row i+lag of other
// to dst[i], i below len(dst). lag is at least 0; all those rows must be there.
func (c *Columns) ProductsAtLag(dst []float32, other *Columns, lag int) {
	clear(dst)
	pairUp(dst, c.Data, other.Data[lag:], c.Dim, c.Rows, other.Rows)
}

// SumAt writes the sum over t of x[at[t]+k] to each dst[k].
func SumAt(dst, x []float32, at []int) {
	clear(dst)
	addUp(dst, x, at)
}
