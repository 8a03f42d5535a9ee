//go:build !purego

package dsp

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
