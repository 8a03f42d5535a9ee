package checks

import (
	"fmt"
	"math"

	"takeweave/internal/captions"
	"takeweave/internal/film"
	"takeweave/internal/loudness"
)

// silent is the magnitude below which sound is silence: -60 dB of full scale.
// Source: common practice.
const silent = 1e-3

// Sound listens to the sound of a film.
type Sound struct {
	meter       *loudness.Meter
	rate        int
	channels    int
	samples     int64 // of each channel, so far
	first, last int64 // sample above silence; first is -1 before there is one
}

// NewSound returns a listener for sound of 1 or 2 channels at rateHz.
func NewSound(rateHz, channels int) (*Sound, error) {
	m, err := loudness.NewMeter(rateHz, channels)
	if err != nil {
		return nil, err
	}
	return &Sound{meter: m, rate: rateHz, channels: channels, first: -1}, nil
}

// Add takes samples of all channels in turn, full scale 1, a whole number of
// frames of them.
func (s *Sound) Add(samples []float32) {
	s.meter.Add(samples)
	for i, v := range samples {
		if v > silent || v < -silent {
			s.last = s.samples + int64(i/s.channels)
			if s.first < 0 {
				s.first = s.last
			}
		}
	}
	s.samples += int64(len(samples) / s.channels)
}

// Reading returns the loudness of what was heard.
func (s *Sound) Reading() loudness.Reading { return s.meter.Read() }

// paddingSeconds is what an encoder may add to the sound: two frames of AAC at
// 44.1 kHz.
const paddingSeconds = 2 * 1024.0 / 44100

// Report returns what was found in a film of frames at rate. A film without any
// sound is one finding.
func (s *Sound) Report(rate film.Rate, frames film.Frames, t loudness.Target, l Limits) Report {
	r := Report{Checked: []Kind{Length, StartSilence, EndSilence, Loudness, TruePeak}}
	tell := func(k Kind, fromS, toS, number, limit float64, words string) {
		first := frameAt(rate, fromS)
		r.Findings = append(r.Findings, Finding{k, first, max(first+1, rate.FramesToHold(film.SongTime(toS))), words, number, limit})
	}
	whole := float64(rate.FrameStart(frames))
	heard := float64(s.samples) / float64(s.rate)
	if d := heard - whole; math.Abs(d) > paddingSeconds+rate.FrameSeconds() {
		tell(Length, min(heard, whole), max(heard, whole), heard, whole, fmt.Sprintf("the sound lasts %.2f s, the picture %.2f s", heard, whole))
	}
	start, end := float64(s.first)/float64(s.rate), heard-float64(s.last+1)/float64(s.rate)
	if s.first < 0 {
		start, end = heard, 0
	}
	if start > l.StartSilenceS {
		tell(StartSilence, 0, start, start, l.StartSilenceS, fmt.Sprintf("%.1f s of silence at the start", start))
	}
	if end > l.EndSilenceS {
		tell(EndSilence, heard-end, heard, end, l.EndSilenceS, fmt.Sprintf("%.1f s of silence at the end", end))
	}
	reading := s.meter.Read()
	switch i := float64(reading.IntegratedLUFS); {
	case math.IsNaN(i) || math.IsInf(i, 0):
		tell(Loudness, 0, whole, t.LUFS, t.LUFS, "no sound loud enough to measure")
		r.Findings[len(r.Findings)-1].Number = 0
	case math.Abs(i-t.LUFS) > t.WithinLU:
		tell(Loudness, 0, whole, i, t.LUFS, fmt.Sprintf("%.1f LUFS; %s asks for %g", i, t.Name, t.LUFS))
	}
	for _, p := range s.meter.PeaksOver(t.MaxDBTP + peakTolerance) {
		tell(TruePeak, p.FromS, p.ToS, float64(p.DBTP), t.MaxDBTP, fmt.Sprintf("true peak %.1f dBTP; %s allows %g", float64(p.DBTP), t.Name, t.MaxDBTP))
	}
	return r
}

// peakTolerance is how far a true peak may be measured off, in dB. Source:
// [EBUR128].
const peakTolerance = 0.3

// frameAt returns the frame that is shown at a time.
func frameAt(rate film.Rate, seconds float64) film.Frames {
	return film.Frames(math.Floor(seconds*rate.PerSecond() + 1e-6))
}

// OfCaptions returns what is wrong with captions. seen is what they must not
// hide; nil when that is not known, which the report says.
func OfCaptions(c []captions.Caption, rate film.Rate, l captions.Limits, seen []captions.Seen) Report {
	r := Report{Checked: []Kind{Captions}}
	if seen == nil {
		r.NotChecked = append(r.NotChecked, Unchecked{Captions, "where mouths and hands are is not known, so captions may hide them"})
	}
	for _, p := range captions.Check(c, rate, l, seen) {
		at := c[p.Caption]
		r.Findings = append(r.Findings, Finding{Captions, at.First, max(at.End, at.First+1), fmt.Sprintf("caption %d %s", p.Caption+1, p.Words), p.Number, p.Limit})
	}
	return r
}
