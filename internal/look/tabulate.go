package look

import (
	"runtime"

	"takeweave/internal/film"
)

// IdentityTable returns the table of size points a side that changes nothing
// within 0..1.
func IdentityTable(size int) film.Table3D {
	return tableOf(size, func(c RGB) RGB { return c })
}

// tableOf tabulates f over 0..1, slices of blue side by side on all processors.
func tableOf(size int, f func(RGB) RGB) film.Table3D {
	t := film.Table3D{
		Max: [3]float64{1, 1, 1}, Size: size, Interpolation: film.Tetrahedral,
		Values: make([][3]float32, size*size*size),
	}
	last := float64(size - 1)
	spread(size, runtime.GOMAXPROCS(0), func(from, to int) {
		for at := from * size * size; at < to*size*size; at++ {
			r, g, b := at%size, at/size%size, at/(size*size)
			v := f(RGB{float64(r) / last, float64(g) / last, float64(b) / last})
			t.Values[at] = [3]float32{float32(v[0]), float32(v[1]), float32(v[2])}
		}
	})
	return t
}
