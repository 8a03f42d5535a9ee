package agree

import (
	"math"

	"takeweave/internal/dsp"
)

const (
	attackSeconds = 0.08 // over which a note rises
	leastAttack   = 0.3  // rise that counts as an attack, of the logarithmic scale of the notes
	nearRows      = 3    // of toneHz: attacks within 60 ms of each other are the same
	fullStrength  = 0.5  // of an attack: the other side's need not be stronger to count in full
)

// laid returns one side's notes, one row of semitones per row of toneHz on the
// song's clock. The pass's lags are taken off and it is moved into the record's
// key.
func (b *beside) laid(side int, lags []float64) *dsp.Series {
	out := dsp.NewSeries(toneHz, 0, dsp.Notes, len(b.tone[side]))
	row := make([]float32, dsp.Notes)
	for i := range out.Rows() {
		k := i * int(fluxHz/toneHz)
		at, shift := float64(b.first+k)/fluxHz, 0
		if side == ofPass {
			at, shift = b.passAt[k]+lags[k]/fluxHz, b.semitones
		}
		b.notes[side].At(row, at)
		to := out.Row(i)
		for n := range to {
			if from := n + shift; from >= 0 && from < dsp.Notes {
				to[n] = row[from]
			}
		}
	}
	return out
}

// risesOf returns how strongly each semitone starts to sound, above the median of
// the 13 semitones around it, which removes drums, clicks and breath.
func risesOf(notes *dsp.Series) *dsp.Series {
	const reach = 6
	out := dsp.Rise(notes, attackSeconds)
	from := make([]float32, dsp.Notes)
	for i := range out.Rows() {
		row := out.Row(i)
		copy(from, row)
		for n, v := range from {
			if v == 0 {
				continue
			}
			var around [2*reach + 1]float32
			for k := range around {
				if j := n + k - reach; j >= 0 && j < dsp.Notes {
					around[k] = from[j]
				}
			}
			row[n] = max(0, v-dsp.Median(around[:]))
		}
	}
	return out
}

// isAttack reports whether semitone n starts in row i: a peak in time.
func isAttack(rises *dsp.Series, i, n int) bool {
	v := rises.Row(i)[n]
	if v <= leastAttack || i < 2 || i+2 >= rises.Rows() {
		return false
	}
	return v >= rises.Row(i - 1)[n] && v >= rises.Row(i - 2)[n] && v > rises.Row(i + 1)[n] && v > rises.Row(i + 2)[n]
}

// tally is what was counted of one side's attacks up to each row: how many, how
// strong together, and how strong those together that the other side has too.
type tally struct{ count, strength, shared []float64 }

// tallyOf goes through the attacks of one side: semitone by semitone, the other
// side has it when the same semitone rises there at the same time.
func tallyOf(side, other *dsp.Series) tally {
	n := side.Rows()
	t := tally{make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)}
	for i := range n {
		t.count[i+1], t.strength[i+1], t.shared[i+1] = t.count[i], t.strength[i], t.shared[i]
		for k, v := range side.Row(i) {
			if v <= leastAttack || !isAttack(side, i, k) {
				continue
			}
			var most float32
			for j := max(0, i-nearRows); j <= min(n-1, i+nearRows); j++ {
				most = max(most, other.Row(j)[k])
			}
			t.count[i+1]++
			t.strength[i+1] += float64(v)
			t.shared[i+1] += math.Min(float64(v), float64(most)/fullStrength)
		}
	}
	return t
}

// share returns which share of the attacks in rows [lo, hi) the other side has,
// and how many there are.
func (t tally) share(lo, hi int) (share, count float64) {
	const rest = 0.5 // keeps rests from shouting
	return (t.shared[hi] - t.shared[lo]) / (t.strength[hi] - t.strength[lo] + rest), t.count[hi] - t.count[lo]
}

// matches measures which share of each side's attacks the other side has, how many
// more the pass has than the record, and how much harder it plays those of both.
func (e *evidence) matches(b *beside, lags []float64) {
	notes := [2]*dsp.Series{b.laid(ofRecord, lags), b.laid(ofPass, lags)}
	record, pass := risesOf(notes[ofRecord]), risesOf(notes[ofPass])
	ofSong, ofTake := tallyOf(record, pass), tallyOf(pass, record)
	harder, known := harderBy(record, pass, notes)
	n := record.Rows()
	for m := range e.moments {
		lo, hi := b.rows(e.at(m)-reach, e.at(m)+reach)
		lo, hi = min(lo/2, n), min(hi/2, n)
		var meant, played float64
		x := &e.moments[m]
		x[found], meant = ofSong.share(lo, hi)
		x[wanted], played = ofTake.share(lo, hi)
		x[density] = math.Log((played + 2) / (meant + 2))
		x[level] = (harder[hi] - harder[lo]) / (known[hi] - known[lo] + 2)
	}
}

// harderBy adds up, to each row, by how many dB the pass plays the attacks that
// both have harder than it usually does, and how many these are. Notes that nobody
// films count little: they would have to start together with the same pitch.
func harderBy(record, pass *dsp.Series, notes [2]*dsp.Series) (dB, count []float64) {
	const toDB = 10 / math.Ln10 // notes are logarithms of power
	top := func(side, i, k int) (most float32) {
		for j := max(0, i-nearRows); j <= min(notes[side].Rows()-1, i+2*nearRows); j++ {
			most = max(most, notes[side].Row(j)[k])
		}
		return most
	}
	n := record.Rows()
	dB, count = make([]float64, n+1), make([]float64, n+1)
	byRow := make([][]float64, n)
	var all []float64
	for i := range n {
		for k, v := range record.Row(i) {
			if v <= leastAttack || !isAttack(record, i, k) {
				continue
			}
			for j := max(0, i-nearRows); j <= min(n-1, i+nearRows); j++ {
				if isAttack(pass, j, k) {
					d := toDB * float64(top(ofPass, i, k)-top(ofRecord, i, k))
					byRow[i], all = append(byRow[i], d), append(all, d)
					break
				}
			}
		}
	}
	own := dsp.Median(all)
	for i, row := range byRow {
		dB[i+1], count[i+1] = dB[i], count[i]+float64(len(row))
		for _, d := range row {
			dB[i+1] += d - own
		}
	}
	return dB, count
}
