package light

import (
	"strings"
	"testing"
)

// TestCautionsDefer: every place has one text; those that can hurt defer to people
// and rules that know, and none helps to get around a protection.
func TestCautionsDefer(t *testing.T) {
	seen := map[Where]bool{}
	for _, c := range Cautions {
		if c.Where == "" || c.Text == "" || seen[c.Where] {
			t.Errorf("%q is empty or there twice", c.Where)
		}
		seen[c.Where] = true
		for _, word := range []string{"bypass", "reset the breaker", "replace the fuse", "open the"} {
			if strings.Contains(strings.ToLower(c.Text), word) {
				t.Errorf("%s: says %q", c.Where, word)
			}
		}
	}
	for where, word := range map[Where]string{
		AtPower: "licensed electrician", AtLeads: "Unwind", AtLamps: "maker", AtBattery: "100 Wh", AtStands: "qualified riggers",
		AtExits: "extinguishers", AtHearing: "local workplace rules", AtFlashing: "no medical guarantee", AtPeople: "guardians",
		AtRights: "Not legal advice", AtData: "this machine",
	} {
		if !strings.Contains(CautionAt(where), word) {
			t.Errorf("%s does not say %q: %s", where, word, CautionAt(where))
		}
		delete(seen, where)
	}
	if len(seen) > 0 || CautionAt("nowhere") != "" {
		t.Errorf("unexpected %v", seen)
	}
}

// TestDefaults: each has its name and source, and reaches its limit.
func TestDefaults(t *testing.T) {
	l := Usual()
	fields := l.fields()
	if len(fields) != len(Defaults) {
		t.Fatalf("%d limits, %d defaults", len(fields), len(Defaults))
	}
	for i, d := range Defaults {
		if d.Name == "" || d.Source == "" || d.From == "" || *fields[i] != d.Value {
			t.Errorf("%+v", d)
		}
	}
	if l.MeterC != 250 || l.MeterK != 12.5 || l.KeyOverFill != 1.75 || l.UnseenMired != 10 || l.ShowsMired != 20 ||
		l.BandShare != 0.01 || l.CircuitShare != 0.8 || l.DropShare != 0.03 || l.LeadMV != 29 || l.BounceStops != -2.25 || l.LumensPerWatt != 100 ||
		l.HearingDBA != 85 || l.HearingMinutes != 480 || l.HearingDB != 3 || len(l.Gels) != len(Gels) || l.NearestM != 0.5 {
		t.Errorf("%+v", l)
	}
}
