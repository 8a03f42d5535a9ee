package cut

import (
	"context"
	"math"
	"regexp"
	"strings"
	"testing"

	"takeweave/internal/film"
)

func TestAlternatives(t *testing.T) {
	r := filmDay(96, 6)
	b, err := Prepare(r)
	if err != nil {
		t.Fatal(err)
	}
	best, err := b.solve(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	line := film.SongSpan{From: 16, To: 24}
	got, err := b.Alternatives(t.Context(), nil, line, 5)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 5 {
		t.Fatalf("got %d alternatives, want 5", len(got))
	}
	seen := map[string]bool{passesIn(best.film(), line): true}
	last := 0.0
	for _, a := range got {
		if a.Costs.Total < last-1e-9 {
			t.Errorf("%q costs %.3f, after one of %.3f", a.Says, a.Costs.Total, last)
		}
		last = a.Costs.Total
		// What it says it costs is what the cut with its pins costs.
		s, err := b.solve(context.Background(), a.Pins)
		if err != nil || math.Abs(float64(s.wishes-best.wishes)/unit-a.Costs.Total) > 1e-9 {
			t.Errorf("%q: %v, costs %.6f", a.Says, err, a.Costs.Total)
		}
		if key := passesIn(a.Cut, line); seen[key] {
			t.Errorf("%q looks like another", a.Says)
		} else {
			seen[key] = true
		}
		if !strings.Contains(a.Says, "instead of") || !strings.Contains(a.Costs.Says, "costs ") {
			t.Errorf("says %q and %q", a.Says, a.Costs.Says)
		}
		t.Logf("%s: %s", a.Says, a.Costs.Says)
	}
	// No single pass over the whole line is cheaper than the dearest given.
	for _, c := range r.Candidates {
		s, err := b.solve(context.Background(), []film.Pin{{Kind: film.PinShowPass, Pass: c.Pass, Span: line}})
		if err == nil && float64(s.wishes-best.wishes)/unit < last-1e-6 && !seen[passesIn(s.film(), line)] {
			t.Errorf("%s over the line costs %.2f and is left out", c.Pass, float64(s.wishes-best.wishes)/unit)
		}
	}
}

// passesIn lists who is seen in a stretch, by half seconds.
func passesIn(c film.Cut, span film.SongSpan) string {
	s := ""
	for t := span.From + 0.25; t < span.To; t += 0.5 {
		s += shownAt(c, c.Rate.NearestFrame(t)) + " "
	}
	return s
}

func TestWhyNot(t *testing.T) {
	r := fourPasses()
	r.Candidates[2] = except(r.Candidates[2], 8, 12, 0.31)
	r.Candidates[3].Clip.PictureEnd = 6 + 20
	steep := steadyPass(5, "steep.mp4", film.Setup{Name: "steep", Size: film.SizeClose, Shows: film.ShowsHands}, r.Song, 7)
	steep.Map = &film.Segment{Knots: []film.Knot{{Pass: 7, Song: 0}, {Pass: 7 + 32*1.1, Song: 32}}}
	steep.Clip.PictureEnd = 80
	part := steadyPass(6, "part.mp4", film.Setup{Name: "part"}, r.Song, 8)
	part.Map = &film.Segment{Knots: []film.Knot{{Pass: 8, Song: 0}, {Pass: 18, Song: 10}}}
	part = except(part, 10, 40, 0)
	dear := steadyPass(7, "dear.mp4", film.Setup{Name: "dear", Serves: []string{"X"}}, r.Song, 9)
	r.Candidates = append(r.Candidates, steep, part, dear)
	b, err := Prepare(r)
	if err != nil {
		t.Fatal(err)
	}
	never := []film.Pin{{ID: 4, Kind: film.PinNotPass, Pass: "wide.mp4", Span: film.SongSpan{To: 32}, Said: "the song"}}
	for _, c := range []struct {
		pass string
		at   film.SongTime
		pins []film.Pin
		want string
	}{
		{"face.mp4", 10, nil, `^face.mp4 is refused at V1\.2/5: other notes, it scores 0\.31 and 0\.50 is needed$`},
		{"lamp.mp4", 26, nil, `^lamp.mp4 has no picture of C1\.2/5: it ends 6\.00 s before$`},
		{"steep.mp4", 5, nil, `^steep.mp4 does not hold at V1\.1/11: even a shot of 0\.6 s parts by 3\d ms more than is tolerated$`},
		{"part.mp4", 20, nil, `^part.mp4 is not lined up at C1\.1/9: its line-up reaches from 0\.00 to 10\.00 s$`},
		{"dear.mp4", 20, nil, `^dear.mp4 agrees 0\.97 at C1\.1/9, but the best cut with it costs \d+\.\d\d more, .*setups outside their sections`},
		{"wide.mp4", 20, never, `^wide.mp4 is not seen at C1\.1/9 because of pin 4 \(wide.mp4 never in the song\)$`},
	} {
		got, err := b.WhyNot(t.Context(), c.pins, c.pass, c.at)
		if err != nil || !regexp.MustCompile(c.want).MatchString(got) {
			t.Errorf("got %q, %v, want %s", got, err, c.want)
		}
	}
	cut, err := b.Solve(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := b.WhyNot(t.Context(), nil, shownAt(cut, 500), 20.01); err != nil || !strings.Contains(got, "is seen at") {
		t.Errorf("got %q, %v", got, err)
	}
	for pass, at := range map[string]film.SongTime{"none.mp4": 3, "wide.mp4": 40} {
		if _, err := b.WhyNot(t.Context(), nil, pass, at); film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
			t.Errorf("%s at %v: got %v", pass, at, err)
		}
	}
}
