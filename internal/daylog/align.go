package daylog

import "math"

// The assignment. Files and passes both come in the order of the day, so it is
// an alignment of two sequences: step by step a recording has no entry, a pass
// has no file, or a block of files and passes belongs together (one to one, a
// pass in several files, or a file with several passes). The sum over all
// alignments, forwards and backwards, is exact and gives every step its chance.
// Source: the forward-backward recursion [Rabiner1989] over the pairs of
// [Durbin1998].

const (
	mostFiles  = 6  // of one recording
	mostPasses = 12 // in one file
)

// block is files [i, i2) being passes [j, j2).
type block struct {
	i, i2, j, j2 int
	besides      float64 // evidence of all but times
	chance       float64
}

// steps are all that an alignment may consist of, the same under every clock.
type steps struct {
	blocks   []block
	from, to [][][]int   // the blocks that begin, and that end, at files i and passes j
	unlogged [][]float64 // evidence that nobody logged the recording in the 1, 2, ... files from i
}

// steps returns every step that is not impossible.
func (ev *evidence) steps() *steps {
	n, m := len(ev.clips), len(ev.units)
	st := &steps{unlogged: make([][]float64, n), from: make([][][]int, n+1), to: make([][][]int, n+1)}
	for i := range st.from {
		st.from[i], st.to[i] = make([][]int, m+1), make([][]int, m+1)
	}
	for i := range ev.clips {
		for i2 := i + 1; i2 <= min(i+mostFiles, n); i2++ {
			st.unlogged[i] = append(st.unlogged[i], ev.unlogged(i, i2))
		}
		for j := range ev.units {
			for i2 := i + 1; i2 <= min(i+mostFiles, n); i2++ {
				st.add(ev, i, i2, j, j+1)
			}
			for j2 := j + 2; j2 <= min(j+mostPasses, m); j2++ {
				if ev.fits(i, j, j2) {
					st.add(ev, i, i+1, j, j2)
				}
			}
		}
	}
	return st
}

// add adds a block unless it is impossible.
func (st *steps) add(ev *evidence, i, i2, j, j2 int) {
	besides := ev.besidesTimes(i, i2, j, j2)
	if math.IsInf(besides, -1) {
		return
	}
	k := len(st.blocks)
	st.blocks = append(st.blocks, block{i: i, i2: i2, j: j, j2: j2, besides: besides})
	st.from[i][j] = append(st.from[i][j], k)
	st.to[i2][j2] = append(st.to[i2][j2], k)
}

// fits reports whether passes [j, j2) could lie in one clip by their length.
func (ev *evidence) fits(i, j, j2 int) bool {
	first, last := ev.units[j][0], ev.units[j2-1][0]
	if first.RollingMS == 0 || max(last.CutMS, last.RollingMS) == 0 {
		return true
	}
	needS := float64(max(last.CutMS, last.RollingMS)-first.RollingMS) / 1000
	return needS < 2*ev.clips[i].DurationS+4*slowTapS
}

// alignment is what all alignments together say under one clock.
type alignment struct {
	clock    clock
	blocks   []block   // with their chances
	unlogged []float64 // chance of each clip
	log      float64   // logarithm of the evidence, with the prior of the clock
}

// sums are logarithms of the sums over all paths from or to each place: after i
// files and j passes. So that each assignment is one path, between two blocks
// files are skipped before passes; in passes the step next to the place was a
// skipped pass, in files it was another one or there was none.
type sums struct{ files, passes [][]float64 }

// align sums over all alignments under a clock.
func (ev *evidence) align(ck clock, st *steps) *alignment {
	n, m := len(ev.clips), len(ev.units)
	score := make([]float64, len(st.blocks))
	for k, b := range st.blocks {
		score[k] = b.besides + ev.times(&ck, b.i, b.i2, b.j, b.j2)
	}
	before, after := st.before(score, n, m), st.after(score, n, m)
	total := sum(before.files[n][m], before.passes[n][m])
	al := &alignment{clock: ck, blocks: append([]block(nil), st.blocks...), unlogged: make([]float64, n), log: total + ck.prior()}
	if math.IsInf(total, -1) {
		return al // the answers allow nothing
	}
	for k := range al.blocks {
		b := &al.blocks[k]
		to := sum(before.files[b.i][b.j], before.passes[b.i][b.j])
		b.chance = math.Exp(to + score[k] + after.files[b.i2][b.j2] - total)
	}
	for i := range st.unlogged {
		for more, skip := range st.unlogged[i] {
			for j := 0; j <= m; j++ {
				chance := math.Exp(before.files[i][j] + skip + after.files[i+more+1][j] - total)
				for k := i; k <= i+more; k++ {
					al.unlogged[k] += chance
				}
			}
		}
	}
	return al
}

// before sums over the paths to each place.
func (st *steps) before(score []float64, n, m int) sums {
	s := sums{grid(n+1, m+1), grid(n+1, m+1)}
	s.files[0][0] = 0
	for i := 0; i <= n; i++ {
		for j := 0; j <= m; j++ {
			for _, k := range st.to[i][j] {
				b := &st.blocks[k]
				add(&s.files[i][j], score[k]+sum(s.files[b.i][b.j], s.passes[b.i][b.j]))
			}
			for k := max(0, i-mostFiles); k < i; k++ {
				add(&s.files[i][j], st.unlogged[k][i-k-1]+s.files[k][j])
			}
			if j > 0 {
				add(&s.passes[i][j], math.Log(missingChance)+sum(s.files[i][j-1], s.passes[i][j-1]))
			}
		}
	}
	return s
}

// after sums over the paths from each place: after a skipped pass, in passes, no
// file is skipped.
func (st *steps) after(score []float64, n, m int) sums {
	s := sums{grid(n+1, m+1), grid(n+1, m+1)}
	s.passes[n][m] = 0
	for i := n; i >= 0; i-- {
		for j := m; j >= 0; j-- {
			for _, k := range st.from[i][j] {
				b := &st.blocks[k]
				add(&s.passes[i][j], score[k]+s.files[b.i2][b.j2])
			}
			if j < m {
				add(&s.passes[i][j], math.Log(missingChance)+s.passes[i][j+1])
			}
			s.files[i][j] = s.passes[i][j]
			for k := i + 1; k <= min(i+mostFiles, n); k++ {
				add(&s.files[i][j], st.unlogged[i][k-i-1]+s.files[k][j])
			}
		}
	}
	return s
}

// grid returns a table of logarithms of nothing.
func grid(n, m int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, m)
		for j := range out[i] {
			out[i][j] = math.Inf(-1)
		}
	}
	return out
}

// sum returns the logarithm of the sum of what a and b are the logarithms of.
func sum(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if b < a-60 || math.IsInf(b, -1) { // too little to count, or nothing
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}

func add(to *float64, what float64) { *to = sum(*to, what) }
