package coverage

import (
	"reflect"
	"testing"
)

func TestEveryLimitHasItsDefault(t *testing.T) {
	l := Usual()
	if n := reflect.TypeOf(l).NumField(); n != len(Defaults) || n != len(l.fields()) {
		t.Fatalf("%d limits, %d defaults", n, len(Defaults))
	}
	if l.MustSeeMatches != 2 || l.VoiceFreeS != 4 || l.AgreeShare != 0.9 || l.WorthPicture != 4 || l.WorthMustSee != 6 || l.LeastChance != 0.02 || l.IntervalShare != 0.95 {
		t.Errorf("%+v: limits and defaults are in different orders", l)
	}
	for _, d := range Defaults {
		if d.Name == "" || d.Unit == "" || d.Source == "" || d.From == "" {
			t.Errorf("%+v does not say where it comes from", d)
		}
	}
}
