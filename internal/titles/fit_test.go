package titles

import (
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"pgregory.net/rapid"

	"takeweave/internal/film"
)

func TestFit(t *testing.T) {
	s := style{medium, 100, 50, 2}
	r, err := s.weight.ruler()
	if err != nil {
		t.Fatal(err)
	}
	whole := r.width("Slow Ferry Home")
	for _, c := range []struct {
		name  string
		width float64
		rows  string
		size  float64
	}{
		{"room to spare", 101 * whole, "Slow Ferry Home", 100},
		{"a little narrow", 80 * whole, "Slow Ferry Home", 80},
		{"narrow", 60 * whole, "Slow Ferry|Home", 60 * whole / r.width("Slow Ferry")},
	} {
		f, err := s.fit("Slow  Ferry Home", c.width)
		if got := strings.Join(f.rows, "|"); err != nil || got != c.rows || math.Abs(f.size-c.size) > 1e-6 {
			t.Errorf("%s: %q in %g (%v), want %q in %g", c.name, got, f.size, err, c.rows, c.size)
		}
		for _, row := range f.rows {
			if w := f.size * r.width(row); w > c.width+1e-6 {
				t.Errorf("%s: %q is %g wide, and there are %g", c.name, row, w, c.width)
			}
		}
	}
}

func TestWhatDoesNotFitIsNamed(t *testing.T) {
	s := style{medium, 100, 50, 2}
	for _, c := range []struct {
		name, text, words string
	}{
		{"a long word", "The Nordatlanterhavskystfergetidtabell Song", `"Nordatlanterhavskystfergetidtabell"`},
		{"many words", "one two three four five six seven eight nine ten eleven twelve", `"eleven twelve"`},
		{"another script", "静かな船", "静"},
		{"a mark of its own", "Jo\u0308rn", "U+0308"},
		{"no text", "\xff", "not text"},
	} {
		_, err := s.fit(c.text, 600)
		if err == nil || !strings.Contains(err.Error(), c.words) || film.HintOf(err) == "" {
			t.Errorf("%s: %v, want one that names %s", c.name, err, c.words)
		}
	}
}

// The obvious twin tries every way to break words into at most n rows.
func TestEvenIsTheBestWay(t *testing.T) {
	r, err := weight(regular).ruler()
	if err != nil {
		t.Fatal(err)
	}
	var best func(words []string, n int) float64
	best = func(words []string, n int) float64 {
		least := r.width(strings.Join(words, " "))
		for i := 1; n > 1 && i < len(words); i++ {
			least = min(least, max(r.width(strings.Join(words[:i], " ")), best(words[i:], n-1)))
		}
		return least
	}
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching("[a-zåéž]{1,9}"), 1, 7).Draw(t, "words")
		n := rapid.IntRange(1, 4).Draw(t, "rows")
		rows, widest := r.even(words, n)
		if strings.Join(rows, " ") != strings.Join(words, " ") || len(rows) > n {
			t.Fatalf("%q became %q", words, rows)
		}
		// even stops within a hundredth of the type size.
		if want := best(words, n); math.Abs(widest-want) > 0.011 {
			t.Fatalf("%q: %g wide, can be %g", rows, widest, want)
		}
	})
}

// Letters stay within the height that rows are given: Latin to Extended-A, Greek,
// Cyrillic.
func TestLettersKeepToTheirRow(t *testing.T) {
	for name, w := range map[string]weight{"regular": regular, "medium": medium} {
		r, err := w.ruler()
		if err != nil {
			t.Fatal(err)
		}
		looked := 0
		for c := ' '; c < 0x460; c++ {
			if (c >= 0x180 && c < 0x370) || r.canWrite(string(c)) != nil {
				continue
			}
			looked++
			bounds, _, _ := r.face.GlyphBounds(c)
			if up, down := -float64(bounds.Min.Y)/64/measured, float64(bounds.Max.Y)/64/measured; up > ascent || down > descent {
				t.Errorf("%s: %q reaches %.3f up and %.3f down, rows have %g and %g", name, c, up, down, ascent, descent)
			}
		}
		if looked < 400 {
			t.Errorf("%s: only %d letters were looked at", name, looked)
		}
	}
}

// A row is as wide at a size as it is measured, at any size.
func TestWidthGrowsWithTheSize(t *testing.T) {
	r, err := weight(medium).ruler()
	if err != nil {
		t.Fatal(err)
	}
	const text = "Všechny lodě, které jsme"
	for _, size := range []float64{14, 50.3, 190} {
		face, err := weight(medium).face(size)
		if err != nil {
			t.Fatal(err)
		}
		got, want := float64(font.MeasureString(face, text))/64, size*r.width(text)
		// Each letter's step is rounded to a 64th of a pixel.
		if math.Abs(got-want) > float64(len(text))/64 {
			t.Errorf("at %g: %g wide, measured %g", size, got, want)
		}
	}
}
