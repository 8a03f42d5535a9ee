package schedule

import (
	"math"
	"testing"
)

// Decimal arithmetic: gigabytes a minute and an hour, and the minutes on cards of
// 64, 128 and 256 GB, at common rates.
func TestRecordingRates(t *testing.T) {
	for _, c := range []struct {
		megabits, perMinute, perHour float64
		minutes                      [3]float64
	}{
		{50, 0.375, 22.5, [3]float64{170.7, 341.3, 682.7}},
		{100, 0.750, 45, [3]float64{85.3, 170.7, 341.3}},
		{150, 1.125, 67.5, [3]float64{56.9, 113.8, 227.6}},
		{200, 1.500, 90, [3]float64{42.7, 85.3, 170.7}},
		{240, 1.800, 108, [3]float64{35.6, 71.1, 142.2}},
		{400, 3.000, 180, [3]float64{21.3, 42.7, 85.3}},
		{600, 4.500, 270, [3]float64{14.2, 28.4, 56.9}},
	} {
		near(t, "GB a minute", GB(c.megabits, 60), c.perMinute, 1e-12)
		near(t, "GB an hour", GB(c.megabits, 3600), c.perHour, 1e-12)
		for i, card := range []float64{64, 128, 256} {
			near(t, "minutes on a card", card/GB(c.megabits, 60), c.minutes[i], 0.051) // given to a tenth
		}
	}
	near(t, "GiB an hour at 100 Mbit/s", GB(100, 3600)*1e9/(1<<30), 41.910, 0.0005)
	near(t, "20 passes of 4 min at 100 Mbit/s", 20*GB(100, 240), 60, 1e-9)
	near(t, "copying them at 90 MB/s", CopyMin(60, 90), 11.1, 0.05)
}

// The worked example of the trade: 252 s of song at 150 Mbit/s, 18 passes.
func TestCardsOfADay(t *testing.T) {
	l := Usual()
	near(t, "GB of a pass", l.PassGB(150, 252), 5.3, 0.05)
	near(t, "GB of 18 passes", 18*l.PassGB(150, 252), 95, 0.5)
	near(t, "one read at 90 MB/s", CopyMin(95, 90), 18, 0.5)
	near(t, "with verifying, in the 40 minutes planned", 2*CopyMin(95, 90), 36, 1)
	// 64 GB less 10 % is 57.6 GB, 10 times 5.2875 is 52.9, 11 times is 58.2.
	if got := l.PassesOnCard(64, 0, 150, 252); got != 10 {
		t.Errorf("%d passes on an empty card", got)
	}
	if got := l.PassesOnCard(64, 57.6-2*5.2875, 150, 252); got != 2 {
		t.Errorf("%d passes on a card with room for 2", got)
	}
	if got := l.PassesOnCard(64, 64, 150, 252); got != 0 {
		t.Errorf("%d passes on a full card", got)
	}
	if got := l.CardsToPack(18, 64, 150, 252); got != 4 {
		t.Errorf("%d cards, want twice the 2 needed", got)
	}
	if got := l.CardsToPack(1, 4, 150, 252); got != 0 {
		t.Errorf("%d cards too small for a pass", got)
	}
}

// V30, V60 and V90 sustain 240, 480 and 720 Mbit/s. Source: [SDSpeed].
func TestSpeedClass(t *testing.T) {
	for megabits, want := range map[float64]int{40: 6, 100: 30, 240: 30, 241: 60, 480: 60, 600: 90, 720: 90, 721: 0} {
		if got := SpeedClass(megabits); got != want {
			t.Errorf("%v Mbit/s: V%d, want V%d", megabits, got, want)
		}
	}
}

// 98 Wh at 60 W last 98 x 0.85 / 60 = 1.4 h: 13 passes of 372 s.
func TestBatteries(t *testing.T) {
	l := Usual()
	near(t, "hours of 98 Wh at 60 W", l.BatteryH(98, 60), 1.4, 0.05)
	if got := l.BatteryPasses(98, 60, 252); got != 13 {
		t.Errorf("%d passes", got)
	}
	if got := l.BatteriesToPack(2.8, 98, 60); got != 4 { // 4.2 h / 1.388 h
		t.Errorf("%d batteries for 2.8 h with half again in reserve", got)
	}
}

// A song of 4:12, five hours of filming, two rounds, a second shape.
func TestHoursOfAJob(t *testing.T) {
	hours, quoted := UsualRates().Hours(Job{SongS: 252, FilmH: 5, Rounds: 2, Shapes: 2})
	near(t, "hours", hours, 3+1+5+14.7+3+1.5+3, 1e-9)
	near(t, "hours", hours, 31.2, 1e-9)
	near(t, "quoted", quoted, 37.4, 0.05)
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}
