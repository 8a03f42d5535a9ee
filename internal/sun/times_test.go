package sun

import (
	"fmt"
	"math"
	"testing"
)

// usno are rises and sets from yearly tables of the US Naval Observatory [USNO],
// in the tables' own clock, "0000" where the sun is always "up" or "down". The
// tables give whole minutes.
var usno = []struct {
	name          string
	place         Place
	zone          float64
	year, mon, on int
	rise, set     string
}{
	{"San Francisco", Place{37 + 46.0/60, -122 - 26.0/60}, -480, 2012, 1, 1, "0725", "1701"},
	{"San Francisco", Place{37 + 46.0/60, -122 - 26.0/60}, -480, 2012, 3, 20, "0612", "1822"},
	{"San Francisco", Place{37 + 46.0/60, -122 - 26.0/60}, -480, 2012, 6, 21, "0448", "1935"},
	{"San Francisco", Place{37 + 46.0/60, -122 - 26.0/60}, -480, 2012, 9, 22, "0558", "1806"},
	{"Fredonia", Place{36 + 57.0/60, -112 - 31.0/60}, -420, 2023, 1, 1, "0743", "1724"},
	{"Fredonia", Place{36 + 57.0/60, -112 - 31.0/60}, -420, 2023, 4, 15, "0556", "1905"},
	{"Fredonia", Place{36 + 57.0/60, -112 - 31.0/60}, -420, 2023, 7, 4, "0516", "1953"},
	{"Fredonia", Place{36 + 57.0/60, -112 - 31.0/60}, -420, 2023, 10, 15, "0638", "1754"},
	{"60 north", Place{60, 0}, 0, 2019, 1, 1, "0902", "1505"},
	{"60 north", Place{60, 0}, 0, 2019, 3, 21, "0600", "1816"},
	{"60 north", Place{60, 0}, 0, 2019, 6, 21, "0236", "2128"},
	{"60 north", Place{60, 0}, 0, 2019, 9, 23, "0546", "1758"},
	{"60 north", Place{60, 0}, 0, 2019, 12, 22, "0902", "1455"},
	{"60 south", Place{-60, -150}, 0, 2019, 1, 1, "1243", "0724"},
	{"60 south", Place{-60, -150}, 0, 2019, 3, 20, "1600", "0416"},
	{"60 south", Place{-60, -150}, 0, 2019, 6, 21, "1906", "0058"},
	{"60 south", Place{-60, -150}, 0, 2019, 9, 10, "1624", "0329"},
	{"Florida", Place{29, -81}, 0, 2019, 3, 21, "1127", "2336"},
	{"Florida", Place{29, -81}, 0, 2019, 6, 1, "1026", "0018"},
	{"Florida", Place{29, -81}, 0, 2019, 12, 21, "1213", "2231"},
	{"Anchorage", Place{61 + 13.0/60, -149 - 52.0/60}, 0, 2020, 1, 15, "1857", "0119"},
	{"Anchorage", Place{61 + 13.0/60, -149 - 52.0/60}, 0, 2020, 6, 15, "1221", "0740"},
	{"Anchorage", Place{61 + 13.0/60, -149 - 52.0/60}, 0, 2020, 10, 5, "1618", "0319"},
	{"Auckland", Place{-36 - 50.0/60, 174.8}, 0, 2020, 1, 15, "1718", "0742"},
	{"Auckland", Place{-36 - 50.0/60, 174.8}, 0, 2020, 4, 15, "1847", "0555"},
	{"Auckland", Place{-36 - 50.0/60, 174.8}, 0, 2020, 6, 25, "1934", "0513"},
	{"Auckland", Place{-36 - 50.0/60, 174.8}, 0, 2020, 10, 5, "1749", "0628"},
	{"Brasilia", Place{-15.8, -47.85}, 0, 2020, 1, 5, "0846", "2148"},
	{"Brasilia", Place{-15.8, -47.85}, 0, 2020, 7, 15, "0939", "2056"},
	{"Brasilia", Place{-15.8, -47.85}, 0, 2020, 11, 15, "0830", "2122"},
	{"Singapore", Place{1 + 17.0/60, 103 + 50.0/60}, 0, 2020, 2, 15, "2317", "1121"},
	{"Singapore", Place{1 + 17.0/60, 103 + 50.0/60}, 0, 2020, 5, 25, "2256", "1107"},
	{"Singapore", Place{1 + 17.0/60, 103 + 50.0/60}, 0, 2020, 11, 5, "2246", "1050"},
	{"Longyearbyen", Place{78 + 13.0/60, 15 + 38.0/60}, 0, 2020, 3, 15, "0527", "1649"},
	{"Longyearbyen", Place{78 + 13.0/60, 15 + 38.0/60}, 0, 2020, 6, 25, "up", "up"},
	{"Longyearbyen", Place{78 + 13.0/60, 15 + 38.0/60}, 0, 2020, 9, 25, "0453", "1642"},
	{"Longyearbyen", Place{78 + 13.0/60, 15 + 38.0/60}, 0, 2020, 12, 15, "down", "down"},
}

// ephemeris are rises, noons and sets in seconds of the day, UTC: the first by
// the report of [SPA2004] (table A5.2 for latitude -35; they have the values of
// the Astronomical Almanac), the others from a JPL ephemeris, as open test data
// of a solar position library hold them.
var ephemeris = []struct {
	name            string
	place           Place
	year, mon, on   int
	rise, noon, set string
}{
	{"35 south", Place{-35, 0}, 2004, 12, 4, "04:38:57", "", "19:02:03"},
	{"Golden", Place{39.742476, -105.1786}, 2003, 10, 17, "13:12:44", "18:46:05", "00:20:18"},
	{"Vienna", Place{48.21, 16.37}, 2024, 3, 20, "04:56:48", "11:01:50", "17:07:47"},
	{"Auckland", Place{-36.84, 174.74}, 2024, 12, 21, "16:58:49", "00:19:05", "07:39:51"},
	{"the equator", Place{0, 179.9}, 2020, 6, 10, "17:56:23", "", "06:03:31"},
}

// events returns what happens between midnight and midnight of the clock, of
// whichever solar day it is: places far from their clock's meridian rise on one
// day of the clock and set on the next.
func events(d Day) (rise, noon, set []Minute) {
	for shift := -1; shift <= 1; shift++ {
		near := d
		near.Day += shift // the calendar formula runs on over a month's ends
		times := near.Times()
		keep := func(m Minute, in []Minute) []Minute {
			if m += Minute(1440 * shift); m >= 0 && m < 1440 {
				return append(in, m)
			}
			return in
		}
		noon = keep(times.Noon, noon)
		if times.Always == "" {
			rise, set = keep(times.Rise, rise), keep(times.Set, set)
		}
	}
	return rise, noon, set
}

// nearest returns by how many minutes the nearest of several misses a time.
func nearest(of []Minute, want float64) float64 {
	best := math.Inf(1)
	for _, m := range of {
		best = math.Min(best, math.Abs(math.Remainder(float64(m)-want, 1440)))
	}
	return best
}

func TestRiseAndSetOfTheObservatory(t *testing.T) {
	// A table in whole minutes is half a minute off at most; the rest of the
	// minute is ours.
	const tolerance = 1.0
	worst := 0.0
	for _, c := range usno {
		d := Day{c.year, c.mon, c.on, c.zone, c.place}
		if got := d.Times().Always; string(got) == c.rise {
			continue
		} else if c.rise == "up" || c.rise == "down" {
			t.Errorf("%s %d-%d: always %q, want %s", c.name, c.mon, c.on, got, c.rise)
			continue
		}
		rise, _, set := events(d)
		for _, e := range []struct {
			what string
			got  []Minute
			want string
		}{{"rise", rise, c.rise}, {"set", set, c.set}} {
			var h, m int
			if _, err := fmt.Sscanf(e.want, "%02d%02d", &h, &m); err != nil {
				t.Fatal(err)
			}
			off := nearest(e.got, float64(60*h+m))
			worst = math.Max(worst, off)
			if off > tolerance {
				t.Errorf("%s %d-%02d-%02d: %s %v, the table has %s", c.name, c.year, c.mon, c.on, e.what, e.got, e.want)
			}
		}
	}
	t.Logf("worst of %d days: %.2f minutes", len(usno), worst)
}

func TestRiseNoonAndSetOfEphemerides(t *testing.T) {
	// 0.01 degree of longitude is 2.4 seconds of noon; where the sun rises
	// slantingly it is more.
	const tolerance = 6.0 / 60
	for _, c := range ephemeris {
		rise, noon, set := events(Day{c.year, c.mon, c.on, 0, c.place})
		for _, e := range []struct {
			what string
			got  []Minute
			want string
		}{{"rise", rise, c.rise}, {"noon", noon, c.noon}, {"set", set, c.set}} {
			if e.want == "" {
				continue
			}
			var h, m, s float64
			if _, err := fmt.Sscanf(e.want, "%f:%f:%f", &h, &m, &s); err != nil {
				t.Fatal(err)
			}
			if off := nearest(e.got, 60*h+m+s/60); off > tolerance {
				t.Errorf("%s: %s misses %s by %.1f s", c.name, e.what, e.want, 60*off)
			}
		}
	}
}

func TestTheMidnightSunEnds(t *testing.T) {
	// Source: the same ephemeris. At Longyearbyen in 2020 the sun set on 25 August
	// at 21:45:08 UTC and did not rise that day; on 16 April it rose at 00:19:45,
	// set at 21:54:55 and rose again at 23:56:57.
	// It goes down so flatly that 0.01 degree is most of a minute.
	const tolerance = 1.5
	on := func(month, day int) Times { return Day{2020, month, day, 0, Place{78.216667, 15.633333}}.Times() }
	for _, c := range []struct {
		what string
		got  Minute
		want float64
	}{
		{"set of 25 August", on(8, 25).Set, 21*60 + 45 + 8.0/60},
		{"rise of 16 April", on(4, 16).Rise, 19 + 45.0/60},
		{"set of 16 April", on(4, 16).Set, 21*60 + 54 + 55.0/60},
		{"rise of 17 April", on(4, 17).Rise, -(3 + 3.0/60)},
	} {
		if math.Abs(float64(c.got)-c.want) > tolerance {
			t.Errorf("%s: %v", c.what, c.got)
		}
	}
	// The day before the first set it was up all day; on the first, from midnight on.
	if on(8, 23).Always != AlwaysUp {
		t.Errorf("23 August: %+v", on(8, 23))
	}
	if first := on(8, 24); first.Always != "" || first.Noon-first.Rise != 720 || first.Set >= first.Noon+720 {
		t.Errorf("24 August: %+v", first)
	}
}

func TestTheDayIsMirroredAboutItsNoon(t *testing.T) {
	// At the equator of March the sun is up for 12 hours and the little that
	// refraction and its radius add: 2 x 50 minutes of arc, 4 minutes a degree.
	d := Day{2026, 3, 20, 0, Place{0, 0}}
	times := d.Times()
	if long := float64(times.Set - times.Rise); math.Abs(long-(720+2*4*50.0/60)) > 0.2 {
		t.Errorf("up for %.2f minutes", long)
	}
	if at := d.At(times.Noon); math.Abs(at.ElevationDeg-90) > 0.3 {
		t.Errorf("stands %.2f degrees high at noon", at.ElevationDeg)
	}
}

func TestMinuteInWords(t *testing.T) {
	for m, want := range map[Minute]string{
		850: "14:10", 0: "00:00", 1439.4: "23:59", 1439.6: "00:00 the day after", -20: "23:40 the day before", 59.5: "01:00",
	} {
		if got := m.String(); got != want {
			t.Errorf("%g: %q, want %q", float64(m), got, want)
		}
	}
}

func TestCheck(t *testing.T) {
	good := Day{2024, 2, 29, 60, Place{53, 10}}
	for _, d := range []Day{good, {2000, 2, 29, 0, Place{90, 180}}, {2100, 12, 31, -960, Place{-90, -180}}} {
		if err := d.Check(); err != nil {
			t.Error(err)
		}
	}
	for name, spoil := range map[string]func(*Day){
		"no leap year":          func(d *Day) { d.Year = 2023 },
		"no leap century":       func(d *Day) { d.Year = 2100 },
		"month":                 func(d *Day) { d.Month = 13 },
		"no month":              func(d *Day) { d.Month = 0 },
		"after the theory":      func(d *Day) { d.Year = 2101 },
		"before the theory":     func(d *Day) { d.Year = 1899 },
		"beyond the pole":       func(d *Day) { d.Place.LatitudeDeg = 91 },
		"latitude is no number": func(d *Day) { d.Place.LatitudeDeg = math.NaN() },
		"zone in seconds":       func(d *Day) { d.ZoneMin = 3600 },
	} {
		d := good
		spoil(&d)
		if d.Check() == nil {
			t.Errorf("%s: %+v is taken", name, d)
		}
	}
}
