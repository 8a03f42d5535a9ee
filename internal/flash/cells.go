package flash

import "math"

// The supposed display. Source: common practice for BT.1702, whose 20 and
// 160 cd/m² are a tenth and eight tenths of its peak as in [WCAG22].
const (
	peakNits = 200.0
	gamma    = 2.4 // ITU-R BT.1886
)

// Weights of red, green and blue light in luminance. Source: ITU-R BT.709.
var weights = [3]float64{0.2126, 0.7152, 0.0722}

// Tables from 8 bit codes, full range.
var (
	nits   [3][256]float32 // of each colour's share, cd/m²
	linear [256]float32    // 0..1 by the sRGB curve, as WCAG wants it
)

func init() {
	for code := range 256 {
		v := float64(code) / 255
		for c, w := range weights {
			nits[c][code] = float32(w * peakNits * math.Pow(v, gamma))
		}
		if v <= 0.04045 {
			linear[code] = float32(v / 12.92)
		} else {
			linear[code] = float32(math.Pow((v+0.055)/1.055, 2.4))
		}
	}
}

// columns is about how many cells the picture has across: at 10 degrees to a
// third of the width a cell is 0.75 degrees. In smaller ones a striped shirt that
// sways flashes.
const columns = 40

// light is what a cell shows.
type light struct {
	nits     float32 // mean luminance, cd/m²
	relative float32 // mean relative luminance, 0..1
	redness  float32 // (R-G-B)·320 of the mean linear light, at least 0
	red      bool    // saturated: R/(R+G+B) of at least 0.8
}

// grid averages pictures to cells. Pixels right and below of the last whole cell
// are left out.
type grid struct {
	width, side, cols, rows int
}

func newGrid(width, height int) grid {
	side := max(1, int(math.Round(float64(width)/columns)))
	return grid{width, side, width / side, height / side}
}

// read writes what the cells of an RGB picture show to dst.
func (g grid) read(dst []light, rgb []byte) {
	scale := 1 / float32(g.side*g.side)
	for row := range g.rows {
		for col := range g.cols {
			var n, r, gr, b float32
			for y := row * g.side; y < (row+1)*g.side; y++ {
				at := 3 * (y*g.width + col*g.side)
				for line := rgb[at : at+3*g.side]; len(line) >= 3; line = line[3:] {
					n += nits[0][line[0]] + nits[1][line[1]] + nits[2][line[2]]
					r += linear[line[0]]
					gr += linear[line[1]]
					b += linear[line[2]]
				}
			}
			dst[row*g.cols+col] = light{
				nits:     n * scale,
				relative: (float32(weights[0])*r + float32(weights[1])*gr + float32(weights[2])*b) * scale,
				redness:  max(0, (r-gr-b)*scale) * 320,
				red:      r > 0 && r >= saturated*(r+gr+b),
			}
		}
	}
}

// saturated is the share of red from which it counts as saturated. Source:
// [WCAG22].
const saturated = 0.8
