package sun

import (
	"fmt"
	"math"

	"takeweave/internal/film"
)

// Place is where on earth: degrees, north and east positive.
type Place struct {
	LatitudeDeg  float64 `json:"latitude"`
	LongitudeDeg float64 `json:"longitude"`
}

// Day is one day of the Gregorian calendar at a place, told by a clock that is
// ahead of universal time by ZoneMin minutes (summer time included).
type Day struct {
	Year    int     `json:"year"`
	Month   int     `json:"month"`
	Day     int     `json:"day"`
	ZoneMin float64 `json:"zone_minutes"`
	Place   Place   `json:"place"`
}

// Minute is a time of a local day in minutes from midnight. Below 0 it is the
// day before, from 1440 on the day after.
type Minute float64

// String returns the time as "14:10", rounded to the minute, with "day before"
// or "day after" where it is.
func (m Minute) String() string {
	const day = 24 * 60
	whole := int(math.Round(float64(m)))
	words := ""
	switch {
	case whole < 0:
		whole, words = whole+day, " the day before"
	case whole >= day:
		whole, words = whole-day, " the day after"
	}
	return fmt.Sprintf("%02d:%02d%s", whole/60, whole%60, words)
}

// Check returns an error when the day is not in the calendar of 1900 to 2100,
// the place not on earth, or the zone further than 16 hours from universal time.
func (d Day) Check() error {
	switch {
	case d.Year < 1900 || d.Year > 2100 || d.Month < 1 || d.Month > 12 || d.Day < 1 || d.Day > monthDays(d.Year, d.Month):
		return usage(fmt.Sprintf("%04d-%02d-%02d is not a day from 1900 to 2100", d.Year, d.Month, d.Day), "write the date as year, month, day")
	case !(math.Abs(d.Place.LatitudeDeg) <= 90) || !(math.Abs(d.Place.LongitudeDeg) <= 180):
		return usage(fmt.Sprintf("latitude %g, longitude %g is not on earth", d.Place.LatitudeDeg, d.Place.LongitudeDeg),
			"latitude is -90 to 90, north positive; longitude -180 to 180, east positive")
	case !(math.Abs(d.ZoneMin) <= 16*60):
		return usage(fmt.Sprintf("a clock %g minutes ahead of universal time", d.ZoneMin), "give minutes, 120 for UTC+2")
	}
	return nil
}

func usage(msg, hint string) error { return &film.Error{Code: film.CodeUsage, Msg: msg, Hint: hint} }

func monthDays(year, month int) int {
	days := [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	leap := year%4 == 0 && (year%100 != 0 || year%400 == 0)
	if month == 2 && leap {
		return 29
	}
	return days[month-1]
}

// julian returns the Julian day of a minute of the day.
// Source: [Meeus1998], formula 7.1, for the Gregorian calendar.
func (d Day) julian(m Minute) float64 {
	y, month := float64(d.Year), float64(d.Month)
	if d.Month <= 2 {
		y, month = y-1, month+12
	}
	century := math.Floor(y / 100)
	gregorian := 2 - century + math.Floor(century/4)
	midnight := math.Floor(365.25*(y+4716)) + math.Floor(30.6001*(month+1)) + float64(d.Day) + gregorian - 1524.5
	return midnight + (float64(m)-d.ZoneMin)/(24*60)
}
