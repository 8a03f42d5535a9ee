package job

import (
	"testing"

	"takeweave/internal/film"
)

// linedUp is a pass that plays the song from one second to another, begun late.
func linedUp(name, setup string, from, to film.SongTime, late film.PassTime) Pass {
	return Pass{Name: name, Setup: film.Setup{Name: setup}, LineUp: film.LineUp{Status: film.Aligned, Segments: []film.Segment{{
		Knots: []film.Knot{{Song: from, Pass: film.PassTime(from) + late}, {Song: to, Pass: film.PassTime(to) + late}},
	}}}}
}

// The moments of two setups that are compared are the same of the song in both,
// on the clock of each pass, and lie where both play.
func TestMomentsOfBothSetups(t *testing.T) {
	m := matcher{passes: []Pass{linedUp("a", "wide", 0, 60, 5), linedUp("b", "face", 30, 100, -2), linedUp("c", "hands", 70, 90, 0)}}
	all := m.together(MatchAsk{Setup: "face", To: "wide"})
	if len(all) != matchMoments {
		t.Fatalf("%d moments, want %d", len(all), matchMoments)
	}
	for _, b := range all {
		song := b.to.at - 5
		if b.setup.pass != "b" || b.to.pass != "a" || b.setup.at-(-2) != song || song < 30 || song >= 60 {
			t.Errorf("compares %+v", b)
		}
	}
	if all := m.together(MatchAsk{Setup: "face", To: "wide", Song: 40}); len(all) != 1 || all[0].setup.at != 38 {
		t.Errorf("at 40 s: %+v", all)
	}
	if all := m.together(MatchAsk{Setup: "hands", To: "wide"}); len(all) != 0 {
		t.Errorf("setups that never play together: %+v", all)
	}
}
