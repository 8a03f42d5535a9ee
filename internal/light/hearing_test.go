package light

import "testing"

// TestHearingNIOSH: the table of [NIOSH98-126], from 85 to 100 dBA as published,
// the rest as an engineering handbook on the web repeats it.
func TestHearingNIOSH(t *testing.T) {
	for dBA, minutes := range map[float64]float64{
		82: 16 * 60, 85: 8 * 60, 88: 4 * 60, 91: 2 * 60, 94: 60, 97: 30, 100: 15, 103: 7.5, 106: 3.75,
	} {
		near(t, "minutes", Usual().AllowedMinutes(dBA), minutes, 1e-9)
	}
	near(t, "seconds at 110", 60*Usual().AllowedMinutes(110), 89, 0.5)
	near(t, "seconds at 115", 60*Usual().AllowedMinutes(115), 28, 0.5)
	dose := Usual().Dose([]Spell{{94, 30}, {100, 5}})
	near(t, "doses add", dose, 83.33, 0.005)
	near(t, "left at 94", Usual().MinutesLeft(dose, 94), 10, 0.005)
	near(t, "none left", Usual().MinutesLeft(120, 94), 0, 0)
}
