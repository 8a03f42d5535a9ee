package lineup

import (
	"math"

	"takeweave/internal/dsp"
)

// Warping works at 50 Hz in a band around where locate put the pass.
//
// Source: chroma with decaying onsets, [Ewert2009]; weights and steps measured:
// the classic steps gave errors twice as large in the worst twentieth.
const (
	warpHz     = 50.0
	warpBand   = 75  // rows either side: 1.5 s
	stepExtra  = 0.7 // for standing still on one side
	stepTilt   = 0.7 // for leaving the tempo of the centre line for one step
	onsetShare = 1.0
)

// onsetChroma turns pitch flux into 12 decaying onsets a row at warpHz.
//
// Source: locally normalised decaying onsets, [Ewert2009].
func onsetChroma(pitch *dsp.Series) *dsp.Series {
	group := int(dsp.FluxHz / warpHz)
	first := int(math.Ceil(float64(pitch.First) / float64(group)))
	skip := first*group - pitch.First
	n := max(0, (pitch.Rows()-skip)/group)
	raw := dsp.NewSeries(warpHz, first, 12, n)
	for i := range n {
		row := raw.Row(i)
		for g := range group {
			in := pitch.Row(skip + i*group + g)
			for d := range row {
				row[d] = max(row[d], in[d]+in[d+12])
			}
		}
	}
	const near, decay = 12, 10 // rows: a quarter of a second either side; a fifth of a second
	out := dsp.NewSeries(warpHz, first, 12, n)
	for d := range 12 {
		for i := range n {
			v := raw.Data[i*12+d]
			if v < 0.05 || (i > 0 && raw.Data[(i-1)*12+d] > v) || (i+1 < n && raw.Data[(i+1)*12+d] >= v) {
				continue
			}
			var top float32
			for j := max(0, i-near); j <= min(n-1, i+near); j++ {
				top = max(top, raw.Data[j*12+d])
			}
			if v < top/2 {
				continue
			}
			for k := range decay {
				if i+k < n {
					p := &out.Data[(i+k)*12+d]
					*p = max(*p, v/float32(math.Sqrt(float64(k+1))))
				}
			}
		}
	}
	// Strength relative to the strongest onsets within 0.8 s.
	const norm = 20
	lengths := make([]float32, n)
	for i := range lengths {
		lengths[i] = dsp.Norm(out.Row(i))
	}
	scaled := dsp.NewSeries(warpHz, first, 12, n)
	for i := range n {
		top := float32(0.3)
		for j := max(0, i-norm); j <= min(n-1, i+norm); j++ {
			top = max(top, lengths[j])
		}
		for d, v := range out.Row(i) {
			scaled.Row(i)[d] = v / top
		}
	}
	return scaled
}

// side is one recording's features for warping, on common rows.
type side struct {
	chroma, onset *dsp.Series
}

// warp aligns the song with the pass around centre and returns the better
// curve over the same stretch. The pass is first put on the song's clock along
// centre, so that going straight on means keeping centre's tempo; leaving it
// costs stepTilt a step. Both ends are tied softly to centre.
func warp(record, pass side, centre *curve) *curve {
	first, n := dsp.Span(centre.from, centre.to(), warpHz)
	if n < 4 {
		return centre
	}
	width := 2*warpBand + 1
	qc := onSongClock(pass.chroma, centre, first-warpBand, n+2*warpBand)
	qo := onSongClock(pass.onset, centre, first-warpBand, n+2*warpBand)
	cost := cellCosts(record, qc, qo, first, n, width) // cell (j, b): song row j with pass row j+b
	const inf = float32(math.MaxFloat32)
	total, back := make([]float32, n*width), make([]uint8, n*width)
	tie := func(b int) float32 { return 0.05 * float32(max(b-warpBand, warpBand-b)) }
	for j := range n {
		for b := range width {
			at := j*width + b
			c := cost[at]
			if j == 0 {
				total[at] = c + tie(b)
				continue
			}
			up := at - width                            // one song row back, same pass row is b+1
			best, how := total[up]+2*c, uint8(straight) // both one row on
			if j > 1 && b+1 < width {
				if v := total[up-width+1] + 1.5*(c+cost[up+1]) + stepTilt; v < best {
					best, how = v, twoSong
				}
			}
			if b > 0 {
				if v := total[up-1] + 1.5*(c+cost[at-1]) + stepTilt; v < best {
					best, how = v, twoPass
				}
				if v := total[at-1] + 2*c + stepExtra; v < best {
					best, how = v, onlyPass
				}
			}
			if b+1 < width {
				if v := total[up+1] + 2*c + stepExtra; v < best {
					best, how = v, onlySong
				}
			}
			total[at], back[at] = best, how
		}
	}
	end, best := warpBand, inf
	for b := range width {
		if v := total[(n-1)*width+b] + tie(b); v < best {
			end, best = b, v
		}
	}
	sum, count := make([]float64, n), make([]float64, n) // of pass rows per song row
	visit := func(j int, row float64) { sum[j], count[j] = sum[j]+row, count[j]+1 }
	for j, b := n-1, end; ; {
		visit(j, float64(j+b))
		if j == 0 {
			break
		}
		switch back[j*width+b] {
		case straight:
			j--
		case twoSong:
			visit(j-1, float64(j+b)-0.5)
			j, b = j-2, b+1
		case twoPass:
			j, b = j-1, b-1
		case onlyPass:
			b--
		case onlySong:
			j, b = j-1, b+1
		}
	}
	out := &curve{centre.from, make([]float64, len(centre.pass))}
	for i := range out.pass {
		x := min(max(out.song(i)*warpHz-float64(first), 0), float64(n-1))
		k := min(int(x), n-2)
		y0, y1 := sum[k]/count[k], sum[k+1]/count[k+1]
		row := y0 + (x-float64(k))*(y1-y0) - warpBand
		out.pass[i] = centre.at((float64(first) + row) / warpHz)
	}
	return out
}

// How a cell was reached.
const (
	straight = iota
	twoSong  // two song rows on, one pass row
	twoPass  // one song row on, two pass rows
	onlyPass // a pass row more at the same song row
	onlySong
)

// cellCosts compares song rows first..first+n with those of the pass from first
// up and width-1 on: one less the inner product of the chroma, and onsetShare of
// the distance of the onsets. Outside the song a cell costs 1.
func cellCosts(record side, qc, qo *dsp.Series, first, n, width int) []float32 {
	rc, ro := dsp.NewSeries(warpHz, first, qc.Dim, n), dsp.NewSeries(warpHz, first, qo.Dim, n)
	for j := range n {
		copy(rc.Row(j), rowAt(record.chroma, first+j))
		copy(ro.Row(j), rowAt(record.onset, first+j))
	}
	squares := func(s *dsp.Series) []float32 {
		out := make([]float32, s.Rows())
		for i := range out {
			out[i] = dsp.Dot(s.Row(i), s.Row(i))
		}
		return out
	}
	songSquare, passSquare := squares(ro), squares(qo)
	alike, together := dsp.LagProducts(rc, qc, width), dsp.LagProducts(ro, qo, width)
	cost := make([]float32, n*width)
	for j := range n {
		cells := cost[j*width : (j+1)*width]
		if rowAt(record.chroma, first+j) == nil {
			for b := range cells {
				cells[b] = 1
			}
			continue
		}
		known := rowAt(record.onset, first+j) != nil
		for b := range cells {
			cells[b] = 1 - alike[b*n+j]
			if known {
				square := max(0, songSquare[j]+passSquare[j+b]-2*together[b*n+j])
				cells[b] += onsetShare * float32(math.Sqrt(float64(square)))
			}
		}
	}
	return cost
}

// rowAt returns the row with absolute number i, nil outside.
func rowAt(s *dsp.Series, i int) []float32 {
	if i -= s.First; i < 0 || i >= s.Rows() {
		return nil
	}
	return s.Row(i)
}
