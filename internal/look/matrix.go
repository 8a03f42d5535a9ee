package look

// matrix is 3 x 3, rows first.
type matrix [3][3]float64

func (m matrix) of(c RGB) RGB {
	var out RGB
	for i, r := range m {
		out[i] = r[0]*c[0] + r[1]*c[1] + r[2]*c[2]
	}
	return out
}

// times returns the matrix that does n first, then m.
func (m matrix) times(n matrix) matrix {
	var out matrix
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[i][j] += m[i][k] * n[k][j]
			}
		}
	}
	return out
}

func diagonal(v RGB) matrix {
	return matrix{{v[0], 0, 0}, {0, v[1], 0}, {0, 0, v[2]}}
}

// inverse of a matrix that has one, by cofactors.
func (m matrix) inverse() matrix {
	var out matrix
	for i := range 3 {
		for j := range 3 {
			a, b := (j+1)%3, (j+2)%3
			c, d := (i+1)%3, (i+2)%3
			out[i][j] = m[a][c]*m[b][d] - m[a][d]*m[b][c]
		}
	}
	det := m[0][0]*out[0][0] + m[0][1]*out[1][0] + m[0][2]*out[2][0]
	for i := range out {
		for j := range out[i] {
			out[i][j] /= det
		}
	}
	return out
}
