package schedule

import (
	"reflect"
	"testing"

	"takeweave/internal/film"
)

func TestEveryLimitHasItsDefault(t *testing.T) {
	l, r := Usual(), UsualRates()
	if n := reflect.TypeOf(l).NumField(); n != len(Defaults) || n != len(l.fields()) {
		t.Fatalf("%d limits, %d defaults", n, len(Defaults))
	}
	if n := reflect.TypeOf(r).NumField(); n != len(RateDefaults) || n != len(r.fields()) {
		t.Fatalf("%d rates, %d defaults", n, len(RateDefaults))
	}
	if l.ResetS != 120 || l.TryResetS != 15 || l.RelightMin != 25 || l.MoveMin != 10 || l.Slack != 0.2 || l.FullVoice != 12 || l.CameraRunS != 30 || l.BatteryGives != 0.85 || l.BatteryTimes != 1.5 {
		t.Errorf("%+v: limits and defaults are in different orders", l)
	}
	if r.RecceH != 1 || r.MinuteH != 3.5 || r.Slack != 0.2 {
		t.Errorf("%+v: rates and defaults are in different orders", r)
	}
	for _, d := range append(append([]film.Default{}, Defaults...), RateDefaults...) {
		if d.Name == "" || d.Unit == "" || d.Source == "" || d.From == "" {
			t.Errorf("%+v does not say where it comes from", d)
		}
	}
}
