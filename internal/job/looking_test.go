package job

import (
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/look"
)

// Six pictures, each hard in one way by construction: each finds its place.
func TestHardestInstantsByMeasurement(t *testing.T) {
	face := &look.Box{X: 0.4, Y: 0.3, W: 0.1, H: 0.2}
	plain := func(name string) measured {
		return measured{Instant: Instant{Pass: name, Face: face}, FaceHeight: 0.2, FaceLuma: 0.5, Levels: look.Levels{Low: 0.1, Median: 0.4, High: 0.8}, Colourful: 0.1}
	}
	all := []measured{plain("plain"), plain("plain too")}
	add := func(name string, change func(*measured)) {
		m := plain(name)
		change(&m)
		all = append(all, m)
	}
	add("dark", func(m *measured) { m.FaceLuma = 0.2 })
	add("bright", func(m *measured) { m.Levels.Median = 0.8 })
	add("clipped", func(m *measured) { m.Levels.ClippedHigh[0] = 0.1 })
	add("wide", func(m *measured) { m.FaceHeight = 0.05 })
	add("tight", func(m *measured) { m.FaceHeight = 0.7 })
	add("colours", func(m *measured) { m.Colourful = 0.4 })
	var got []string
	for _, n := range hardest(all) {
		got = append(got, n.Name+": "+n.Pass)
	}
	want := []string{"the darkest face: dark", "the widest: wide", "the tightest: tight", "the brightest picture: bright", "the most clipped: clipped", "the strongest colours: colours"}
	if len(got) != len(want) {
		t.Fatalf("got %q", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("got %q, want %q", got[i], want[i])
		}
	}
}

// Where no face is known and nothing clips, what is known stands in; no picture
// stands in two places.
func TestHardestInstantsWithoutFaces(t *testing.T) {
	if got := hardest(nil); len(got) != 0 {
		t.Errorf("of nothing: %v", got)
	}
	var all []measured
	for i, size := range []film.Size{film.SizeWide, film.SizeClose, "", ""} {
		all = append(all, measured{Instant: Instant{Pass: string(rune('a' + i))}, Size: size, Levels: look.Levels{Median: 0.3 + 0.1*float64(i), High: 0.9}})
	}
	seen := map[string]bool{}
	got := hardest(all)
	for _, n := range got {
		if seen[n.Pass] {
			t.Errorf("%s stands twice", n.Pass)
		}
		seen[n.Pass] = true
	}
	if len(got) != len(all) || got[0].Name != "the darkest picture" || got[0].Pass != "a" {
		t.Errorf("got %+v", got)
	}
}
