//go:build !purego

package dsp

func radix2(xr, xi, yr, yi []float32, s int) {
	if !vector || s%lanes != 0 {
		radix2Plain(xr, xi, yr, yi, s)
		return
	}
	xr, xi, yr, yi = xr[:2*s], xi[:2*s], yr[:2*s], yi[:2*s]
	radix2Vector(&xr[0], &xi[0], &yr[0], &yi[0], s)
}

func radix4(xr, xi, yr, yi, w []float32, m, s int) {
	if !vector || s%lanes != 0 {
		radix4Plain(xr, xi, yr, yi, w, m, s)
		return
	}
	n := 4 * m * s
	xr, xi, yr, yi, w = xr[:n], xi[:n], yr[:n], yi[:n], w[:6*m]
	radix4Vector(&xr[0], &xi[0], &yr[0], &yi[0], &w[0], m, s)
}

func turn(xr, xi, yr, yi, wr, wi []float32, rows int) {
	if !vector || rows%lanes != 0 {
		turnPlain(xr, xi, yr, yi, wr, wi, rows)
		return
	}
	n := rows * lanes
	xr, xi, yr, yi, wr, wi = xr[:n], xi[:n], yr[:n], yi[:n], wr[:n], wi[:n]
	turnVector(&xr[0], &xi[0], &yr[0], &yi[0], &wr[0], &wi[0], rows)
}

func unzip(even, odd, x []float32) {
	n := len(even)
	if !vector || n%lanes != 0 {
		unzipPlain(even, odd, x)
		return
	}
	odd, x = odd[:n], x[:2*n]
	unzipVector(&even[0], &odd[0], &x[0], n)
}

func zip(x, even, odd []float32, evenScale, oddScale float32) {
	n := len(even)
	if !vector || n%lanes != 0 {
		zipPlain(x, even, odd, evenScale, oddScale)
		return
	}
	odd, x = odd[:n], x[:2*n]
	zipVector(&x[0], &even[0], &odd[0], evenScale, oddScale, n)
}

func split(re, im, zr, zi, c, s []float32, h int) {
	if !vector || h < 2*lanes {
		splitPlain(re, im, zr, zi, c, s, h)
		return
	}
	re, im, zr, zi, c, s = re[:h], im[:h], zr[:h], zi[:h], c[:h/2+lanes], s[:h/2+lanes]
	splitVector(&re[0], &im[0], &zr[0], &zi[0], &c[0], &s[0], h)
}

func join(zr, zi, re, im, c, s []float32, h int) {
	if !vector || h < 2*lanes {
		joinPlain(zr, zi, re, im, c, s, h)
		return
	}
	re, im, zr, zi, c, s = re[:h], im[:h], zr[:h], zi[:h], c[:h/2+lanes], s[:h/2+lanes]
	joinVector(&zr[0], &zi[0], &re[0], &im[0], &c[0], &s[0], h)
}

func power(dst, zr, zi, c, s []float32, h int) {
	if !vector {
		powerPlain(dst, zr, zi, c, s, h)
		return
	}
	n := h * lanes
	dst, zr, zi, c, s = dst[:n], zr[:n], zi[:n], c[:h/2+1], s[:h/2+1]
	powerVector(&dst[0], &zr[0], &zi[0], &c[0], &s[0], h)
}

func gather(re, im, x, window []float32, at *[lanes]int) {
	n := len(window)
	if !vector || n%lanes != 0 {
		gatherPlain(re, im, x, window, at)
		return
	}
	re, im = re[:n/2*lanes], im[:n/2*lanes]
	for _, from := range at {
		_ = x[from : from+n]
	}
	gatherVector(&re[0], &im[0], &x[0], &window[0], &at[0], n)
}
