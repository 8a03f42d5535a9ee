package songmap

import (
	"slices"
	"testing"

	"takeweave/internal/film"
)

func TestTextWithinASection(t *testing.T) {
	lines := func(lengths ...film.SongTime) (out []film.Line) {
		at := film.SongTime(10)
		for _, l := range lengths {
			out = append(out, film.Line{Span: film.SongSpan{From: at, To: at + l}})
			at += l
		}
		return out
	}
	for _, c := range []struct {
		name  string
		lines []film.Line
		sung  []float64 // syllables of each line of text
		want  []int
	}{
		{"one each", lines(4, 4, 4), []float64{8, 3, 8}, []int{0, 1, 2}},
		{"a long line takes two", lines(7, 5, 5), []float64{8, 8, 8, 8}, []int{0, 0, 1, 2}},
		{"a long line in the middle", lines(5, 10, 5), []float64{8, 8, 8, 8}, []int{0, 1, 1, 2}},
		{"one line for all", lines(9), []float64{8, 8, 8}, []int{0, 0, 0}},
		{"every other", lines(4, 4, 4, 4), []float64{8, 8}, []int{0, 2}},
		{"none", lines(4, 4), nil, nil},
	} {
		f := fitter{sung: []float64{0}}
		for i, s := range c.sung {
			f.sung = append(f.sung, f.sung[i]+s)
		}
		if got := f.within(c.lines, 0, len(c.sung)); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
