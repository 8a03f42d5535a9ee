package light

import (
	"math"
	"testing"

	"takeweave/internal/film"
)

// near compares a computed with a stated value. Tolerances in the tables are half
// of the last digit that the source states, unless they say otherwise.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if got != want && !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.7g, want %.7g within %g", what, got, want, tolerance)
	}
}

// TestMeter: relations of [ISO2720] as a public encyclopedia quotes them
// ("Exposure value"), cells computed from them.
func TestMeterISO2720(t *testing.T) {
	for ev, want := range map[float64]struct{ lux, luminance float64 }{
		-2: {0.625, 0.03125}, -1: {1.25, 0.0625}, 0: {2.5, 0.125}, 1: {5, 0.25}, 2: {10, 0.5}, 3: {20, 1},
		4: {40, 2}, 5: {80, 4}, 6: {160, 8}, 7: {320, 16}, 8: {640, 32}, 9: {1280, 64},
		10: {2560, 128}, 11: {5120, 256}, 12: {10240, 512}, 13: {20480, 1024}, 14: {40960, 2048}, 15: {81920, 4096},
	} {
		e := Exposure{Stop: 1, Seconds: math.Exp2(-ev), ISO: 100}
		near(t, "lux", e.Lux(250), want.lux, 1e-9*want.lux)
		near(t, "cd/m²", e.Luminance(12.5), want.luminance, 1e-9*want.luminance)
	}
	// A cinematographer's note on meters prints .157.
	near(t, "grey that agrees", AgreeingReflectance(12.5, 250), 0.157, 0.0005)
	near(t, "grey that agrees", AgreeingReflectance(12.5, 250), 0.1571, 0.00005)
	near(t, "with a dome", AgreeingReflectance(12.5, 340), 0.1155, 0.00005)
	near(t, "dome of 340", StopsOf(340.0/250), 0.444, 0.0005)
	near(t, "dome of 320", StopsOf(320.0/250), 0.356, 0.0005)
	// EV_S = EV_100 + log2(S/100).
	e := Exposure{Stop: 2.8, Seconds: 1.0 / 50, ISO: 800}
	near(t, "EV at ISO 800", e.EV(), e.EV100()+3, 1e-12)
	e.NDStops = 2
	near(t, "behind a filter of two stops", e.Lux(250), 4*122.5, 1e-9)
}

// TestLuxWanted: E = C N² / (t S) worked out by hand; 1 fc is 10.7639 lux.
func TestLuxWanted(t *testing.T) {
	near(t, "foot-candle", LuxPerFootCandle, 10.7639, 0.00005)
	for _, c := range []struct{ stop, per, iso, flat, dome, footCandles float64 }{
		{2.8, 50, 100, 980.0, 1332.8, 91.05},
		{2.8, 50, 800, 122.5, 166.6, 11.38},
		{2.8, 48, 800, 117.6, 159.9, 10.93},
		{4, 50, 400, 500.0, 680.0, 46.45},
		{2, 50, 640, 78.1, 106.3, 7.26},
		{5.6, 50, 1600, 245.0, 333.2, 22.76},
	} {
		e := Exposure{Stop: c.stop, Seconds: 1 / c.per, ISO: c.iso}
		near(t, "flat receptor", e.Lux(250), c.flat, 0.0501)
		near(t, "dome", e.Lux(340), c.dome, 0.0501)
		near(t, "foot-candles", e.Lux(250)/LuxPerFootCandle, c.footCandles, 0.00503) // 980 lx are 91.04498 fc
	}
	// The plan's worked example: f/2, 1/50 s, ISO 800.
	near(t, "worked example", Exposure{Stop: 2, Seconds: 1.0 / 50, ISO: 800}.Lux(250), 62.5, 1e-9)
	for _, c := range []struct{ stop, per, ev float64 }{{2.8, 50, 8.6147}, {4, 50, 9.6439}, {16, 125, 14.9658}} {
		near(t, "EV", Exposure{Stop: c.stop, Seconds: 1 / c.per, ISO: 100}.EV(), c.ev, 0.00005)
	}
}

// TestChainFromModelToStop: a usual 300 W lamp behind a reflector, 2.5 m away,
// through 1.5 stops, worked out by hand.
func TestChainFromModelToStop(t *testing.T) {
	at1 := Usual().Supposed(300, 55, 0.8)
	near(t, "lux at 1 m", at1, 33806, 0.5)
	there := At(at1, 1, 0, 2.5) * Times(-1.5)
	near(t, "lux there", there, 1912.4, 0.05)
	near(t, "stop", Exposure{Stop: 2, Seconds: 1.0 / 50, ISO: 800}.StopFor(there, 250), 11.06, 0.005)
}

// TestShutterAngles: t = angle / (360 fps).
func TestShutterAngles(t *testing.T) {
	for _, c := range []struct {
		rate     film.Rate
		deg, per float64
	}{
		{film.Rate{Num: 24, Den: 1}, 180, 48},
		{film.Rate{Num: 24000, Den: 1001}, 180, 47.952},
		{film.Rate{Num: 25, Den: 1}, 180, 50},
		{film.Rate{Num: 30000, Den: 1001}, 180, 59.940},
		{film.Rate{Num: 30, Den: 1}, 180, 60},
		{film.Rate{Num: 50, Den: 1}, 180, 100},
		{film.Rate{Num: 60, Den: 1}, 180, 120},
		{film.Rate{Num: 24, Den: 1}, 172.8, 50},
		{film.Rate{Num: 24, Den: 1}, 144, 60},
		{film.Rate{Num: 24, Den: 1}, 90, 96},
		{film.Rate{Num: 24, Den: 1}, 45, 192},
		{film.Rate{Num: 24, Den: 1}, 360, 24},
	} {
		near(t, "1/s", 1/ShutterSeconds(c.deg, c.rate), c.per, 0.0005)
		near(t, "degrees", ShutterDeg(1/c.per, c.rate), c.deg, 0.003) // 0.0005 of 47.952
	}
	r := film.Rate{Num: 25, Den: 1}
	near(t, "half the angle", StopsOf(ShutterSeconds(90, r)/ShutterSeconds(180, r)), -1, 1e-12)
}

// TestISOSteps: thirds of a stop as cameras show them (common practice).
func TestISOSteps(t *testing.T) {
	for iso, want := range map[float64]float64{450: 500, 440: 400, 1000: 1000, 970: 1000, 6400: 6400, 12900: 12500, 112: 125, 90: 100} {
		near(t, "ISO", ISOStep(iso), want, 1e-9)
	}
}

// TestStops: ratios, transmissions and densities by their definitions.
func TestStops(t *testing.T) {
	for ratio, want := range map[float64]float64{
		1.5: 0.585, 2: 1, 3: 1.585, 4: 2, 5: 2.322, 8: 3, 16: 4,
		0.90: -0.152, 0.85: -0.234, 0.80: -0.322, 0.71: -0.494, 0.60: -0.737, 0.50: -1,
		0.36: -1.474, 0.25: -2, 0.18: -2.474, 0.125: -3,
	} {
		near(t, "stops", StopsOf(ratio), want, 0.00051)
		near(t, "back", Times(StopsOf(ratio)), ratio, 1e-12)
	}
	for _, c := range []struct{ factor, stops, density float64 }{
		{2, 1, 0.301}, {4, 2, 0.602}, {8, 3, 0.903}, {16, 4, 1.204}, {32, 5, 1.505}, {64, 6, 1.806}, {1024, 10, 3.010},
	} {
		near(t, "ND in stops", StopsOf(c.factor), c.stops, 1e-12)
		near(t, "ND as a density", DensityOf(c.stops), c.density, 0.0005)
	}
	near(t, "density 0.3", StopsOfDensity(0.3), 0.9966, 0.00005)
}
