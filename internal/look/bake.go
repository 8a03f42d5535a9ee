package look

import "takeweave/internal/film"

// Sizes of the table, and what it should reach with the smaller one.
const (
	smallBake = 33
	largeBake = 65
	bakeMean  = 0.3 // CIEDE2000
	bakeMax   = 1.5
	bakeCheck = 10_000 // colours
	bakeSeed  = 7
)

// Baked is a look as one table. It takes encoded BT.709 R'G'B' in full range,
// 0..1 (or what Look.Encoding says), and gives encoded BT.709 R'G'B' in full range. Its colours are
// not clamped: a reader clamps what it makes of them to 0..1.
type Baked struct {
	Table film.Table3D `json:"-"`
	Error Difference   `json:"error"` // against the chain itself
}

// Table tabulates the chain with size points a side, without measuring the error:
// for a preview while a hand drags.
func (c *Chain) Table(size int) film.Table3D { return tableOf(size, c.Apply) }

// Bake tabulates the chain with size points a side and measures the error
// tetrahedral interpolation makes on 10 000 colours spread evenly by chance.
func (c *Chain) Bake(size int) Baked {
	b := Baked{Table: c.Table(size)}
	b.Error = compare(Colours(bakeCheck, bakeSeed), c.Apply, func(v RGB) RGB { return tetrahedral(b.Table, v) })
	return b
}

// BakeWell bakes with 33 points, or with 65 where those are off by more than a
// mean of 0.3 or a greatest difference of 1.5. The error says what was reached.
func (c *Chain) BakeWell() Baked {
	if b := c.Bake(smallBake); b.Error.Mean <= bakeMean && b.Error.Max <= bakeMax {
		return b
	}
	return c.Bake(largeBake)
}

// LUT returns the table as a LUT for a file.
func (b Baked) LUT(title string) film.LUT {
	return film.LUT{
		Title: title, Expects: "BT.709 R'G'B', full range", Gives: "BT.709 R'G'B', full range",
		Steps: []film.LUTStep{b.Table},
	}
}
