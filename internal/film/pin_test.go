package film

import (
	"encoding/json"
	"testing"
)

func TestPinsAreSaidInWords(t *testing.T) {
	for want, p := range map[string]Pin{
		"pin 3 (C0052.MP4 shown in V2.3, strong)":         {ID: 3, Kind: PinShowPass, Pass: "C0052.MP4", Said: "V2.3", Strong: true},
		"pin 4 (the setup hands never in 1.00 to 2.50 s)": {ID: 4, Kind: PinNotSetup, Name: "hands", Span: SongSpan{1, 2.5}},
		"pin 5 (a cut at 7.25 s)":                         {ID: 5, Kind: PinCut, Span: SongSpan{From: 7.25}},
	} {
		if got := p.Say(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// What was stored before songs and setups had wishes still reads.
func TestOlderSongsAndSetupsStillRead(t *testing.T) {
	var s Song
	if err := json.Unmarshal([]byte(`{"duration":12,"lines":[{"section":0,"number":1,"span":{"from":1,"to":2}}],"sections":[{"name":"A1","letter":"A","span":{"from":1,"to":2}}]}`), &s); err != nil {
		t.Fatal(err)
	}
	if s.LineName(0) != "A1.1" || s.Sections[0].PaceS != 0 || s.Lines[0].Words != nil || s.MustSee != nil {
		t.Errorf("got %+v", s)
	}
	b, err := json.Marshal(Setup{Name: "wide"})
	if err != nil || string(b) != `{"name":"wide"}` {
		t.Errorf("got %s, %v: what is not known must not be stored", b, err)
	}
}
