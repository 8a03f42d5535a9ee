package lineup

import (
	"math"
	"slices"

	"takeweave/internal/dsp"
)

// How a quiet performance beside a loud one is lifted. Within evenDB nothing is:
// that much lies between the verses of one performance, and the notes are
// compared on a scale that bears it. Set on two performances 20 and 26 dB apart.
const (
	steadyStep  = 1.0  // seconds between two gains
	steadyHalf  = 6    // steps on either side that tell how loud it is there
	steadyShare = 0.75 // their quantile that does
	evenDB      = 6.0
	mostLiftDB  = 24.0
	roomShare   = 0.05 // quantile of the steps that is the room
	overRoomDB  = 4.0  // what rises no higher over it is not lifted,
	clearDB     = 10.0 // what rises so high is wholly
)

// steady is a source with quiet stretches of it lifted slowly.
type steady struct {
	dsp.Source
	gains []float32 // of every steadyStep
}

// newSteady lifts what is far quieter than the loud stretches of src; levelDB are
// its levels at notesHz. A source that is even enough is returned as it is.
func newSteady(src dsp.Source, levelDB []float32) dsp.Source {
	const group = int(steadyStep * notesHz)
	var steps []float64 // dB
	for i := 0; i+group <= len(levelDB); i += group {
		var sum float64
		for _, v := range levelDB[i : i+group] {
			sum += math.Pow(10, float64(v)/10)
		}
		steps = append(steps, 10*math.Log10(sum/float64(group)))
	}
	if len(steps) < 4*steadyHalf {
		return src
	}
	room := math.Max(dsp.Quantile(slices.Clone(steps), roomShare), quietDB)
	local := make([]float64, len(steps))
	for i := range local {
		local[i] = dsp.Quantile(slices.Clone(steps[max(0, i-steadyHalf):min(len(steps), i+steadyHalf+1)]), steadyShare)
	}
	loud := slices.Max(local)
	lifts := make([]float64, len(steps))
	for i, v := range local {
		clear := math.Min(math.Max((v-room-overRoomDB)/(clearDB-overRoomDB), 0), 1)
		lifts[i] = clear * math.Min(math.Max(loud-evenDB-v, 0), mostLiftDB)
	}
	if slices.Max(lifts) == 0 {
		return src
	}
	s := steady{Source: src}
	for i := range lifts {
		near := lifts[max(0, i-steadyHalf/2):min(len(lifts), i+steadyHalf/2+1)]
		var sum float64
		for _, v := range near {
			sum += v
		}
		s.gains = append(s.gains, float32(math.Pow(10, sum/float64(len(near))/20)))
	}
	return s
}

func (s steady) Read(dst []float32, from int) error {
	if err := s.Source.Read(dst, from); err != nil {
		return err
	}
	step := steadyStep * float64(s.Rate())
	for i := range dst {
		x := math.Max(float64(from+i)/step-0.5, 0)
		k := min(int(x), len(s.gains)-1)
		next := min(k+1, len(s.gains)-1)
		dst[i] *= s.gains[k] + (s.gains[next]-s.gains[k])*float32(x-float64(k))
	}
	return nil
}
