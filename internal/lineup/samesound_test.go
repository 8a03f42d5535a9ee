package lineup

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/dsp"
)

// studio makes sounds in a room and what several devices take of them.
type studio struct{ *shoot }

// played is what sounds in the room during a pass: the loudspeaker, nil when
// there is none, and what is played live.
type played struct{ speaker, live []float32 }

// liveOnly plays the song once, from 3 s on.
func (s studio) liveOnly() played {
	sounds, _, end := perform(s.r, s.song, s.song.notes, []stretchPlan{{0, s.beats()}}, s.player(), 3)
	return played{live: render(s.r, sounds, end+2)}
}

// toPlayback plays to the record, which starts at 4 s; liveDB is the level of
// the guitar over the loudspeaker.
func (s studio) toPlayback(liveDB float64) played {
	const start = 4.0
	speaker := make([]float32, int((start+s.seconds+2)*rate))
	copy(speaker[int(start*rate):], loudspeaker(s.record))
	var sounds []sounded
	for id, n := range s.song.notes {
		if at, ok := s.when[id]; ok && n.voice == pluck {
			sounds = append(sounds, sounded{start + at + 0.015*s.r.NormFloat64(), 0.6, dsp.MIDIHz(float64(n.pitch)), 0.8 + 0.4*s.r.Float64(), pluck})
		}
	}
	live := render(s.r, sounds, float64(len(speaker))/rate)
	scaleTo(live, rms(speaker)*math.Pow(10, liveDB/20))
	return played{speaker, live}
}

// loudspeaker narrows and drives x.
func loudspeaker(x []float32) []float32 {
	out := make([]float32, len(x))
	var low, high float64
	for i, v := range x {
		low += 0.05 * (float64(v) - low)
		high += 0.8 * (float64(v) - low - high)
		out[i] = float32(math.Tanh(3*high) / 3)
	}
	return out
}

func rms(x []float32) float64 {
	var sum float64
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return math.Sqrt(sum / float64(max(1, len(x))))
}

func scaleTo(x []float32, level float64) {
	g := float32(level / math.Max(rms(x), 1e-12))
	for i := range x {
		x[i] *= g
	}
}

// take is what one device records of what is played: each source comes over its
// own way through the room; noise, level, then the device's own clock. It keeps
// [from, to) seconds of its clock, zeros before the sound.
func (s studio) take(p played, c camera, gain, from, to, ppm float64) []float32 {
	quiet := c
	quiet.snrDB = 200
	sum := make([]float32, max(len(p.speaker), len(p.live)))
	for _, x := range [][]float32{p.speaker, p.live} {
		if x == nil {
			continue
		}
		for i, v := range quiet.film(s.r, append([]float32(nil), x...)) {
			sum[i] += v
		}
	}
	dry := camera{snrDB: c.snrDB, narrow: c.narrow, gain: c.gain, hum: c.hum}
	sum = dry.film(s.r, sum)
	out := make([]float32, int((to-from)*rate))
	for i := range out {
		at := (from*rate + float64(i)) / (1 + ppm/1e6)
		if k := int(math.Floor(at)); k >= 1 && k < len(sum)-2 {
			out[i] = float32(gain * cubic(sum[k-1:k+3], at-float64(k)))
		}
	}
	return out
}

func sameSound(t *testing.T, a, b []float32) Match {
	t.Helper()
	m, err := SameSound(context.Background(), listen(t, a), listen(t, b))
	if err != nil {
		t.Fatal(err)
	}
	if m.Reason == "" {
		t.Error("no reason")
	}
	return m
}

// Two devices in different places of the room, at other levels and on clocks
// that part by 80 ppm; either begins first.
func TestSameSound(t *testing.T) {
	s := studio{newShoot(31, 2, sung, false, true)}
	far := camera{snrDB: 10, rt60: 0.5, directDB: 0, narrow: true, gain: true}
	near := camera{snrDB: 15, rt60: 0.35, directDB: 3}
	live, mimed := s.liveOnly(), s.toPlayback(0)
	for _, c := range []struct {
		name           string
		played         played
		snrDB          float64
		aFrom, bFrom   float64
		ppm, aTo, gain float64
	}{
		{"live", live, 10, 5, 0, 80, 0, 0.1},
		{"live, noisy", live, 5, 3, 0, -80, 0, 2},
		{"camera first", live, 10, 0, 6.3, 80, 0, 0.1},
		{"a short clip of it", live, 10, 14, 0, 33, 34, 0.3},
		{"to the loudspeaker", mimed, 10, 5, 0, -80, 0, 0.1},
		{"to the loudspeaker, 0 dB", mimed, 0, 0, 2, 80, 0, 0.1},
	} {
		t.Run(c.name, func(t *testing.T) {
			end := float64(len(c.played.live)) / rate
			if c.aTo == 0 {
				c.aTo = end
			}
			one, two := far, near
			one.snrDB, two.snrDB = c.snrDB, c.snrDB+5
			m := sameSound(t, s.take(c.played, one, 0.5, c.aFrom, c.aTo, 0), s.take(c.played, two, c.gain, c.bFrom, end, c.ppm))
			if !m.Same {
				t.Fatalf("not the same: %s", m.Reason)
			}
			// Source moment t is t-aFrom of the first and t*(1+ppm)-bFrom of the second.
			drift := 1 + c.ppm/1e6
			for _, at := range []float64{m.From, m.To} {
				want := (at+c.aFrom)*drift - c.bFrom
				// Four standard errors: one check in 16 000 fails by chance. The
				// device interpolates its samples, which costs some microseconds.
				if off := math.Abs(m.At(at) - want); off > 4*m.OffsetError+0.02e-3 || off > 1e-3 {
					t.Errorf("%.2f s is at %.6f s, want %.6f ± %.6f", at, m.At(at), want, m.OffsetError)
				}
			}
			if off := math.Abs(m.DriftPPM - c.ppm); off > 4*m.DriftError {
				t.Errorf("drift %.2f ± %.2f ppm, want %.2f", m.DriftPPM, m.DriftError, c.ppm)
			}
			from, to := math.Max(0, c.bFrom/drift-c.aFrom), math.Min(c.aTo-c.aFrom, end/drift-c.aFrom)
			if math.Abs(m.From-from) > 0.01 || math.Abs(m.To-to) > 0.01 {
				t.Errorf("both hold %.2f to %.2f s, want %.2f to %.2f", m.From, m.To, from, to)
			}
			if m.Share < 0.8 || m.Shared <= m.Second {
				t.Errorf("%.2f of the windows agree, shared %.2f, next best %.2f", m.Share, m.Shared, m.Second)
			}
		})
	}
}

func TestNotTheSameSound(t *testing.T) {
	s := studio{newShoot(32, 1, sung, false, true)}
	c := camera{snrDB: 20, rt60: 0.4, directDB: 3}
	one, two := s.liveOnly(), s.liveOnly()
	other := studio{newShoot(33, 1, sung, false, true)}.liveOnly()
	take := func(p played) []float32 { return s.take(p, c, 0.5, 0, float64(len(p.live))/rate, 0) }
	for name, b := range map[string][]float32{"another pass": take(two), "another song": take(other), "nothing": make([]float32, 20*rate), "no samples": nil} {
		if m := sameSound(t, take(one), b); m.Same {
			t.Errorf("%s: %+v", name, m)
		}
	}
}

// One recorder ran through two passes to the loudspeaker, in which the record is
// the same: each camera clip belongs to its own, and the other clip fits worse.
func TestTwoPassesToTheLoudspeakerInOneRecorderFile(t *testing.T) {
	far := camera{snrDB: 10, rt60: 0.5, directDB: 0, narrow: true, gain: true}
	near := camera{snrDB: 15, rt60: 0.35, directDB: 3}
	const liveDB = -6 // the louder the loudspeaker, the more alike the passes
	s := studio{newShoot(34, 1, sung, false, true)}
	passes := []played{s.toPlayback(liveDB), s.toPlayback(liveDB)}
	end := float64(len(passes[0].live)) / rate
	both := append(s.take(passes[0], near, 0.1, 0, end, 40), s.take(passes[1], near, 0.1, 0, end, 40)...)
	var clips [2][]float32
	for k, p := range passes {
		clips[k] = s.take(p, far, 0.5, 2, end, 0)
		m := sameSound(t, clips[k], both)
		if want := 2 + float64(k)*end; !m.Same || math.Abs(m.Offset-want) > 0.01 {
			t.Errorf("clip %d lies at %.2f s, want %.2f (shared %.3f, next best %.3f)", k, m.Offset, want, m.Shared, m.Second)
		}
	}
	// Only the first pass was recorded: both clips match, and the first more.
	first := both[:int(end*rate)]
	if right, wrong := sameSound(t, clips[0], first), sameSound(t, clips[1], first); right.Shared <= wrong.Shared {
		t.Errorf("the clip of the pass shares %.3f, the other clip %.3f", right.Shared, wrong.Shared)
	}
}

// Whatever is compared, the answer is a no or a finite line.
func TestSameSoundOfAnything(t *testing.T) {
	record := newPropertyDay().record
	rapid.Check(t, func(t *rapid.T) {
		x, err := Listen(context.Background(), dsp.Slice{Hz: rate, Samples: hostile(t)}, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, pair := range [][2]*Recording{{record, x}, {x, record}, {x, x}} {
			m, err := SameSound(context.Background(), pair[0], pair[1])
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range []float64{m.Offset, m.OffsetError, m.DriftPPM, m.DriftError, m.From, m.To, m.Share, m.Shared, m.Second} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%+v", m)
				}
			}
			if m.Reason == "" || m.Same && (m.From < 0 || m.To <= m.From || m.Share < 0 || m.Share > 1) {
				t.Fatalf("%+v", m)
			}
		}
	})
}

func TestARecordingIsTheSameSoundAsItself(t *testing.T) {
	sound := newPropertyDay().sound
	later := make([]float32, len(sound)+rate)
	for i, v := range sound {
		later[rate+i] = -3 * v
	}
	for _, c := range []struct {
		name   string
		other  []float32
		offset float64
	}{{"itself", sound, 0}, {"a second later, louder, other polarity", later, 1}} {
		// A tenth of a sample.
		if m := sameSound(t, sound, c.other); !m.Same || math.Abs(m.Offset-c.offset) > 5e-6 || math.Abs(m.DriftPPM) > 0.5 || m.Share < 0.95 {
			t.Errorf("%s: %+v", c.name, m)
		}
	}
}
