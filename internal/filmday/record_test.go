package filmday

import (
	"math"
	"testing"
)

func TestRecordsAreWhatWasAsked(t *testing.T) {
	s := NewSong(chance(1), SongOptions{Seconds: 24, Key: 45, Meter: Meter{Quarters: 4}, BPM: 100})
	plain := RecordOptions{Click: true, Habits: Habits{Tempo: 1, Memory: 0.5}, LeadIn: 2}
	record := func(change func(*RecordOptions)) *Record {
		o := plain
		change(&o)
		return NewRecord(chance(2), s, o)
	}
	alone := record(func(*RecordOptions) {})
	if got, want := alone.beat.at(8)-alone.beat.at(4), 4*0.6; math.Abs(got-want) > 1e-9 {
		t.Errorf("a bar to a click lasts %v s, want %v", got, want)
	}
	x := alone.Sound.Samples
	if before := rms(x[:Rate*18/10]); !(before <= 1e-3) { // a consonant may come before the first note
		t.Errorf("something before the music: %v", before)
	}
	if got, want := loudDB(x), -16.0; math.Abs(got-want) > 1 { // peaks lose a little
		t.Errorf("mixed to %.1f dB, want %.0f", got, want)
	}
	for name, change := range map[string]func(*RecordOptions){
		"drums": func(o *RecordOptions) { o.Drums = true }, "bass": func(o *RecordOptions) { o.Bass = true }, "pad": func(o *RecordOptions) { o.Pad = true },
		"second": func(o *RecordOptions) { o.Second = true }, "double": func(o *RecordOptions) { o.Double = true },
	} {
		band := record(change)
		if len(band.Meant) != len(alone.Meant) {
			t.Errorf("%s: %d notes may be played live, alone %d", name, len(band.Meant), len(alone.Meant))
		}
		for i, n := range band.Meant {
			if !n.Part.Filmed() || n.At != alone.Meant[i].At {
				t.Fatalf("%s: note %d is %+v, alone %+v", name, i, n, alone.Meant[i])
			}
		}
		off := make([]float32, len(x))
		for i := range off {
			off[i] = band.Sound.Samples[i] - x[i]
		}
		if loudDB(off) < -40 {
			t.Errorf("%s are not heard", name)
		}
	}
	faded := record(func(o *RecordOptions) { o.FadeOut = 6 }).Sound.Samples
	if end := rms(faded[len(faded)-Rate*2:]) / rms(x[len(x)-Rate*2:]); !(end <= 0.3) {
		t.Errorf("two seconds before the end %.2f is left of the sound", end)
	}
	peak := func(x []float32) float64 {
		worst := 0.0
		for _, v := range x {
			worst = math.Max(worst, math.Abs(float64(v)))
		}
		return 20 * math.Log10(worst)
	}
	pressed := record(func(o *RecordOptions) { o.CompressDB, o.LimitDB = 9, 6 }).Sound.Samples
	if a, b := peak(pressed)-loudDB(pressed), peak(x)-loudDB(x); a > b-2 {
		t.Errorf("peaks stand out by %.1f dB when compressed and limited, else by %.1f", a, b)
	}
}
