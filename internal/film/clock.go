package film

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// SongTime is a place in the record, in seconds since its first sample.
type SongTime float64

// PassTime is a place in a pass, in seconds on the clip's own clock; 0 is the
// container's start time.
type PassTime float64

// Frames counts film frames. Frame 0 begins at SongTime 0.
type Frames int64

// SongSpan is the half-open stretch [From, To) of the record.
type SongSpan struct {
	From SongTime `json:"from"`
	To   SongTime `json:"to"`
}

// Len returns the length of the span in seconds.
func (s SongSpan) Len() float64 { return float64(s.To - s.From) }

// Holds reports whether t lies in [From, To).
func (s SongSpan) Holds(t SongTime) bool { return t >= s.From && t < s.To }

// Overlap returns the common part of two spans in seconds, at least 0.
func (s SongSpan) Overlap(o SongSpan) float64 {
	return math.Max(0, math.Min(float64(s.To), float64(o.To))-math.Max(float64(s.From), float64(o.From)))
}

// Rate is a frame rate as a fraction of frames per second, for example
// 30000/1001. The zero Rate means "not known".
type Rate struct {
	Num, Den int64
}

// ParseRate reads "25", "25/1", "30000/1001" or "29.97". The usual decimal
// short forms 23.976 (or 23.98), 29.97, 47.95, 59.94 and 119.88 mean the exact
// n·1000/1001 rates. Source: SMPTE ST 12-1 for the rates themselves.
func ParseRate(s string) (Rate, error) {
	num, den, isFraction := strings.Cut(strings.TrimSpace(s), "/")
	if isFraction {
		n, err1 := strconv.ParseInt(num, 10, 64)
		d, err2 := strconv.ParseInt(den, 10, 64)
		if err1 != nil || err2 != nil || n <= 0 || d <= 0 {
			return Rate{}, fmt.Errorf("%q is not a frame rate", s)
		}
		return Rate{n, d}.reduced(), nil
	}
	v, err := strconv.ParseFloat(num, 64)
	if err != nil || !(v > 0) || v > 1e6 {
		return Rate{}, fmt.Errorf("%q is not a frame rate", s)
	}
	if near := math.Round(v); math.Abs(v-near) < 1e-9 {
		return Rate{int64(near), 1}, nil
	}
	for _, n := range []int64{24, 30, 48, 60, 120} {
		if math.Abs(v-float64(n)*1000/1001) < 0.006 {
			return Rate{n * 1000, 1001}, nil
		}
	}
	return Rate{int64(math.Round(v * 1000)), 1000}.reduced(), nil
}

func (r Rate) reduced() Rate {
	a, b := r.Num, r.Den
	for b != 0 {
		a, b = b, a%b
	}
	if a > 1 {
		return Rate{r.Num / a, r.Den / a}
	}
	return r
}

// Known reports whether the rate is set.
func (r Rate) Known() bool { return r.Num > 0 && r.Den > 0 }

// PerSecond returns frames per second.
func (r Rate) PerSecond() float64 { return float64(r.Num) / float64(r.Den) }

// FrameSeconds returns how long one frame lasts, in seconds.
func (r Rate) FrameSeconds() float64 { return float64(r.Den) / float64(r.Num) }

// String returns the rate as a fraction, "25/1".
func (r Rate) String() string { return fmt.Sprintf("%d/%d", r.Num, r.Den) }

// MarshalJSON writes the rate as "25/1".
func (r Rate) MarshalJSON() ([]byte, error) { return json.Marshal(r.String()) }

// UnmarshalJSON reads what MarshalJSON writes; "0/0" and "" give the zero Rate.
func (r *Rate) UnmarshalJSON(b []byte) error {
	var s string
	if err := json.Unmarshal(b, &s); err != nil {
		return err
	}
	if s == "" || s == "0/0" {
		*r = Rate{}
		return nil
	}
	v, err := ParseRate(s)
	*r = v
	return err
}

// FrameStart returns the song time at which film frame f begins.
func (r Rate) FrameStart(f Frames) SongTime {
	return SongTime(float64(f) * float64(r.Den) / float64(r.Num))
}

// NearestFrame returns the frame whose start is nearest to t; halves go up.
func (r Rate) NearestFrame(t SongTime) Frames {
	return Frames(math.Floor(float64(t)*float64(r.Num)/float64(r.Den) + 0.5))
}

// FramesToHold returns the smallest number of frames that last at least d
// seconds. A microsecond of rounding in d is forgiven.
func (r Rate) FramesToHold(d SongTime) Frames {
	return Frames(math.Ceil(float64(d)*float64(r.Num)/float64(r.Den) - 1e-6*r.PerSecond()))
}
