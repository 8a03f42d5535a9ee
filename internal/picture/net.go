package picture

import (
	"fmt"

	"takeweave/internal/dsp"
)

// image is rows of pixels of depth values each, from the top left.
type image struct {
	width, height, depth int
	data                 []float32
}

func newImage(width, height, depth int) image {
	return image{width, height, depth, make([]float32, width*height*depth)}
}

// at returns the values of a pixel.
func (m image) at(x, y int) []float32 {
	i := (y*m.width + x) * m.depth
	return m.data[i : i+m.depth]
}

// layer is one step of the net: what surrounds a pixel, mixed into depth values.
type layer struct {
	filter []float32    // depthwise 3x3, value (3·row+column)·inputs + input; nil: none
	mix    *dsp.Columns // of inputs values, or of all 9·inputs of a window
	bias   []float32
}

// net finds faces: a full 3x3 layer, five of a 3x3 filter per value and a mix,
// each halved but the last, and a mix into boxes.
//
// Source: [TinyFace], a small relative of [Redmon2017].
type net struct {
	first  layer
	middle [5]layer
	last   layer
}

func newNet() (*net, error) {
	arrays, err := weights(weightManifest, weightBytes)
	if err != nil {
		return nil, err
	}
	mixed := func(name, filter string) layer {
		bias, values := arrays[name+"/bias"], arrays[name+"/"+filter]
		return layer{
			filter: arrays[name+"/depthwise_filter"], bias: bias,
			mix: &dsp.Columns{Rows: len(bias), Dim: len(values) / max(1, len(bias)), Data: values},
		}
	}
	n := &net{first: mixed("conv0", "filters"), last: mixed("conv8", "filters")}
	for i := range n.middle {
		n.middle[i] = mixed(fmt.Sprintf("conv%d", i+1), "pointwise_filter")
	}
	return n, nil
}

// run returns the net's answer to a picture of whole cells: a pixel of 5 values
// for every anchor, for each cell.
func (n *net) run(in image) image {
	out := n.first.windows(in)
	out.leak()
	out = out.halved()
	for i, l := range n.middle {
		out = l.mixed(l.filtered(out))
		out.leak()
		if i < len(n.middle)-1 {
			out = out.halved()
		} else {
			out = out.spread()
		}
	}
	return n.last.mixed(out)
}

// windows mixes every 3x3 window that lies wholly inside the picture.
func (l layer) windows(in image) image {
	out := newImage(in.width-2, in.height-2, l.mix.Rows)
	row := 3 * in.depth
	window := make([]float32, 3*row)
	for y := range out.height {
		for x := range out.width {
			for k := range 3 {
				from := ((y+k)*in.width + x) * in.depth
				copy(window[k*row:], in.data[from:from+row])
			}
			l.mixInto(out.at(x, y), window)
		}
	}
	return out
}

// filtered sums, for each value on its own, the 3x3 pixels around every pixel;
// outside the picture lie zeros.
func (l layer) filtered(in image) image {
	out := newImage(in.width, in.height, in.depth)
	for y := range in.height {
		for x := range in.width {
			sum := out.at(x, y)
			for row := max(0, y-1); row <= min(in.height-1, y+1); row++ {
				for column := max(0, x-1); column <= min(in.width-1, x+1); column++ {
					k := (3*(row-y+1) + column - x + 1) * in.depth
					w, values := l.filter[k:k+in.depth], in.at(column, row)
					for d, v := range values {
						sum[d] += w[d] * v
					}
				}
			}
		}
	}
	return out
}

// mixed mixes the values of every pixel.
func (l layer) mixed(in image) image {
	out := newImage(in.width, in.height, l.mix.Rows)
	for y := range in.height {
		for x := range in.width {
			l.mixInto(out.at(x, y), in.at(x, y))
		}
	}
	return out
}

func (l layer) mixInto(out, values []float32) {
	l.mix.Products(out, values)
	for i, b := range l.bias {
		out[i] += b
	}
}

// leak takes negative values to a tenth.
func (m image) leak() {
	for i, v := range m.data {
		m.data[i] = max(v, 0.1*v)
	}
}

// halved keeps the largest of every 2x2 pixels; a last odd row or column stands
// for its pair.
func (m image) halved() image { return m.largest(2) }

// spread keeps the largest of every pixel and its neighbours to the right and
// below.
func (m image) spread() image { return m.largest(1) }

func (m image) largest(step int) image {
	out := newImage((m.width+step-1)/step, (m.height+step-1)/step, m.depth)
	for y := range out.height {
		for x := range out.width {
			most := out.at(x, y)
			left, top := x*step, y*step
			right, below := min(left+1, m.width-1), min(top+1, m.height-1)
			a, b, c, d := m.at(left, top), m.at(right, top), m.at(left, below), m.at(right, below)
			for i := range most {
				most[i] = max(a[i], b[i], c[i], d[i])
			}
		}
	}
	return out
}
