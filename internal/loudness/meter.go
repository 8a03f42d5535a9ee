package loudness

import (
	"encoding/json"
	"fmt"
	"math"
)

// Level is a level or a difference of levels in the decibel-like unit that its
// name tells. Minus infinity is silence; NaN is "too short to tell". JSON has
// neither: both become null.
type Level float64

// MarshalJSON writes a number, or null where there is none.
func (l Level) MarshalJSON() ([]byte, error) {
	if math.IsInf(float64(l), 0) || math.IsNaN(float64(l)) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(l))
}

// UnmarshalJSON reads what MarshalJSON writes; null gives NaN.
func (l *Level) UnmarshalJSON(b []byte) error {
	v := math.NaN()
	if string(b) != "null" {
		if err := json.Unmarshal(b, &v); err != nil {
			return err
		}
	}
	*l = Level(v)
	return nil
}

// Steps and windows, in steps of 10 ms.
const (
	stepsPerSecond = 100
	hopSteps       = 10  // between gating blocks, and between values for the range: 0.1 s
	momentarySteps = 40  // 0.4 s, [TECH3341] section 2.2; also the gating block of [BS1770]
	shortSteps     = 300 // 3 s, [TECH3341] section 2.2
)

// zeroLUFS is added to the power in decibels, so that a full-scale sine of
// 997 Hz in one front channel reads -3.01. Source: [BS1770], Annex 1, equation 2.
const zeroLUFS = -0.691

// surround is the weight of the channels beside and behind the listener.
// Source: [BS1770], Annex 1, table 3.
const surround = 1.41

// channelWeights, by number of channels. Five are left, right, centre, left and
// right surround; six have the low-frequency channel, which is not measured, in
// fourth place.
var channelWeights = map[int][]float64{
	1: {1},
	2: {1, 1},
	5: {1, 1, 1, surround, surround},
	6: {1, 1, 1, 0, surround, surround},
}

// Meter measures one programme. The zero Meter is not usable: see NewMeter.
type Meter struct {
	rate     int64
	channels []channel
	samples  int64 // per channel, so far
	stepEnd  int64 // sample that ends the open step

	power float64 // summed over the open step
	peak  float64 // of the open step

	recent [shortSteps]float64 // power of the last steps, summed, by step number modulo
	steps  int64               // complete ones
	blocks []float64           // mean power of every gating block
	shorts []float64           // mean power of 3 s, every 0.1 s
	peaks  []float32           // true peak of every step

	loudest, loudestShort    float64 // mean powers
	loudestAt, loudestAtFrom int64   // steps at which the windows end
}

type channel struct {
	weight      float64
	first, last biquad
	peak        peakMeter
}

// NewMeter returns a meter for sound of 1, 2, 5 or 6 channels at rateHz samples a
// second, from 8000 up. Five channels are in the order L, R, C, Ls, Rs; six have
// the LFE in fourth place.
func NewMeter(rateHz, channels int) (*Meter, error) {
	weights, ok := channelWeights[channels]
	if !ok || rateHz < 8000 {
		return nil, fmt.Errorf("loudness: %d channels at %d Hz are not measured: 1, 2, 5 or 6 from 8000 Hz are", channels, rateHz)
	}
	m := &Meter{rate: int64(rateHz), stepEnd: int64(rateHz) / stepsPerSecond}
	for _, w := range weights {
		m.channels = append(m.channels, channel{w, shelf(float64(rateHz)), highPass(float64(rateHz)), peakMeter{between: rateHz < enoughHz}})
	}
	return m, nil
}

// Add takes samples of all channels in turn, full scale 1. Their number must be a
// multiple of the number of channels, or Add panics. samples is only read.
func (m *Meter) Add(samples []float32) {
	n := len(m.channels)
	if len(samples)%n != 0 {
		panic("loudness: the samples end within a frame of all channels")
	}
	for len(samples) > 0 {
		part := min(int(m.stepEnd-m.samples)*n, len(samples))
		for c := range m.channels {
			m.channels[c].add(m, samples[c:part])
		}
		samples = samples[part:]
		m.samples += int64(part / n)
		if m.samples == m.stepEnd {
			m.endStep()
		}
	}
}

// add takes a channel's samples, the first and every len(m.channels)-th after it.
func (c *channel) add(m *Meter, samples []float32) {
	var power float64
	peak := m.peak
	for i := 0; i < len(samples); i += len(m.channels) {
		x := float64(samples[i])
		y := c.last.next(c.first.next(x))
		power += y * y
		peak = max(peak, c.peak.next(x))
	}
	m.power += c.weight * power
	m.peak = peak
}

// stepStart is the sample at which a step begins. Steps have no whole number of
// samples at every rate.
func (m *Meter) stepStart(step int64) int64 { return step * m.rate / stepsPerSecond }

func (m *Meter) endStep() {
	m.recent[m.steps%shortSteps] = m.power
	m.peaks = append(m.peaks, float32(m.peak))
	m.steps++
	m.power, m.peak = 0, 0
	m.stepEnd = m.stepStart(m.steps + 1)
	for i := range m.channels {
		m.channels[i].first.settle()
		m.channels[i].last.settle()
	}
	if m.steps >= momentarySteps {
		p := m.mean(momentarySteps)
		if p > m.loudest {
			m.loudest, m.loudestAt = p, m.steps
		}
		if m.steps%hopSteps == 0 {
			m.blocks = append(m.blocks, p)
		}
	}
	if m.steps >= shortSteps {
		p := m.mean(shortSteps)
		if p > m.loudestShort {
			m.loudestShort, m.loudestAtFrom = p, m.steps
		}
		if m.steps%hopSteps == 0 {
			m.shorts = append(m.shorts, p)
		}
	}
}

// mean returns the mean power of the last steps; there must be that many.
func (m *Meter) mean(steps int64) float64 {
	var sum float64
	for k := m.steps - steps; k < m.steps; k++ {
		sum += m.recent[k%shortSteps]
	}
	return sum / float64(m.stepStart(m.steps)-m.stepStart(m.steps-steps))
}

// Momentary returns the loudness of the last 0.4 s in LUFS, NaN before that.
func (m *Meter) Momentary() Level { return m.now(momentarySteps) }

// ShortTerm returns the loudness of the last 3 s in LUFS, NaN before that.
func (m *Meter) ShortTerm() Level { return m.now(shortSteps) }

func (m *Meter) now(steps int64) Level {
	if m.steps < steps {
		return Level(math.NaN())
	}
	return lufs(m.mean(steps))
}

func lufs(power float64) Level { return Level(zeroLUFS + 10*math.Log10(power)) }

func dB(magnitude float64) Level { return Level(20 * math.Log10(magnitude)) }

// Reading is what a programme measured. Places are in seconds from its start.
type Reading struct {
	Seconds float64 `json:"seconds"`
	// IntegratedLUFS is NaN below 0.4 s of sound, minus infinity when nothing
	// passes the gate.
	IntegratedLUFS Level `json:"integrated_lufs"`
	// RangeLU is the loudness range, NaN below 3 s of sound or when nothing
	// passes its gate.
	RangeLU Level `json:"range_lu"`
	// The loudest 0.4 s and 3 s, and where they begin; NaN when shorter.
	MomentaryMaxLUFS Level   `json:"momentary_max_lufs"`
	MomentaryMaxAtS  float64 `json:"momentary_max_at_s"`
	ShortTermMaxLUFS Level   `json:"short_term_max_lufs"`
	ShortTermMaxAtS  float64 `json:"short_term_max_at_s"`
	TruePeakDBTP     Level   `json:"true_peak_dbtp"`
	TruePeakAtS      float64 `json:"true_peak_at_s"` // within 10 ms
}

// Read returns what was measured so far. The meter can go on after it.
func (m *Meter) Read() Reading {
	tooShort := Level(math.NaN())
	r := Reading{
		Seconds: float64(m.samples) / float64(m.rate), IntegratedLUFS: Integrated(m.blocks), RangeLU: Range(m.shorts),
		MomentaryMaxLUFS: tooShort, ShortTermMaxLUFS: tooShort,
	}
	if m.steps >= momentarySteps {
		r.MomentaryMaxLUFS = lufs(m.loudest)
		r.MomentaryMaxAtS = seconds(max(0, m.loudestAt-momentarySteps))
	}
	if m.steps >= shortSteps {
		r.ShortTermMaxLUFS = lufs(m.loudestShort)
		r.ShortTermMaxAtS = seconds(max(0, m.loudestAtFrom-shortSteps))
	}
	highest, at := m.openPeak(), m.steps
	for i, p := range m.peaks {
		if float64(p) > highest {
			highest, at = float64(p), int64(i)
		}
	}
	r.TruePeakDBTP, r.TruePeakAtS = dB(highest), seconds(at)
	return r
}

func seconds(step int64) float64 { return float64(step) / stepsPerSecond }

// openPeak is the peak of the step that is not complete, with what still hangs in
// the filters.
func (m *Meter) openPeak() float64 {
	highest := m.peak
	for _, c := range m.channels {
		p := c.peak // a copy: the meter may go on
		for range taps {
			highest = max(highest, p.next(0))
		}
	}
	return highest
}

// Peak is a stretch in which true peaks lie above a limit, in seconds, within
// 10 ms.
type Peak struct {
	FromS float64 `json:"from_s"`
	ToS   float64 `json:"to_s"`
	DBTP  Level   `json:"dbtp"` // the highest in it
}

// apartSteps keep two stretches of peaks apart: closer ones are told as one.
const apartSteps = 25

// PeaksOver returns where true peaks above a limit lie, in order.
func (m *Meter) PeaksOver(limitDBTP float64) []Peak {
	limit := math.Pow(10, limitDBTP/20)
	var out []Peak
	last := int64(math.MinInt32)
	for i, p := range append(m.peaks[:len(m.peaks):len(m.peaks)], float32(m.openPeak())) {
		if float64(p) <= limit {
			continue
		}
		step := int64(i)
		if step-last > apartSteps {
			out = append(out, Peak{FromS: seconds(step), DBTP: Level(math.Inf(-1))})
		}
		o := &out[len(out)-1]
		o.ToS, o.DBTP = seconds(step+1), max(o.DBTP, dB(float64(p)))
		last = step
	}
	return out
}
