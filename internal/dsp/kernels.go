package dsp

import "math"

// The loops in which nearly all the time goes. Each is here in plain Go; on
// amd64 processors with AVX2 and FMA a twin in assembly does the same on lanes
// values at once (kernels_amd64.go). The two round differently: the vector loops
// do not round between a product and the sum it goes into. The transforms of
// both stay within the same limit of a double-precision one.

//go:generate go -C ../../tools/kernels run . -out ../../internal/dsp/vector_amd64.s -stubs ../../internal/dsp/vector_amd64.go -pkg dsp

// lanes is how many frames are transformed side by side: value i of frame l lies
// at i*lanes+l.
const lanes = 8

// peers is how many neighbouring values abovePeers looks at.
const peers = 13

// radix2Plain is the last step of a transform of s times two values.
func radix2Plain(xr, xi, yr, yi []float32, s int) {
	for q := range s {
		yr[q], yi[q] = xr[q]+xr[q+s], xi[q]+xi[q+s]
		yr[q+s], yi[q+s] = xr[q]-xr[q+s], xi[q]-xi[q+s]
	}
}

// radix4Plain is one step of a transform: m butterflies of four, each on s
// neighbours. w holds, per butterfly, cosine and sine of the first, second and
// third power of its factor.
func radix4Plain(xr, xi, yr, yi, w []float32, m, s int) {
	for p := range m {
		w := (*[6]float32)(w[6*p:])
		w1r, w1i, w2r, w2i, w3r, w3i := w[0], w[1], w[2], w[3], w[4], w[5]
		a0, b0, c0, d0 := s*p, s*(p+m), s*(p+2*m), s*(p+3*m)
		ar, ai := xr[a0:a0+s], xi[a0:a0+s]
		br, bi := xr[b0:b0+s], xi[b0:b0+s]
		cr, ci := xr[c0:c0+s], xi[c0:c0+s]
		dr, di := xr[d0:d0+s], xi[d0:d0+s]
		y := 4 * s * p
		y0r, y0i := yr[y:y+s], yi[y:y+s]
		y1r, y1i := yr[y+s:y+2*s], yi[y+s:y+2*s]
		y2r, y2i := yr[y+2*s:y+3*s], yi[y+2*s:y+3*s]
		y3r, y3i := yr[y+3*s:y+4*s], yi[y+3*s:y+4*s]
		for q := range s {
			sr, si := ar[q]+cr[q], ai[q]+ci[q]
			tr, ti := ar[q]-cr[q], ai[q]-ci[q]
			ur, ui := br[q]+dr[q], bi[q]+di[q]
			vr, vi := br[q]-dr[q], bi[q]-di[q]
			y0r[q], y0i[q] = sr+ur, si+ui
			er, ei := tr+vi, ti-vr // t - i*v
			y1r[q], y1i[q] = er*w1r-ei*w1i, er*w1i+ei*w1r
			er, ei = sr-ur, si-ui
			y2r[q], y2i[q] = er*w2r-ei*w2i, er*w2i+ei*w2r
			er, ei = tr-vi, ti+vr // t + i*v
			y3r[q], y3i[q] = er*w3r-ei*w3i, er*w3i+ei*w3r
		}
	}
}

// turnPlain multiplies rows x lanes values by w and writes them as lanes x rows.
// It may spoil x.
func turnPlain(xr, xi, yr, yi, wr, wi []float32, rows int) {
	for l := range lanes {
		toR, toI := yr[l*rows:(l+1)*rows], yi[l*rows:(l+1)*rows]
		for r := range toR {
			i := r*lanes + l
			toR[r] = xr[i]*wr[i] - xi[i]*wi[i]
			toI[r] = xr[i]*wi[i] + xi[i]*wr[i]
		}
	}
}

// unzipPlain parts the values of x.
func unzipPlain(even, odd, x []float32) {
	for i := range even {
		even[i], odd[i] = x[2*i], x[2*i+1]
	}
}

// zipPlain puts values between each other, each kind times its scale.
func zipPlain(x, even, odd []float32, evenScale, oddScale float32) {
	for i := range even {
		x[2*i], x[2*i+1] = even[i]*evenScale, odd[i]*oddScale
	}
}

// splitPlain makes the bins 1..h-1 of 2h real samples from the transform z of
// the even samples plus i times the odd ones. c, s are exp(-pi*i*k/h).
func splitPlain(re, im, zr, zi, c, s []float32, h int) {
	for k := 1; k <= h/2; k++ {
		j := h - k
		er, ei := (zr[k]+zr[j])/2, (zi[k]-zi[j])/2
		or, oi := (zi[k]+zi[j])/2, (zr[j]-zr[k])/2
		tr, ti := or*c[k]-oi*s[k], or*s[k]+oi*c[k]
		re[k], im[k] = er+tr, ei+ti
		re[j], im[j] = er-tr, ti-ei
	}
}

// joinPlain is the way back from splitPlain, to the conjugate of z.
func joinPlain(zr, zi, re, im, c, s []float32, h int) {
	for k := 1; k <= h/2; k++ {
		j := h - k
		er, ei := (re[k]+re[j])/2, (im[k]-im[j])/2
		tr, ti := (re[k]-re[j])/2, (im[k]+im[j])/2
		or, oi := tr*c[k]+ti*s[k], ti*c[k]-tr*s[k]
		zr[k], zi[k] = er-oi, -(ei + or)
		zr[j], zi[j] = er+oi, ei-or
	}
}

// powerPlain writes the power of the bins 1..h-1 of lanes real frames to dst.
// zr, zi are the transforms of their even samples plus i times the odd ones; c,
// s are exp(-pi*i*k/h).
func powerPlain(dst, zr, zi, c, s []float32, h int) {
	for k := 1; k <= h/2; k++ {
		near, far := k*lanes, (h-k)*lanes
		kr, ki := (*[lanes]float32)(zr[near:]), (*[lanes]float32)(zi[near:])
		jr, ji := (*[lanes]float32)(zr[far:]), (*[lanes]float32)(zi[far:])
		toK, toJ := (*[lanes]float32)(dst[near:]), (*[lanes]float32)(dst[far:])
		c, s := c[k], s[k]
		for l := range lanes {
			er, ei := (kr[l]+jr[l])/2, (ki[l]-ji[l])/2
			or, oi := (ki[l]+ji[l])/2, (jr[l]-kr[l])/2
			tr, ti := or*c-oi*s, or*s+oi*c
			toK[l] = (er+tr)*(er+tr) + (ei+ti)*(ei+ti)
			toJ[l] = (er-tr)*(er-tr) + (ti-ei)*(ti-ei)
		}
	}
}

// gatherPlain puts lanes frames of x side by side, frame l from at[l] on, each
// times the window: even samples in re, odd ones in im.
func gatherPlain(re, im, x, window []float32, at *[lanes]int) {
	for l, from := range at {
		frame := x[from:][:len(window)]
		for i := 0; i+1 < len(window); i += 2 {
			re[i/2*lanes+l] = frame[i] * window[i]
			im[i/2*lanes+l] = frame[i+1] * window[i+1]
		}
	}
}

// weighPlain writes the sum of rows of lanes values, each times its weight.
func weighPlain(dst *[lanes]float32, rows, w []float32) {
	var sum [lanes]float32
	for i, g := range w {
		row := (*[lanes]float32)(rows[i*lanes:])
		for l, v := range row {
			sum[l] += g * v
		}
	}
	*dst = sum
}

// combinePlain adds the sum over t of w[t]*x[t*step+k] to each dst[k]: with step
// 1 it filters x, with longer ones it weighs rows.
func combinePlain(dst, x, w []float32, step int) {
	for t, g := range w {
		for k, v := range x[t*step:][:len(dst)] {
			dst[k] += g * v
		}
	}
}

// pairUpPlain adds the sum over t of a[t*stepA+k]*b[t*stepB+k] to each dst[k].
func pairUpPlain(dst, a, b []float32, count, stepA, stepB int) {
	for t := range count {
		a, b := a[t*stepA:][:len(dst)], b[t*stepB:][:len(dst)]
		for k, v := range a {
			dst[k] += v * b[k]
		}
	}
}

// addUpPlain adds the sum over t of x[at[t]+k] to each dst[k].
func addUpPlain(dst, x []float32, at []int) {
	for _, from := range at {
		for k, v := range x[from:][:len(dst)] {
			dst[k] += v
		}
	}
}

// dotPlain is the inner product; four sums do not wait for each other.
func dotPlain(a, b []float32) float32 {
	var s0, s1, s2, s3 float32
	b = b[:len(a)]
	for len(a) >= 4 && len(b) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	for i, v := range a {
		s0 += v * b[i]
	}
	return s0 + s1 + (s2 + s3)
}

// abovePeersPlain writes by how much each value of x but the first and last
// peers/2 lies above the median of the peers around it, at least 0.
func abovePeersPlain(dst, x []float32) {
	var w [peers]float32
	for d := range dst {
		copy(w[:], x[d:])
		below, own := 0, w[peers/2]
		for _, v := range w {
			if v < own {
				below++
			}
		}
		if below <= peers/2 { // the median is no lower
			dst[d] = 0
			continue
		}
		for i := 1; i < len(w); i++ {
			v, j := w[i], i
			for ; j > 0 && w[j-1] > v; j-- {
				w[j] = w[j-1]
			}
			w[j] = v
		}
		dst[d] = own - w[peers/2]
	}
}

// takeFloorPlain takes a floor part of the way from before to after off each
// value and leaves at least 0.
func takeFloorPlain(dst, before, after []float32, part float32) {
	after = after[:len(dst)]
	for d, f := range before[:len(dst)] {
		dst[d] = max(0, dst[d]-(f*(1-part)+after[d]*part))
	}
}

// risePlain writes how much now lies above before, at least 0.
func risePlain(dst, now, before []float32) {
	before = before[:len(dst)]
	for d, v := range now[:len(dst)] {
		dst[d] = max(0, v-before[d])
	}
}

// logOnePlusPlain replaces each x, 0 or more, by log(1 + scale*x), to 1e-5.
func logOnePlusPlain(x []float32, scale float32) {
	for i, v := range x {
		bits := math.Float32bits(1 + v*scale)
		exponent := float32(int(bits>>23) - 127)
		m := math.Float32frombits(bits&0x7fffff | 127<<23) // 1..2
		// atanh series of log(m), centred on sqrt(2): z within +-0.172.
		const root2 = 1.41421356
		z := (m - root2) / (m + root2)
		z2 := z * z
		x[i] = exponent*0.69314718 + 0.34657359 + 2*z*(1+z2*(1.0/3+z2*(0.2+z2/7)))
	}
}

// fromInt16Plain writes little-endian 16-bit values times scale.
func fromInt16Plain(dst []float32, raw []byte, scale float32) {
	for i := range dst {
		dst[i] = float32(int16(uint16(raw[2*i])|uint16(raw[2*i+1])<<8)) * scale
	}
}
