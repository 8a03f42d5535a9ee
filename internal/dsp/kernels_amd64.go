//go:build !purego

package dsp

import "golang.org/x/sys/cpu"

// vector is whether the assembly is used. Tests switch it off.
var vector = cpu.X86.HasAVX2 && cpu.X86.HasFMA

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

func weigh(dst *[lanes]float32, rows, w []float32) {
	if !vector || len(w) == 0 {
		weighPlain(dst, rows, w)
		return
	}
	rows = rows[:len(w)*lanes]
	weighVector(&dst[0], &rows[0], &w[0], len(w))
}

func combine(dst, x, w []float32, step int) {
	if n := len(dst) / lanes * lanes; vector && n > 0 && len(w) > 0 {
		_ = x[:(len(w)-1)*step+n]
		combineVector(&dst[0], &x[0], &w[0], n, len(w), step)
		if dst = dst[n:]; len(dst) == 0 {
			return
		}
		x = x[n:]
	}
	combinePlain(dst, x, w, step)
}

func pairUp(dst, a, b []float32, count, stepA, stepB int) {
	if n := len(dst) / lanes * lanes; vector && n > 0 && count > 0 {
		_, _ = a[:(count-1)*stepA+n], b[:(count-1)*stepB+n]
		pairUpVector(&dst[0], &a[0], &b[0], n, count, stepA, stepB)
		if dst = dst[n:]; len(dst) == 0 {
			return
		}
		a, b = a[n:], b[n:]
	}
	pairUpPlain(dst, a, b, count, stepA, stepB)
}

func addUp(dst, x []float32, at []int) {
	if n := len(dst) / lanes * lanes; vector && n > 0 && len(at) > 0 {
		for _, from := range at {
			_ = x[from : from+n]
		}
		addUpVector(&dst[0], &x[0], &at[0], n, len(at))
		if dst = dst[n:]; len(dst) == 0 {
			return
		}
		x = x[n:]
	}
	addUpPlain(dst, x, at)
}

func dot(a, b []float32) float32 {
	if !vector || len(a) == 0 {
		return dotPlain(a, b)
	}
	b = b[:len(a)]
	return dotVector(&a[0], &b[0], len(a))
}

func abovePeers(dst, x []float32) {
	n := len(dst)
	if !vector || n < lanes {
		abovePeersPlain(dst, x)
		return
	}
	_ = x[:n+peers-1]
	abovePeersVector(&dst[0], &x[0], n/lanes*lanes)
	if n%lanes > 0 { // the last lanes values, some of them once more
		abovePeersVector(&dst[n-lanes], &x[n-lanes], lanes)
	}
}

func takeFloor(dst, before, after []float32, part float32) {
	if n := len(dst) / lanes * lanes; vector && n > 0 {
		_, _ = before[:n], after[:n]
		takeFloorVector(&dst[0], &before[0], &after[0], part, n)
		dst, before, after = dst[n:], before[n:], after[n:]
	}
	takeFloorPlain(dst, before, after, part)
}

func rise(dst, now, before []float32) {
	if n := len(dst) / lanes * lanes; vector && n > 0 {
		_, _ = now[:n], before[:n]
		riseVector(&dst[0], &now[0], &before[0], n)
		dst, now, before = dst[n:], now[n:], before[n:]
	}
	risePlain(dst, now, before)
}

func logOnePlus(x []float32, scale float32) {
	if n := len(x) / lanes * lanes; vector && n > 0 {
		logOnePlusVector(&x[0], scale, n)
		x = x[n:]
	}
	logOnePlusPlain(x, scale)
}

func fromInt16(dst []float32, raw []byte, scale float32) {
	if n := len(dst) / lanes * lanes; vector && n > 0 {
		_ = raw[:2*n]
		fromInt16Vector(&dst[0], &raw[0], scale, n)
		dst, raw = dst[n:], raw[2*n:]
	}
	fromInt16Plain(dst, raw, scale)
}
