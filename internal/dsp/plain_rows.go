package dsp

import "math"

// The loops on rows of features in plain Go: see kernels.go.

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
	for len(dst) >= 4 { // four sums that stay in registers
		to := (*[4]float32)(dst)
		s0, s1, s2, s3 := to[0], to[1], to[2], to[3]
		for t, g := range w {
			v := (*[4]float32)(x[t*step:])
			s0, s1, s2, s3 = s0+g*v[0], s1+g*v[1], s2+g*v[2], s3+g*v[3]
		}
		*to = [4]float32{s0, s1, s2, s3}
		if dst = dst[4:]; len(dst) > 0 {
			x = x[4:]
		}
	}
	for k := range dst {
		for t, g := range w {
			dst[k] += g * x[t*step+k]
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
