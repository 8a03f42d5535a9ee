package interchange

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

var (
	ntsc30 = film.Rate{Num: 30000, Den: 1001}
	ntsc60 = film.Rate{Num: 60000, Den: 1001}
	ntsc24 = film.Rate{Num: 24000, Den: 1001}
)

// TestTimecodeAgainstPublishedExamples holds both directions against the worked
// examples in the tests of the time module of [OTIO]; those of whole hours
// follow from the rule of [ST12], 107892 frames an hour.
func TestTimecodeAgainstPublishedExamples(t *testing.T) {
	for _, c := range []struct {
		frame film.Frames
		rate  film.Rate
		code  string
		plain string // without dropping
	}{
		{1799, ntsc30, "00:00:59;29", "00:00:59:29"},
		{1800, ntsc30, "00:01:00;02", "00:01:00:00"},
		{10789, ntsc30, "00:05:59;29", "00:05:59:19"},
		{10790, ntsc30, "00:06:00;02", "00:05:59:20"},
		{17981, ntsc30, "00:09:59;29", "00:09:59:11"},
		{17982, ntsc30, "00:10:00;00", "00:09:59:12"},
		{17983, ntsc30, "00:10:00;01", "00:09:59:13"},
		{107892, ntsc30, "01:00:00;00", "00:59:56:12"},
		{107957, ntsc30, "01:00:02;05", "00:59:58:17"},
		{1084319, ntsc30, "10:03:00;05", "10:02:23:29"},
		{1084319, ntsc60, "05:01:30;03", ""},
		{2589407, ntsc30, "23:59:59;29", ""},
		{35964, ntsc60, "00:10:00;00", ""},
		{215784, ntsc60, "01:00:00;00", ""},
		{0, film.Rate{Num: 25, Den: 1}, "00:00:00:00", "00:00:00:00"},
		{90000, film.Rate{Num: 25, Den: 1}, "01:00:00:00", "01:00:00:00"},
		{86399, ntsc24, "00:59:59:23", "00:59:59:23"},
	} {
		if got, err := Timecode(c.frame, c.rate); got != c.code || err != nil {
			t.Errorf("frame %d at %s is %q, %v, want %q", c.frame, c.rate, got, err, c.code)
		}
		for _, code := range []string{c.code, c.plain} {
			if code == "" {
				continue
			}
			if got, err := ParseTimecode(code, c.rate); got != c.frame || err != nil {
				t.Errorf("%q at %s is frame %d, %v, want %d", code, c.rate, got, err, c.frame)
			}
		}
	}
}

func TestTimecodeRefuses(t *testing.T) {
	pal := film.Rate{Num: 25, Den: 1}
	for _, c := range []struct {
		code string
		rate film.Rate
	}{
		{"01:00:13:24", film.Rate{Num: 24, Den: 1}}, // the frame field reaches the rate: an invalid input in the tests of [OTIO]
		{"01:00:13;23", film.Rate{Num: 24, Den: 1}}, // drop-frame at 24: likewise
		{"01:00:13;23", ntsc24},
		{"-01:00:13:23", pal},
		{"00:01:00;00", ntsc30},
		{"00:01:00;01", ntsc30},
		{"00:01:00;03", ntsc60},
		{"24:00:00:00", pal},
		{"00:60:00:00", pal},
		{"00:00:00", pal},
		{"", pal},
		{"00:00:00:00", film.Rate{}},
		{"00:00:00:00", film.Rate{Num: 25, Den: 2}},
	} {
		if got, err := ParseTimecode(c.code, c.rate); err == nil {
			t.Errorf("%q at %s was read as frame %d", c.code, c.rate, got)
		}
	}
	for _, f := range []film.Frames{-1, 24 * 90000} {
		if got, err := Timecode(f, pal); err == nil {
			t.Errorf("frame %d got %q", f, got)
		}
	}
}

// TestTimecodeByCounting counts as the standard says: number by number, leaving
// out those that are skipped.
func TestTimecodeByCounting(t *testing.T) {
	for _, r := range []film.Rate{ntsc30, ntsc60} {
		base := r.Num / 1000
		f := film.Frames(0)
		for minute := range int64(21) {
			for n := range 60 * base {
				if minute%10 != 0 && n < base/15 {
					continue
				}
				if n < 8 || n > 60*base-3 {
					got, err := Timecode(f, r)
					want := strings.Join([]string{"00", two(minute), two(n / base)}, ":") + ";" + two(n%base)
					if got != want || err != nil {
						t.Fatalf("frame %d at %s is %q, %v, want %q", f, r, got, err, want)
					}
				}
				f++
			}
		}
	}
}

func two(n int64) string { return string([]byte{byte('0' + n/10), byte('0' + n%10)}) }

func TestTimecodeComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom([]film.Rate{ntsc24, {Num: 24, Den: 1}, {Num: 25, Den: 1}, ntsc30, {Num: 30, Den: 1}, {Num: 50, Den: 1}, ntsc60, {Num: 60, Den: 1}}).Draw(t, "rate")
		f := film.Frames(rapid.Int64Range(0, 2_000_000).Draw(t, "frame"))
		code, err := Timecode(f, r)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := ParseTimecode(code, r); back != f || err != nil {
			t.Fatalf("frame %d is %q, which is frame %d, %v", f, code, back, err)
		}
	})
}
