package agree

import (
	"context"
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

// A pass that was played along to the loudspeaker holds the record itself, which
// always agrees. What is played live is what remains when the record, as the
// loudspeaker, the room and the camera change it, is taken off.
const (
	echoBefore  = 0.01 // seconds that a response reaches before the sound
	echoAfter   = 0.4  // and after it
	gainSeconds = 0.25 // a camera's automatic gain is followed this finely
	aroundPass  = 1.0  // seconds on both sides of the segment
)

// under is what is heard under the loudspeaker along a segment.
type under struct {
	live    *lineup.Recording
	segment film.Segment // with the live sound's own clock for the pass
	levelDB float64      // of its notes over those of the loudspeaker
}

// hearUnder takes the loudspeaker off along a segment, which is straight.
func hearUnder(ctx context.Context, record, pass *lineup.Recording, seg *film.Segment) (*under, error) {
	hz := float64(pass.Sound().Rate())
	from, to := seg.Knots[0], seg.Knots[len(seg.Knots)-1]
	first := max(0, int((float64(from.Pass)-aroundPass)*hz))
	n := min(pass.Sound().Len(), int((float64(to.Pass)+aroundPass)*hz)) - first
	heard := make([]float32, max(0, n))
	if err := pass.Sound().Read(heard, first); err != nil {
		return nil, err
	}
	slope := float64(to.Song-from.Song) / float64(to.Pass-from.Pass)
	at := float64(from.Song) + (float64(first)/hz-float64(from.Pass))*slope
	played, err := dsp.Resampled(record.Sound(), at*hz, slope, len(heard))
	if err != nil {
		return nil, err
	}
	speaker, live, err := apart(ctx, heard, played, hz)
	if err != nil {
		return nil, err
	}
	u := &under{segment: film.Segment{ErrorMS: seg.ErrorMS}}
	if u.levelDB, err = levelOver(ctx, speaker, live, int(hz)); err != nil {
		return nil, err
	}
	takeLeak(speaker, live)
	if u.live, err = lineup.Listen(ctx, dsp.Slice{Hz: int(hz), Samples: live}, nil); err != nil {
		return nil, err
	}
	for _, k := range seg.Knots {
		k.Pass -= film.PassTime(float64(first) / hz)
		u.segment.Knots = append(u.segment.Knots, k)
	}
	return u, nil
}

// apart splits what is heard into the loudspeaker, which plays what is played,
// and all else. The response is found twice: at first roughly, then with the
// camera's gain taken off.
func apart(ctx context.Context, heard, played []float32, hz float64) (speaker, rest []float32, err error) {
	before, after := int(echoBefore*hz), int(echoAfter*hz)
	const frame = 1 << 15 // samples: how far apart windows lie
	h, err := dsp.FindResponse(ctx, heard, played, before, after, 2*frame)
	if err != nil {
		return nil, nil, err
	}
	gain := gains(heard, h.Through(played), int(gainSeconds*hz))
	rest = make([]float32, len(heard))
	for i, v := range heard {
		rest[i] = v / gain[i]
	}
	if h, err = dsp.FindResponse(ctx, rest, played, before, after, frame); err != nil {
		return nil, nil, err
	}
	speaker = h.Through(played)
	for i, v := range heard {
		speaker[i] *= gain[i]
		rest[i] = v - speaker[i]
	}
	return speaker, rest, nil
}

// gains returns by how much y is turned up in x, sample by sample.
func gains(x, y []float32, width int) []float32 {
	const (
		most   = 4.0  // 12 dB either way
		steady = 0.05 // of the usual power, which holds the gain where y is soft
	)
	n := len(x)/width + 3
	xy, yy := make([]float64, n), make([]float64, n)
	var usual float64
	for i, v := range y {
		k := 1 + (i+width/2)/width
		xy[k] += float64(x[i]) * float64(v)
		yy[k] += float64(v) * float64(v)
		usual += float64(v) * float64(v) / float64(n)
	}
	hold := steady*usual + 1e-20
	at := make([]float64, n-1)
	for k := 1; k < n-1; k++ {
		a, b := xy[k]+(xy[k-1]+xy[k+1])/2, yy[k]+(yy[k-1]+yy[k+1])/2
		at[k-1] = math.Min(most, math.Max(1/most, (a+hold)/(b+hold)))
	}
	at[n-2] = at[n-3]
	out := make([]float32, len(x))
	for i := range out {
		place := float64(i) / float64(width)
		k := int(place)
		out[i] = float32(at[k] + (place-float64(k))*(at[k+1]-at[k]))
	}
	return out
}
