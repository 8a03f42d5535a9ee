package film

import "testing"

func TestSay(t *testing.T) {
	for _, c := range []struct {
		why  Why
		ms   float64
		want string
	}{
		{WhyAgrees, 3, "agrees"},
		{WhyLate, 46.2, "late 46 ms"},
		{WhyEarly, -31, "early 31 ms"},
		{WhyOtherNotes, 0, "other notes"},
		{WhyExtra, 0, "extra attacks"},
		{WhyMissing, 0, "missing attacks"},
		{WhyNotPlaying, 0, "not playing"},
		{WhyOtherKey, 0, "other key"},
		{WhyLevelOnly, 0, "level only"},
		{WhyUnsure, 0, "cannot judge"},
		{WhyNotCovered, 0, "not covered"},
		{WhySpeakerOnly, 0, "only the loudspeaker is heard"},
		{WhySpeakerOnly + 1, 0, "cannot judge"}, // of a newer film day
	} {
		if got := c.why.Say(c.ms); got != c.want {
			t.Errorf("%d: %q, want %q", c.why, got, c.want)
		}
	}
}
