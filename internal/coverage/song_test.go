package coverage

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/schedule"
)

// ferry is a song of 252 s: six sections of six lines of seven seconds.
func ferry() *film.Song {
	s := &film.Song{Duration: 252, Music: film.SongSpan{To: 252}}
	for i, name := range []string{"V1", "C1", "V2", "C2", "B1", "C3"} {
		at := film.SongTime(42 * i)
		s.Sections = append(s.Sections, film.Section{Name: name, Letter: name[:1], Span: film.SongSpan{From: at, To: at + 42}})
		for n := range 6 {
			from := at + film.SongTime(7*n)
			s.Lines = append(s.Lines, film.Line{Section: i, Number: n + 1, Span: film.SongSpan{From: from, To: from + 7}})
		}
	}
	return s
}

// lineNamed returns the index of a line.
func lineNamed(song *film.Song, name string) int {
	for i := range song.Lines {
		if song.LineName(i) == name {
			return i
		}
	}
	panic("no line " + name)
}

func setup(name string, shows film.Shows, rig schedule.Rig) Setup {
	return Setup{Setup: schedule.Setup{Setup: film.Setup{Name: name, Shows: shows}, Rig: rig, Passes: 1}}
}

func newPlan(song *film.Song, setups ...Setup) *Plan {
	return &Plan{Song: song, Setups: setups, Limits: Usual(), Times: schedule.Usual()}
}

// judged is a checked pass that is usable for the needs in the named lines, and
// elsewhere not.
func judged(p *Plan, name, setup string, lines ...string) Pass {
	needs := p.Needs()
	c := Pass{Name: name, Setup: setup, Verdict: Keep, Checked: true, Usable: make([]bool, len(needs))}
	for n, need := range needs {
		for _, line := range lines {
			c.Usable[n] = c.Usable[n] || line == "all" || need.Name == line || strings.HasPrefix(need.Name, line+".")
		}
	}
	return c
}

// loop is a looped pickup that matched, of one line.
func loop(p *Plan, name, setup, line string) Pass {
	c := judged(p, name, setup, line)
	c.Lines = []int{lineNamed(p.Song, line)}
	return c
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestSayLines(t *testing.T) {
	song := ferry()
	for want, lines := range map[string][]int{
		"":                   nil,
		"V1.1":               {0},
		"V1.1, V1.3-4":       {0, 2, 3},
		"V1.5-6, C1.1-2":     {4, 5, 6, 7},
		"V2.3, B1.1-6, C3.6": {14, 24, 25, 26, 27, 28, 29, 35},
	} {
		if got := SayLines(song, lines); got != want {
			t.Errorf("%v: %q, want %q", lines, got, want)
		}
	}
	if got := fmt.Sprint(count(1, "line"), " ", count(3, "line")); got != "1 line 3 lines" {
		t.Error(got)
	}
}
