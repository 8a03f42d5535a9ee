//go:build !amd64 || purego

package dsp

func radix2(xr, xi, yr, yi []float32, s int)               { radix2Plain(xr, xi, yr, yi, s) }
func radix4(xr, xi, yr, yi, w []float32, m, s int)         { radix4Plain(xr, xi, yr, yi, w, m, s) }
func turn(xr, xi, yr, yi, wr, wi []float32, rows int)      { turnPlain(xr, xi, yr, yi, wr, wi, rows) }
func power(dst, zr, zi, c, s []float32, h int)             { powerPlain(dst, zr, zi, c, s, h) }
func gather(re, im, x, window []float32, at *[lanes]int)   { gatherPlain(re, im, x, window, at) }
func weigh(dst *[lanes]float32, rows, w []float32)         { weighPlain(dst, rows, w) }
func combine(dst, x, w []float32, step int)                { combinePlain(dst, x, w, step) }
func dot(a, b []float32) float32                           { return dotPlain(a, b) }
func abovePeers(dst, x []float32)                          { abovePeersPlain(dst, x) }
func takeFloor(dst, before, after []float32, part float32) { takeFloorPlain(dst, before, after, part) }
func rise(dst, now, before []float32)                      { risePlain(dst, now, before) }
func logOnePlus(x []float32, scale float32)                { logOnePlusPlain(x, scale) }
func fromInt16(dst []float32, raw []byte, scale float32)   { fromInt16Plain(dst, raw, scale) }
func pairUp(dst, a, b []float32, count, stepA, stepB int) {
	pairUpPlain(dst, a, b, count, stepA, stepB)
}
func addUp(dst, x []float32, at []int) { addUpPlain(dst, x, at) }
func unzip(even, odd, x []float32)     { unzipPlain(even, odd, x) }
func zip(x, even, odd []float32, evenScale, oddScale float32) {
	zipPlain(x, even, odd, evenScale, oddScale)
}
func split(re, im, zr, zi, c, s []float32, h int) { splitPlain(re, im, zr, zi, c, s, h) }
func join(zr, zi, re, im, c, s []float32, h int)  { joinPlain(zr, zi, re, im, c, s, h) }
