package lineup

import (
	"context"
	"math"
	"slices"

	"takeweave/internal/dsp"
)

// Location works at 5 Hz on 24-value chroma. The song frames and one state for
// "not the song" form a hidden Markov model.
//
// Source: jumps in constant time per state as in [Nakamura2016]; the costs are
// ours, the best of six tried on 20 messy performances.
const (
	coarseHz       = 5.0
	diagSeconds    = 3.0
	excerptSeconds = 180.0 // of the pass, on which the shift is found
	advanceCost    = 1.0   // to stay on a song frame, or to skip one
	jumpCost       = 60.0  // to go on anywhere else in the song
	garbageCost    = 20.0  // into or out of "not the song"
	emissionBias   = 2.2   // standard deviations over the wrong keys that count as neither
	emissionMin    = -4.0
	emissionMax    = 6.0
)

// stretch is a run of pass frames that follow the song without a jump.
type stretch struct {
	pass []float64 // seconds, rising
	song []float64 // seconds, never falling
}

// location is where a pass lies in the song.
type location struct {
	shift     int // semitones that the pass lies above the record, -5..6
	perFrame  float64
	runnerUp  float64 // the same of the second-best shift
	stretches []stretch
}

// coarseNotes returns the pitch content smoothed to coarseHz, worked out minute by
// minute: at full rate an hour would take 44 MB.
func coarseNotes(r *Recording) *dsp.Series {
	const step, block, margin = int(notesHz / coarseHz), 60.0, 1.0 // seconds
	all := len(r.notes) / dsp.Notes
	out := dsp.NewSeries(coarseHz, 0, dsp.Notes, (all+step-1)/step)
	for from := 0.0; from*notesHz < float64(all); from += block {
		part := r.Notes(from-margin, from+block+margin).Smooth(0.7, step).Part(from, from+block)
		copy(out.Data[part.First*dsp.Notes:], part.Data)
	}
	return out
}

// coarseChroma returns the 24-value chroma of coarse notes, each half centred
// and of length sqrt(1/2), so that the inner product of two rows is -1..1.
func coarseChroma(notes *dsp.Series, shift int) *dsp.Series {
	s := dsp.FoldTwoPart(notes, shift)
	mean := make([]float32, s.Dim)
	for i := range s.Rows() {
		for d, v := range s.Row(i) {
			mean[d] += v / float32(s.Rows())
		}
	}
	for i := range s.Rows() {
		row := s.Row(i)
		for d := range row {
			row[d] -= 0.9 * mean[d]
		}
		for _, half := range [][]float32{row[:12], row[12:]} {
			length := dsp.Norm(half)
			if length < 0.05 {
				clear(half)
				continue
			}
			for d := range half {
				half[d] /= length * math.Sqrt2
			}
		}
	}
	return s
}

// similarity returns S[t*n+j]: how alike pass frame t and song frame j are,
// averaged over diagSeconds along the best of a few slopes. every keeps only
// each every-th pass frame.
func similarity(pass, song *dsp.Series, slopes []float64, every int) (s []float32, rows int) {
	const half = int(diagSeconds*coarseHz) / 2
	t, n := pass.Rows(), song.Rows()
	// Rows of products between zeros, so that a diagonal may lead out of them.
	edge := int(math.Round(float64(half) * slices.Max(slopes)))
	width := n + 2*edge
	dots := make([]float32, t*width)
	columns := song.Columns()
	for i := range t {
		columns.Products(dots[i*width+edge:][:n], pass.Row(i))
	}
	rows = (t + every - 1) / every
	s = make([]float32, rows*n)
	sum, places := make([]float32, n), make([]int, 0, 2*half+1)
	for k := range rows {
		i := k * every
		best := s[k*n : (k+1)*n]
		for m, slope := range slopes {
			places = places[:0]
			for u := max(-half, -i); u <= min(half, t-1-i); u++ {
				places = append(places, (i+u)*width+edge+int(math.Round(float64(u)*slope)))
			}
			dsp.SumAt(sum, dots, places)
			for j, v := range sum {
				if m == 0 || v > best[j] {
					best[j] = v
				}
			}
		}
		for j := range best {
			best[j] /= float32(2*half + 1)
		}
	}
	return s, rows
}

var allSlopes = []float64{0.85, 0.93, 1, 1.08, 1.17}

// locate finds where the pass lies in the song and how many semitones it is
// moved.
func locate(ctx context.Context, record, pass *Recording) (location, error) {
	song := coarseChroma(coarseNotes(record), 0)
	if song.Rows() == 0 || len(pass.notes) == 0 {
		return location{}, nil
	}
	// The twelve shifts, on every third frame of the fullest minutes.
	var shifts [12]*dsp.Series
	var sims [12][]float32
	rows := 0
	from := fullest(pass, excerptSeconds)
	notes := coarseNotes(pass)
	for k := range shifts {
		if err := ctx.Err(); err != nil {
			return location{}, err
		}
		shifts[k] = coarseChroma(notes, shiftOf(k))
		sims[k], rows = similarity(shifts[k].Part(from, from+excerptSeconds), song, []float64{0.93, 1.08}, 3)
	}
	n := song.Rows()
	var total [12]float64
	for k := range shifts {
		mean, sd := wrongKeys(sims[:], k)
		row := func(t int) []float32 { return sims[k][t*n : (t+1)*n] }
		total[k] = follow(row, rows, n, mean, sd, 1.0/3).score / float64(max(1, rows))
	}
	best, second := 0, -1
	for k := range total {
		if total[k] > total[best] {
			best = k
		}
	}
	for k := range total {
		if k != best && (second < 0 || total[k] > total[second]) {
			second = k
		}
	}
	mean, sd := wrongKeys(sims[:], best)
	path := follow(similarRows(shifts[best], song), shifts[best].Rows(), n, mean, sd, 1)
	return location{
		shift: shiftOf(best), perFrame: total[best], runnerUp: total[second],
		stretches: stretchesOf(path.at, shifts[best], song),
	}, nil
}

// similarRows returns a function that gives row t of the similarity of every
// pass frame, worked out in blocks: asked for in order, it needs little memory
// however long the pass is.
func similarRows(pass, song *dsp.Series) func(t int) []float32 {
	const block, margin = 600, int(diagSeconds * coarseHz)
	n := song.Rows()
	from, to, first := 0, 0, 0 // rows in hand, and the first row of s
	var s []float32
	return func(t int) []float32 {
		if t < from || t >= to {
			from, to = t, min(t+block, pass.Rows())
			first = max(0, from-margin)
			part := *pass
			part.First += first
			part.Data = pass.Data[first*pass.Dim : min(to+margin, pass.Rows())*pass.Dim]
			s, _ = similarity(&part, song, allSlopes, 1)
		}
		return s[(t-first)*n : (t-first+1)*n]
	}
}

// fullest returns where, in seconds, the stretch of the given length begins
// that holds the most notes.
func fullest(r *Recording, seconds float64) float64 {
	notes := len(r.notes) / dsp.Notes
	span := int(seconds * notesHz)
	if notes <= span {
		return 0
	}
	sums := make([]int, notes+1)
	for i := range notes {
		top := uint8(0)
		for _, v := range r.notes[i*dsp.Notes : (i+1)*dsp.Notes] {
			top = max(top, v)
		}
		sums[i+1] = sums[i] + int(top)
	}
	best := 0
	for i := 0; i+span <= notes; i++ {
		if sums[i+span]-sums[i] > sums[best+span]-sums[best] {
			best = i
		}
	}
	return float64(best) / notesHz
}

// shiftOf turns 0..11 into -5..6 semitones.
func shiftOf(k int) int {
	if k > 6 {
		return k - 12
	}
	return k
}

// wrongKeys returns mean and standard deviation of the similarity in the eleven
// other keys: what chance gives with this pass and this song.
func wrongKeys(sims [][]float32, right int) (mean, sd float32) {
	var sum, sq float64
	n := 0
	for k, s := range sims {
		if k == right {
			continue
		}
		for i := 0; i < len(s); i += 7 {
			v := float64(s[i])
			sum += v
			sq += v * v
			n++
		}
	}
	m := sum / float64(n)
	return float32(m), float32(math.Sqrt(math.Max(sq/float64(n)-m*m, 1e-9)))
}

type followed struct {
	score float64
	at    []int // song frame per pass frame, -1 for "not the song"
}

// follow runs the model over rows of n similarities, asked for in order. Sparse
// rows, a share of the frames, scale the costs down.
func follow(row func(t int) []float32, rows, n int, mean, sd float32, share float64) followed {
	const (
		fromGarbage = 254
		fromJump    = 253
	)
	pace := int(math.Round(1 / share)) // song frames per row
	jump, gate := float32(jumpCost*share), float32(garbageCost*share)
	prev, now := make([]float32, n), make([]float32, n)
	back := make([]uint8, rows*n)
	jumpFrom, garbageFrom := make([]int32, rows), make([]int32, rows) // best song frame before row t; -1 stays garbage
	var garbage float32
	for j := range prev {
		prev[j] = -gate
	}
	reach := 2 * pace
	costs := make([]float32, reach+1) // of so many steps
	for step := range costs {
		off := max(step-pace, pace-step)
		costs[step] = advanceCost * float32(off) / float32(pace) * float32(share)
	}
	for t := range rows {
		s := row(t)
		top := 0
		for j, v := range prev {
			if v > prev[top] {
				top = j
			}
		}
		jumpFrom[t] = int32(top)
		jumpTo, fresh := prev[top]-jump, garbage-gate
		nextGarbage := garbage
		garbageFrom[t] = -1
		if t > 0 && prev[top]-gate > nextGarbage {
			nextGarbage, garbageFrom[t] = prev[top]-gate, int32(top)
		}
		for j := range now {
			best, from := jumpTo, uint8(fromJump)
			if fresh > best {
				best, from = fresh, fromGarbage
			}
			for step, cost := range costs[:min(reach, j)+1] {
				if v := prev[j-step] - cost; v > best {
					best, from = v, uint8(step)
				}
			}
			e := (s[j]-mean)/sd - emissionBias
			now[j] = best + min(max(e, emissionMin), emissionMax)
			back[t*n+j] = from
		}
		prev, now, garbage = now, prev, nextGarbage
	}
	end := -1
	score := garbage
	for j, v := range prev {
		if v > score {
			score, end = v, j
		}
	}
	out := followed{float64(score), make([]int, rows)}
	for t := rows - 1; t >= 0; t-- {
		out.at[t] = end
		if end < 0 {
			end = int(garbageFrom[t])
			continue
		}
		switch b := back[t*n+end]; b {
		case fromGarbage:
			end = -1
		case fromJump:
			end = int(jumpFrom[t])
		default:
			end -= int(b)
		}
	}
	return out
}

// stretchesOf splits a path at garbage and at jumps.
func stretchesOf(at []int, pass, song *dsp.Series) []stretch {
	var out []stretch
	var cur stretch
	flush := func() {
		if len(cur.pass) >= int(2*coarseHz) { // shorter than 2 s is chance
			out = append(out, cur)
		}
		cur = stretch{}
	}
	last := -1
	for t, j := range at {
		if j < 0 || (last >= 0 && (j < last || j > last+2)) {
			flush()
		}
		if j >= 0 {
			cur.pass = append(cur.pass, pass.Time(t))
			cur.song = append(cur.song, song.Time(j))
		}
		last = j
	}
	flush()
	return out
}
