package dsp

// The loops of a Fourier transform in plain Go: see kernels.go.

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
