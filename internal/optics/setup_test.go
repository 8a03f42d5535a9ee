package optics

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"takeweave/internal/crop"
	"takeweave/internal/film"
)

// uhd is a full-width 16:9 part of full frame, recorded in 3840 x 2160.
func uhd(focal, stop, distance float64) Setup {
	return Setup{
		Sensor: Sensor{36, 20.25}, PixelsW: 3840, PixelsH: 2160,
		FocalMM: focal, Stop: stop, DistanceM: distance, HeightM: 1.2, AimM: 1.2,
	}
}

func TestTooTightForTheWideCrop(t *testing.T) {
	// Common practice, a worked example: 40 mm at 2.2 m, 0.80 m from the top of
	// the head to the foot of the guitar, 2.39:1 with 6 % of air above and below.
	fit, err := uhd(40, 2, 2.2).Fit("2.39:1", 0, 0.80, Usual())
	if err != nil {
		t.Fatal(err)
	}
	const want = "frame 1.98 × 1.11 m, kept 0.83 m, you need 0.91 m: step back to 2.41 m or use 36 mm"
	if got := fit.String(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if fit, _ := uhd(35, 2, 2.2).Fit("2.39:1", 0, 0.80, Usual()); !fit.OK() || !strings.HasSuffix(fit.String(), ": fits") {
		t.Errorf("35 mm: %v", fit)
	}
	// Metres to step back: needed height of the whole frame times f / 20.25.
	near(t, "step back", fit.StepBackM, 0.80/0.88*2.39*9/16*40/20.25, 1e-9)
}

func TestFitAcross(t *testing.T) {
	// In 9:16 from 16:9 the width is short: 1.98 x 81/256 = 0.626 m of 1 m.
	limits := Usual()
	limits.AirShare = 0
	fit, err := uhd(40, 2, 2.2).Fit("9:16", 1, 0.8, limits)
	if err != nil || fit.OK() {
		t.Fatal(fit, err)
	}
	near(t, "kept", fit.KeptWidthM, 1.98*81/256, 1e-9)
	if got := fit.String(); !strings.Contains(got, "kept 0.63 m across, you need 1.00 m") {
		t.Error(got)
	}
	// At the distance it names it just fits.
	back := uhd(40, 2, fit.StepBackM*(1+1e-12))
	if again, _ := back.Fit("9:16", 1, 0.8, limits); !again.OK() {
		t.Errorf("%v", again)
	}
	limits.AirShare = 0.5
	if _, err := back.Fit("9:16", 1, 0.8, limits); film.CodeOf(err) != film.CodeUsage {
		t.Errorf("half the frame above and below: %v", err)
	}
	if _, err := back.Fit("wide", 1, 0.8, Usual()); err == nil {
		t.Error("a shape in words is taken")
	}
}

func TestFrameIsTheThinLens(t *testing.T) {
	// Counted from the front focal point, distance x sensor / focal length is the
	// thin lens's field at distance + focal length, exactly.
	s := uhd(50, 2, 1.95)
	width, height := s.FrameM()
	near(t, "width", width, 1.4040, 1e-9) // the row of 50 mm at 2.000 m
	near(t, "height", height, 0.78975, 1e-9)
	w, h := s.fieldM(0)
	near(t, "field in focus", w, width, 1e-12)
	near(t, "field in focus", h, height, 1e-12)
}

func TestKeeps(t *testing.T) {
	// Worked out, centred, from 3840 x 2160: size, share of the area, and what is
	// lost at either side in pixels.
	for _, c := range []struct {
		shape            film.Shape
		w, h, area, lost float64
	}{
		{"2.39:1", 3840, 1606.69, 0.7438, 276.65},
		{"2.35:1", 3840, 1634.04, 0.7565, 262.98},
		{"1.85:1", 3840, 2075.68, 0.9610, 42.16},
		{"1:1", 2160, 2160, 0.5625, 840},
		{"4:5", 1728, 2160, 0.4500, 1056},
		{"9:16", 1215, 2160, 0.3164, 1312.5},
	} {
		k, err := uhd(40, 2, 2.2).Keeps(c.shape, crop.Centre, 1920, 1080, Usual())
		if err != nil {
			t.Fatal(err)
		}
		near(t, string(c.shape), k.PixelsW, c.w, 0.006)
		near(t, string(c.shape), k.PixelsH, c.h, 0.006)
		near(t, "area", k.Box.W*k.Box.H, c.area, 0.00006)
		near(t, "lost", max(k.Box.X*3840, k.Box.Y*2160), c.lost, 0.006)
		if k.Warning != "" {
			t.Errorf("%s of UHD for HD: %s", c.shape, k.Warning)
		}
	}
	hd := uhd(40, 2, 2.2)
	hd.PixelsW, hd.PixelsH = 1920, 1080
	for shape, want := range map[film.Shape]float64{"2.39:1": 803.35, "4:5": 864, "9:16": 607.5} {
		k, _ := hd.Keeps(shape, crop.Centre, 1920, 1080, Usual())
		near(t, string(shape)+" of HD", min(k.PixelsH, k.PixelsW), want, 0.006)
	}
	// 608 pixels of HD are blown up 1.78 times: warn. 2.39:1 of HD is delivered in
	// even lines, which is no enlargement.
	k, _ := hd.Keeps("9:16", crop.Centre, 1920, 1080, Usual())
	near(t, "enlarged", k.Enlarged, 1.78, 0.005)
	if !strings.Contains(k.Warning, "1.78") {
		t.Errorf("warning %q", k.Warning)
	}
	if k, _ := hd.Keeps("2.39:1", crop.Centre, 1920, 1080, Usual()); k.Warning != "" {
		t.Error(k.Warning)
	}
	if _, err := hd.Keeps("tall", crop.Centre, 1920, 1080, Usual()); err == nil {
		t.Error("a shape in words is taken")
	}
	// A crop that should stand beyond the picture's edge stands at it.
	k, _ = hd.Keeps("1:1", crop.Point{X: 0.05, Y: 0.5}, 1920, 1080, Usual())
	near(t, "at the edge", k.Box.X, 0, 0)
}

func TestCoreAndHeadroom(t *testing.T) {
	var kept []Kept
	for _, shape := range []film.Shape{"16:9", "2.39:1", "9:16"} {
		k, err := uhd(40, 2, 2.2).Keeps(shape, crop.Centre, 1920, 1080, Usual())
		if err != nil {
			t.Fatal(err)
		}
		kept = append(kept, k)
	}
	core := Core(kept)
	near(t, "width", core.W, 81.0/256, 1e-9)
	near(t, "height", core.H, 16.0/9/2.39, 1e-9)
	near(t, "kept of the height", core.H, 0.744, 0.0005) // 74.4 %, 12.8 % lost at top and bottom
	near(t, "lost at the top", core.Y, 0.12808, 0.000006)
	// (q - m) / (1 - 2m): a head 20 % below the top of 16:9.
	near(t, "headroom", kept[1].Headroom(0.20), (0.20-0.12808)/(1-2*0.12808), 0.00002)
	if kept[1].Headroom(0.10) >= 0 {
		t.Error("a head in the lost strip is not cut")
	}
	if Core(nil) != whole {
		t.Error("without shapes the core is not the whole picture")
	}
	apart := []Kept{{Box: Box{0, 0, 0.3, 1}}, {Box: Box{0.6, 0, 0.3, 1}}}
	if c := Core(apart); c.W != 0 {
		t.Errorf("shapes that share nothing have a core of %v", c)
	}
}

func TestCircle(t *testing.T) {
	// Common practice: 0.019 mm for UHD on 36 mm.
	near(t, "UHD", uhd(40, 2, 2).CircleMM(3840, Usual()), 0.019, 0.0005)
	near(t, "HD", uhd(40, 2, 2).CircleMM(1920, Usual()), 0.0375, 1e-9)
}

func TestDepthAgainstSway(t *testing.T) {
	// Common practice, by rule of thumb: 75 mm, f/2, 1.9 m is 48 mm sharp in all; a
	// sway of 50 mm to either side wants f/4, 96 mm. The exact depth is within a
	// twentieth of the rule, and the exact stop a tenth of a stop from f/4.
	s := uhd(75, 2, 1.9)
	d := s.Depth(3840, Usual())
	near(t, "total", 1000*(d.FarM-d.NearM), 48, 0.05*48)
	if d.Holds || d.Reason != "sharp 50 mm at f/2, sway ±50 mm: needs f/4" {
		t.Errorf("%+v", d)
	}
	near(t, "from f/4", Stops(4, d.StopNeeded), 0, 0.1)
	s.Stop = 4
	d = s.Depth(3840, Usual())
	near(t, "total", 1000*(d.FarM-d.NearM), 96, 0.05*96)
	if !d.Holds {
		t.Errorf("f/4: %+v", d)
	}
	s.Stop = 3.5
	if d := s.Depth(3840, Usual()); d.Holds {
		t.Errorf("f/3.5: %+v", d)
	}
	s = uhd(16, 8, 3)
	if d := s.Depth(1920, Usual()); !d.Endless || d.FarM != 0 || !d.Holds || !strings.Contains(d.Reason, "endless") {
		t.Errorf("16 mm at f/8: %+v", d)
	}
	limits := Usual()
	limits.SwayM = 5
	if d := s.Depth(1920, limits); d.Holds || d.StopNeeded != 0 {
		t.Errorf("a sway into the lens: %+v", d)
	}
}

func TestFocuses(t *testing.T) {
	// 100 mm, 1 m from the front focal point: 1.1 m from the principal plane,
	// image at 110 mm, so 1.21 m from the sensor.
	s := uhd(100, 4, 1)
	s.NearestM = 1.2
	ok, from := s.Focuses()
	near(t, "from the sensor", from, 1.21, 1e-9)
	if !ok {
		t.Error("cannot be focused")
	}
	s.NearestM = 1.25
	if ok, _ := s.Focuses(); ok {
		t.Error("focuses nearer than the lens can")
	}
}

func TestCheck(t *testing.T) {
	if err := uhd(40, 2, 2).Check(); err != nil {
		t.Error(err)
	}
	for name, s := range map[string]Setup{
		"no lens": uhd(0, 2, 2), "no stop": uhd(40, 0, 2), "no distance": uhd(40, 2, 0), "not a number": uhd(40, 2, math.NaN()),
		"no picture":    {Sensor: Sensor{36, 24}, PixelsW: 1920, FocalMM: 40, Stop: 2, DistanceM: 2},
		"a flat sensor": {Sensor: Sensor{36, 0}, PixelsW: 1920, PixelsH: 1080, FocalMM: 40, Stop: 2, DistanceM: 2},
		"no sensor":     {PixelsW: 1920, PixelsH: 1080, FocalMM: 40, Stop: 2, DistanceM: 2},
	} {
		var e *film.Error
		if err := s.Check(); !errors.As(err, &e) || e.Hint == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestEveryLimitHasItsDefault(t *testing.T) {
	l := Usual()
	if fields := reflect.TypeOf(l).NumField(); len(Defaults) != fields || len(l.fields()) != fields {
		t.Fatalf("%d limits, %d defaults", fields, len(Defaults))
	}
	if l.CirclePx != 2 || l.SizeRatio != 1.5 || l.AxisDeg != 30 || l.AcrossS != 7 || l.SwayM != 0.05 || l.FigureM != 1.75 {
		t.Errorf("%+v: limits and defaults are in different orders", l)
	}
	for _, d := range Defaults {
		if d.Name == "" || d.Source == "" || d.From == "" {
			t.Errorf("%+v does not say where it comes from", d)
		}
	}
}
