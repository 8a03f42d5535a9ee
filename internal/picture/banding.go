package picture

import (
	"math"
	"math/cmplx"
	"slices"
)

// Flicker is what the mains do to the picture of lamps: dark bands that roll up
// or down.
type Flicker struct {
	MainsHz    int     `json:"mains_hz"`   // 50 or 60
	Measurable bool    `json:"measurable"` // false: at this rate the bands stand still, or too little was seen
	Found      bool    `json:"found"`
	Amplitude  float64 `json:"amplitude"` // of the light in the picture, 0..1 of its mean: half of the swing
	Surely     float64 `json:"surely"`    // how far the bands rise above what rolls a little slower and faster, a ratio of powers
}

// How bands are sought.
//
// Source: light that pulses twice in a mains period and rows that are read one
// after the other leave bands that move on by a steady phase from picture to
// picture, [Tajbakhsh2007]. The numbers are our own: in made pictures bands of
// 0.5 % of the light stood 23 times and more above what moves beside them, and in
// ten clips without any the highest was 5.
const (
	blockSeconds   = 4.0
	leastBeatHz    = 1.2 // bands that roll more slowly are the scene's own light
	fewestCycles   = 0.8 // bands to a picture's height
	mostCycles     = 3.6
	cyclesStep     = 0.2
	surelyFlicker  = 20.0
	leastAmplitude = 0.003
)

// neighbours are where, in hertz beside the beat, the scene is looked at for
// comparison.
var neighbours = []float64{-2.2, -1.6, -1.1, 1.1, 1.6, 2.2}

// banding looks for bands that roll with the mains.
type banding struct {
	height    int
	perSecond float64
	mains     []*beat
	waves     [][]complex128 // by number of cycles: a wave down the picture
	rows      []float64      // logarithm of the light, each row of the picture
	base      []float64      // the same of the block's first picture, which takes off what stands still
	frame     int
	block     int // frames to a block
}

// beat is one mains frequency as the pictures see it.
type beat struct {
	flicker Flicker
	hz      []float64 // the beat itself, then its neighbours; empty: not measurable
	sums    [][]complex128
	power   [][]float64 // means over blocks of the squares of sums
}

func newBanding(height int, perSecond float64) *banding {
	b := &banding{height: height, perSecond: perSecond, rows: make([]float64, height), base: make([]float64, height)}
	b.block = int(math.Round(blockSeconds * perSecond))
	for c := fewestCycles; c < mostCycles+cyclesStep/2; c += cyclesStep {
		for _, way := range []float64{-1, 1} {
			wave, sum := make([]complex128, height), 0.0
			for r := range wave {
				window := math.Sin(math.Pi * (float64(r) + 0.5) / float64(height))
				wave[r] = cmplx.Rect(window, 2*math.Pi*way*c*float64(r)/float64(height))
				sum += window
			}
			for r := range wave {
				wave[r] *= complex(2/sum, 0)
			}
			b.waves = append(b.waves, wave)
		}
	}
	for _, hz := range []int{50, 60} {
		b.mains = append(b.mains, newBeat(hz, perSecond, len(b.waves)))
	}
	return b
}

func newBeat(mainsHz int, perSecond float64, waves int) *beat {
	t := &beat{flicker: Flicker{MainsHz: mainsHz}}
	alias := math.Remainder(2*float64(mainsHz), perSecond)
	if math.Abs(alias) < leastBeatHz {
		return t
	}
	t.hz = []float64{alias}
	for _, beside := range neighbours {
		// A neighbour close to standing still would see the scene itself.
		if f := math.Remainder(alias+beside, perSecond); math.Abs(f) >= leastBeatHz {
			t.hz = append(t.hz, f)
		}
	}
	for range t.hz {
		t.sums, t.power = append(t.sums, make([]complex128, waves)), append(t.power, make([]float64, waves))
	}
	return t
}

func (b *banding) add(pix []byte, width int) {
	if b.mains[0].hz == nil && b.mains[1].hz == nil {
		return
	}
	for r := range b.rows {
		sum := 0
		for _, v := range pix[r*width : (r+1)*width] {
			sum += int(v)
		}
		b.rows[r] = displayedGamma * math.Log(float64(sum)/float64(width)+1)
	}
	at := b.frame % b.block
	if at == 0 {
		copy(b.base, b.rows)
	}
	window := 1 - math.Cos(2*math.Pi*(float64(at)+0.5)/float64(b.block))
	seconds := float64(b.frame) / b.perSecond
	for i, wave := range b.waves {
		var sum complex128
		for r, v := range b.rows {
			sum += complex(v-b.base[r], 0) * wave[r]
		}
		for _, t := range b.mains {
			for k, hz := range t.hz {
				t.sums[k][i] += sum * cmplx.Rect(window, -2*math.Pi*math.Mod(hz*seconds, 1))
			}
		}
	}
	b.frame++
	if at == b.block-1 {
		for _, t := range b.mains {
			t.close(float64(b.block))
		}
	}
}

// close ends a block of so many frames.
func (t *beat) close(frames float64) {
	for k, sums := range t.sums {
		for i, s := range sums {
			t.power[k][i] += square(cmplx.Abs(s) / frames)
		}
		clear(sums)
	}
}

// result returns what was found for both mains.
func (b *banding) result() []Flicker {
	blocks := float64(b.frame / b.block)
	out := make([]Flicker, len(b.mains))
	for m, t := range b.mains {
		out[m] = t.flicker
		if len(t.hz) < 3 || blocks == 0 {
			continue
		}
		f := &out[m]
		f.Measurable = true
		best := slices.Max(t.power[0])
		var beside []float64
		for _, other := range t.power[1:] {
			beside = append(beside, slices.Max(other))
		}
		f.Amplitude = math.Sqrt(best / blocks)
		if scene := median(beside); scene > 0 {
			f.Surely = best / scene
		}
		f.Found = f.Surely > surelyFlicker && f.Amplitude > leastAmplitude
	}
	return out
}
