package picture

// energies measures how much fine detail a picture has, and how much there is
// that a small blur does not take.
//
// Fine is the energy of the Laplacian after a small blur (binomial, sigma 0.7
// pixels); coarse that of the slopes of the picture reduced to a quarter. Their
// ratio falls with blur, but not with contrast or with how much of the cell is
// textured.
//
// Source: the Laplacian's energy as a measure of focus, [Pertuz2013]; the ratio
// is our own.
type energies struct {
	width, height int
	smooth        []int32 // 16 times the blurred picture
	small         []int32 // 16 times the reduced picture
}

// reduction is how many pixels each way make one of the reduced picture.
const reduction = 4

func newEnergies(width, height int) *energies {
	return &energies{width, height, make([]int32, width*height), make([]int32, width/reduction*(height/reduction))}
}

// measure fills in the energies per pixel of every cell.
func (e *energies) measure(now *moment, pix []byte) {
	e.blur(pix)
	w, h := e.width, e.height
	var counts [cells]float32
	for y := 2; y < h-2; y++ {
		first := row(y, h) * columns
		up, here, down := e.smooth[(y-1)*w:y*w], e.smooth[y*w:(y+1)*w], e.smooth[(y+1)*w:(y+2)*w]
		for c := range columns {
			from, to := max(2, ceilDiv(c*w, columns)), min(w-2, ceilDiv((c+1)*w, columns))
			sum := int64(0)
			for x := from; x < to; x++ {
				d := int64(4*here[x] - here[x-1] - here[x+1] - up[x] - down[x])
				sum += d * d
			}
			now.fine[first+c] += float32(sum) / 256
			counts[first+c] += float32(to - from)
		}
	}
	for i := range counts {
		now.fine[i] /= counts[i]
	}
	e.reduce(pix)
	e.slopes(now)
}

// blur writes 16 times the binomially blurred picture; its outermost pixels stay
// 0.
func (e *energies) blur(pix []byte) {
	w := e.width
	for y := 1; y < e.height-1; y++ {
		up, here, down := pix[(y-1)*w:y*w], pix[y*w:(y+1)*w], pix[(y+1)*w:(y+2)*w]
		out := e.smooth[y*w : (y+1)*w]
		left := int32(up[0]) + 2*int32(here[0]) + int32(down[0])
		middle := int32(up[1]) + 2*int32(here[1]) + int32(down[1])
		for x := 1; x < w-1; x++ {
			right := int32(up[x+1]) + 2*int32(here[x+1]) + int32(down[x+1])
			out[x] = left + 2*middle + right
			left, middle = middle, right
		}
	}
}

// reduce writes the sums of 4x4 pixels.
func (e *energies) reduce(pix []byte) {
	w, h := e.width/reduction, e.height/reduction
	for y := range h {
		out := e.small[y*w : (y+1)*w]
		clear(out)
		for k := range reduction {
			in := pix[(y*reduction+k)*e.width:]
			for x := range out {
				p := in[x*reduction : x*reduction+reduction]
				out[x] += int32(p[0]) + int32(p[1]) + int32(p[2]) + int32(p[3])
			}
		}
	}
}

// slopes fills in the coarse energies from the reduced picture.
func (e *energies) slopes(now *moment) {
	w, h := e.width/reduction, e.height/reduction
	var counts [cells]float32
	for y := 1; y < h-1; y++ {
		for x := 1; x < w-1; x++ {
			i := y*w + x
			across, down := float32(e.small[i+1]-e.small[i-1])/32, float32(e.small[i+w]-e.small[i-w])/32
			c := row(y, h)*columns + column(x, w)
			now.coarse[c] += across*across + down*down
			counts[c]++
		}
	}
	for i := range counts {
		now.coarse[i] /= max(1, counts[i])
	}
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }
