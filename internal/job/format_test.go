package job

import (
	"testing"

	"takeweave/internal/film"
)

func TestUsualRate(t *testing.T) {
	// The exact rates are those of SMPTE ST 12-1; stills cameras and phones
	// write frame times that only come near them.
	for in, want := range map[film.Rate]film.Rate{
		{Num: 25, Den: 1}:          {Num: 25, Den: 1},
		{Num: 24000, Den: 1001}:    {Num: 24000, Den: 1001},
		{Num: 24, Den: 1}:          {Num: 24, Den: 1},
		{Num: 1000000, Den: 33333}: {Num: 30, Den: 1},
		{Num: 72000, Den: 2401}:    {Num: 30, Den: 1}, // 29.988: 0.012 from 30, 0.018 from 29.970
		{Num: 120, Den: 1}:         {Num: 60, Den: 1},
		{}:                         {Num: 25, Den: 1},
	} {
		if got := usualRate(in); got != want {
			t.Errorf("usualRate(%v) = %v, want %v", in, got, want)
		}
	}
}

func TestShapeOf(t *testing.T) {
	for want, size := range map[film.Shape][2]int{"16:9": {1920, 1080}, "9:16": {1080, 1920}, "2.39:1": {3840, 1606}, "1:1": {720, 720}, "4:5": {1080, 1350}, "4:3": {640, 480}, "2.00:1": {2000, 1000}} {
		if got := shapeOf(size[0], size[1]); got != want {
			t.Errorf("%v is %s, want %s", size, got, want)
		}
	}
}

func TestMostFootageDecides(t *testing.T) {
	a, b := film.Rate{Num: 25, Den: 1}, film.Rate{Num: 50, Den: 1}
	slower := func(x, y film.Rate) bool { return x.PerSecond() < y.PerSecond() }
	if got := most(map[film.Rate]float64{a: 10, b: 11}, slower); got != b {
		t.Errorf("got %v", got)
	}
	if got := most(map[film.Rate]float64{a: 10, b: 10}, slower); got != a {
		t.Errorf("a tie went to %v", got)
	}
	if got := most(map[film.Rate]float64{}, slower); got.Known() {
		t.Errorf("nothing gave %v", got)
	}
}

func TestParseSize(t *testing.T) {
	if w, h, err := parseSize("1921X1080"); w != 1920 || h != 1080 || err != nil {
		t.Errorf("got %d %d %v", w, h, err)
	}
	for _, bad := range []string{"", "1920", "0x0", "-4x4", "20000x20000", "big"} {
		if _, _, err := parseSize(bad); film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
			t.Errorf("%q gave %v", bad, err)
		}
	}
}
