package checks

// Codes of 8 bits in limited range.
const (
	// Levels from lowest to highest are tolerated: 5 % beyond black and white.
	// Source: [EBUR103].
	lowest, highest = 5, 246
	white           = 235
	// A pixel below is black to the eye: 5 % above nominal black. No measurement
	// set it.
	dark = 27
)

// blackShare of a black frame may be brighter than dark: noise of the codec. No
// measurement set it.
const blackShare = 0.001

// levels are shares of the picture.
type levels struct {
	bright  float64 // above black
	outside float64 // R', G', B' or Y' outside the tolerated range
	white   float64 // R', G' and B' at or above nominal white
}

// Parts of Cb and Cr in R', G' and B' on the scale of Y', in 1/65536.
// Source: ITU-R BT.709, with 219 steps of Y' to 224 of Cb and Cr.
const (
	fixed = 1 << 16
	redCr = 100902 // 1.5748 * 219/224
	grnCb = 12002  // 0.18732427 * 219/224
	grnCr = 29994  // 0.46812427 * 219/224
	bluCb = 118894 // 1.8556 * 219/224
)

// full turns codes of limited range, -256..511, to full range, held at 0 and 255.
var full = func() (table [768]byte) {
	for i := range table {
		table[i] = byte(min(max((float64(i-256)-16)*255/219+0.5, 0), 255))
	}
	return table
}()

// measure returns the levels of a picture and writes it to rgb as full-range
// R'G'B', interleaved.
func measure(f Picture, rgb []byte) levels {
	var bright, outside, flat int
	blue, red := f.Cb[:len(f.Y)], f.Cr[:len(f.Y)]
	for i, luma := range f.Y {
		y, cb, cr := int(luma), int(blue[i])-128, int(red[i])-128
		r := y + (redCr*cr+fixed/2)>>16
		g := y - (grnCb*cb+grnCr*cr+fixed/2)>>16
		b := y + (bluCb*cb+fixed/2)>>16
		out := rgb[3*i : 3*i+3 : 3*i+3]
		out[0], out[1], out[2] = full[r+256], full[g+256], full[b+256]
		if y > dark {
			bright++
		}
		low, high := min(y, r, g, b), max(y, r, g, b)
		if low < lowest || high > highest {
			outside++
		}
		if min(r, g, b) >= white {
			flat++
		}
	}
	n := float64(len(f.Y))
	return levels{float64(bright) / n, float64(outside) / n, float64(flat) / n}
}
