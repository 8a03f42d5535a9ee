package crop

import (
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"

	"pgregory.net/rapid"
)

func largest(t rapid.TB, w, h int, s film.Shape) Window {
	t.Helper()
	win, err := Largest(w, h, s)
	if err != nil {
		t.Fatal(err)
	}
	return win
}

func TestLargest(t *testing.T) {
	for _, c := range []struct {
		w, h         int
		shape        film.Shape
		wantW, wantH int
	}{
		// The arithmetic of shapes: 1080·9/16 = 607.5, 1920/2.39 = 803.3, 1080·4/5 = 864.
		{1920, 1080, "9:16", 608, 1080},
		{1920, 1080, "2.39:1", 1920, 804},
		{1920, 1080, "4:5", 864, 1080},
		{1920, 1080, "1:1", 1080, 1080},
		{1920, 1080, "4:3", 1440, 1080},
		{3840, 2160, "9:16", 1216, 2160}, // 1215
		{3840, 2160, "2.39:1", 3840, 1606},
		{1080, 1920, "16:9", 1080, 608},
		{1080, 1920, "9:16", 1080, 1920},
		{1440, 1080, "16:9", 1440, 810},
		// Nothing is lost where the picture has the shape. 1920 x 1080 is 16:9
		// in [BT709].
		{1920, 1080, "16:9", 1920, 1080},
		{1366, 768, "16:9", 1366, 768}, // 1365.3, the usual laptop screen
		// The pixel arrays of digital cinema [ISDCF7], in 2K and 4K: flat
		// within the full container, and each in its own shape as written.
		{2048, 1080, "1.85:1", 1998, 1080},
		{4096, 2160, "1.85:1", 3996, 2160},
		{2048, 858, "2.39:1", 2048, 858},
		{4096, 1716, "2.39:1", 4096, 1716},
		{2048, 1080, "1.90:1", 2048, 1080},
		// Odd pictures lose the odd pixel.
		{1919, 1079, "16:9", 1916, 1078}, // 1916.4
		{1919, 1079, "1:1", 1078, 1078},
	} {
		if got := largest(t, c.w, c.h, c.shape); got.W != c.wantW || got.H != c.wantH {
			t.Errorf("%d x %d in %s: %d x %d, want %d x %d", c.w, c.h, c.shape, got.W, got.H, c.wantW, c.wantH)
		}
	}
}

func TestLargestRefuses(t *testing.T) {
	for _, s := range []film.Shape{"", "16", "16:", "a:b", "0:1", "-1:1", "1:-1", "NaN:1", "Inf:1", "100:1", "1:0"} {
		if _, err := Largest(1920, 1080, s); film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
			t.Errorf("%q: error %v, want one of usage with a hint", s, err)
		}
	}
	if _, err := Largest(16, 1080, "16:9"); film.CodeOf(err) != film.CodeUnreadable {
		t.Errorf("a tiny picture: error %v", err)
	}
}

func TestOutput(t *testing.T) {
	for _, c := range []struct {
		shape film.Shape
		w, h  int
	}{
		// Usual sizes of delivery (common practice).
		{"16:9", 1920, 1080},
		{"9:16", 1080, 1920},
		{"4:5", 1080, 1350},
		{"1:1", 1080, 1080},
		{"2.39:1", 1920, 804},
	} {
		w, h, err := Output(c.shape, 1920, 1080)
		if err != nil || w != c.w || h != c.h {
			t.Errorf("%s: %d x %d, %v, want %d x %d", c.shape, w, h, err, c.w, c.h)
		}
	}
}

func TestEnlarges(t *testing.T) {
	tall := largest(t, 1920, 1080, "9:16")
	times, warning := tall.Enlarges(1080, 1920)
	if math.Abs(times-1920.0/1080) > 0.002 || !strings.Contains(warning, "1.78 times") {
		t.Errorf("9:16 out of 1920 x 1080: %v, %q", times, warning)
	}
	if times, warning := largest(t, 3840, 2160, "9:16").Enlarges(1080, 1920); times >= 1 || warning != "" {
		t.Errorf("9:16 out of 3840 x 2160: %v, %q, want no warning", times, warning)
	}
	if times, warning := largest(t, 1920, 1080, "16:9").Enlarges(1920, 1080); times != 1 || warning != "" {
		t.Errorf("the same size: %v, %q", times, warning)
	}
	if lost := tall.Lost(); math.Abs(lost-(1-608.0/1920)) > 1e-12 {
		t.Errorf("9:16 loses %v", lost)
	}
}

// TestLargestIsLargest: within the picture, even, of the shape, and with room in
// one direction only.
func TestLargestIsLargest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pw, ph := rapid.IntRange(64, 8192).Draw(t, "pw"), rapid.IntRange(64, 8192).Draw(t, "ph")
		shape := rapid.SampledFrom([]film.Shape{"16:9", "9:16", "4:5", "1:1", "3:2", "21:9"}).Draw(t, "shape")
		w, err := Largest(pw, ph, shape)
		if err != nil {
			t.Fatal(err)
		}
		ratio, _ := Ratio(shape)
		if w.W > pw || w.H > ph || w.W%2 != 0 || w.H%2 != 0 || w.W < 2 || w.H < 2 {
			t.Fatalf("%+v", w)
		}
		full := w.H == evenBelow(ph) && math.Abs(float64(w.W)-float64(w.H)*ratio) <= 1+1e-9
		flat := w.W == evenBelow(pw) && math.Abs(float64(w.H)-float64(w.W)/ratio) <= 1+1e-9
		if !full && !flat {
			t.Fatalf("%+v is not the largest %s", w, shape)
		}
		if x, y := w.room(); x > 0 && y > 0 {
			t.Fatalf("%+v has room in both directions", w)
		}
	})
}
