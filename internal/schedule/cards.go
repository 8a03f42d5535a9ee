package schedule

import "math"

// Sizes are decimal: 1 GB is 10^9 bytes, 1 MB is 10^6 bytes. Rates of recording
// are in megabits, rates of copying in megabytes per second.

// GB returns what so many seconds of recording take.
func GB(megabits, seconds float64) float64 { return megabits * seconds / 8000 }

// PassGB returns what one pass of a song takes, with the camera run before and
// after it.
func (l Limits) PassGB(megabits, songS float64) float64 { return GB(megabits, songS+l.CameraRunS) }

// PassesOnCard returns how many whole passes go on a card of which so much is
// still free, less what is left free of its whole size.
func (l Limits) PassesOnCard(cardGB, usedGB, megabits, songS float64) int {
	return max(0, wholes((cardGB*(1-l.CardFree)-usedGB)/l.PassGB(megabits, songS)))
}

// CardsToPack returns how many cards a day needs, with those in reserve.
func (l Limits) CardsToPack(passes int, cardGB, megabits, songS float64) int {
	each := l.PassesOnCard(cardGB, 0, megabits, songS)
	if each == 0 {
		return 0 // no pass fits on such a card
	}
	return int(math.Ceil(l.CardTimes * math.Ceil(float64(passes)/float64(each))))
}

// CopyMin returns the minutes to read or write so much once; verifying reads it
// all again.
func CopyMin(gb, megabytesPerS float64) float64 { return gb * 1000 / megabytesPerS / 60 }

// speedClasses are the video speed classes of memory cards: the megabytes per
// second that each sustains when writing. Source: [SDSpeed].
var speedClasses = []int{6, 10, 30, 60, 90}

// SpeedClass returns the least video speed class that sustains a recording, 30
// for V30; 0 when none does.
func SpeedClass(megabits float64) int {
	for _, class := range speedClasses {
		if float64(class)*8 >= megabits {
			return class
		}
	}
	return 0
}

// BatteryH returns the hours that so many watt-hours last.
func (l Limits) BatteryH(wattHours, watts float64) float64 {
	return wattHours * l.BatteryGives / watts
}

// BatteryPasses returns how many whole passes a battery lasts, with the time
// between them.
func (l Limits) BatteryPasses(wattHours, watts, songS float64) int {
	return wholes(l.BatteryH(wattHours, watts) * 3600 / l.PassS(songS))
}

// BatteriesToPack returns how many equal batteries so many hours need, with
// those in reserve.
func (l Limits) BatteriesToPack(hours, wattHours, watts float64) int {
	return int(math.Ceil(l.BatteryTimes*hours/l.BatteryH(wattHours, watts) - 1e-9))
}

// wholes rounds down, forgiving the last bits of a division.
func wholes(n float64) int { return int(math.Floor(n + 1e-9)) }
