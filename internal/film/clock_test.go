package film

import (
	"encoding/json"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestParseRate(t *testing.T) {
	for in, want := range map[string]Rate{
		"25": {25, 1}, "25/1": {25, 1}, "50/2": {25, 1}, "30000/1001": {30000, 1001},
		"23.976": {24000, 1001}, "23.98": {24000, 1001}, "29.97": {30000, 1001}, "59.94": {60000, 1001}, "24": {24, 1}, "12.5": {25, 2},
	} {
		if got, err := ParseRate(in); got != want || err != nil {
			t.Errorf("ParseRate(%q) = %v, %v, want %v", in, got, err, want)
		}
	}
	for _, bad := range []string{"", "0", "-25", "25/0", "x", "NaN", "Inf", "1/2/3"} {
		if got, err := ParseRate(bad); err == nil {
			t.Errorf("ParseRate(%q) = %v, want an error", bad, got)
		}
	}
}

func TestFramesAgainstPublishedCounts(t *testing.T) {
	// Frame counts of whole hours and minutes without drop-frame numbering
	// follow from the exact rates of SMPTE ST 12-1: an hour of 29.97 non-drop
	// code, 108000 frames, lasts 3603.6 s; 17982 frames are ten minutes to 0.6 ms.
	ntsc := Rate{30000, 1001}
	if got := float64(ntsc.FrameStart(108000)); math.Abs(got-3603.6) > 1e-9 {
		t.Errorf("108000 frames last %v s", got)
	}
	if got := float64(ntsc.FrameStart(17982)); math.Abs(got-600) > 0.001 {
		t.Errorf("17982 frames last %v s", got)
	}
	// A worked example: 120 beats a minute at 24 fps, the beat at 2 s is frame 48.
	if got := (Rate{24, 1}).NearestFrame(2); got != 48 {
		t.Errorf("the beat at 2 s is frame %d", got)
	}
}

func TestRatesAndFramesHoldTogether(t *testing.T) {
	rates := []Rate{{24000, 1001}, {24, 1}, {25, 1}, {30000, 1001}, {50, 1}, {60000, 1001}}
	rapid.Check(t, func(t *rapid.T) {
		r := rates[rapid.IntRange(0, len(rates)-1).Draw(t, "rate")]
		f := Frames(rapid.Int64Range(0, 1_000_000).Draw(t, "frame"))
		if got := r.NearestFrame(r.FrameStart(f)); got != f {
			t.Fatalf("frame %d starts at %v, whose nearest frame is %d", f, r.FrameStart(f), got)
		}
		if got := r.FramesToHold(r.FrameStart(f)); got != f {
			t.Fatalf("%d frames hold %d", f, got)
		}
		if got := r.FramesToHold(r.FrameStart(f) + 0.001); got != f+1 {
			t.Fatalf("%d frames and a millisecond hold %d", f, got)
		}
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var back Rate
		if err := json.Unmarshal(b, &back); err != nil || back != r {
			t.Fatalf("%s read back as %v, %v", b, back, err)
		}
	})
}
