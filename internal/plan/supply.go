package plan

import (
	"fmt"
	"math"
	"strings"

	"takeweave/internal/room"
	"takeweave/internal/schedule"
	"takeweave/internal/sun"
)

// sunDay is the day at the place; ok is false while that is not known.
func (d *desk) sunDay() (day sun.Day, ok bool) {
	p := &d.plan.Place
	if p.LatitudeDeg == nil || p.LongitudeDeg == nil {
		return day, false
	}
	zone, zoned := zoneMinutes(p.Zone)
	if n, err := fmt.Sscanf(p.Date, "%d-%d-%d", &day.Year, &day.Month, &day.Day); n != 3 || err != nil || !zoned {
		return day, false
	}
	day.ZoneMin, day.Place = zone, sun.Place{LatitudeDeg: *p.LatitudeDeg, LongitudeDeg: *p.LongitudeDeg}
	return day, day.Check() == nil
}

// zoneMinutes reads "+01:00", "-03:30" or "Z".
func zoneMinutes(zone string) (minutes float64, ok bool) {
	zone = strings.TrimSpace(zone)
	if zone == "Z" {
		return 0, true
	}
	if len(zone) != 6 || zone[0] != '+' && zone[0] != '-' {
		return 0, false
	}
	m, ok := minute(zone[1:])
	if zone[0] == '-' {
		m = -m
	}
	return float64(m), ok
}

// tellSun says when the sun rises and sets, and when it falls on the musician.
func (d *desk) tellSun() {
	told := &d.told.Sun
	told.OnFace = []room.Sunlight{}
	defer func() { d.say(OfRoom, "the sun", told.Verdict) }()
	day, ok := d.sunDay()
	if !ok {
		told.Verdict = unknown("latitude, longitude, date (2026-03-14) and zone (+01:00) of the place")
		return
	}
	t := day.Times()
	told.Times = &t
	if t.Always == "" {
		told.Rise, told.Set = t.Rise.String(), t.Set.String()
	}
	var m missing
	m.unless(d.room != nil, "the walls")
	m.unless(d.plan.Room.UpDeg != nil, "where the plan's up points, from true north")
	m.unless(d.placed() != nil, "where the musician is")
	if v, ok := m.verdict(); ok {
		told.Verdict = v
		return
	}
	told.OnFace = append(told.OnFace, d.room.DirectSun(day, *d.placed(), d.faceM())...)
	for _, s := range told.OnFace {
		if in := d.inWork(s.Spans); len(in) > 0 {
			told.InWork = append(told.InWork, s.Window+": "+sun.Words(in))
		}
	}
	told.Verdict = works("no direct sun on the musician during the work")
	if len(told.InWork) > 0 {
		told.Verdict = look("on the musician's face through %s, if the sky is clear", strings.Join(told.InWork, "; "))
	}
}

// inWork cuts stretches to the hours of the day that are worked; all of them while
// these are not known.
func (d *desk) inWork(spans []sun.Span) (in []sun.Span) {
	from, to := sun.Minute(0), sun.Minute(24*60)
	if start, ok := minute(d.plan.Day.Start); ok {
		from = start
	}
	if p := d.told.Day.Plan; p != nil {
		to = p.Leave
	} else if key, ok := minute(d.plan.Day.KeyBack); ok {
		to = key
	}
	for _, s := range spans {
		if s.From, s.To = max(s.From, from), min(s.To, to); s.To > s.From {
			in = append(in, s)
		}
	}
	return in
}

// passesOfDay counts whole passes, loops by their time, and the gigabytes of all.
func (d *desk) passesOfDay() (passes int, gb float64, ok bool) {
	l, song := d.limits.schedule, float64(d.song.Duration)
	seconds := 0.0
	for i := range d.plan.Setups {
		var m missing
		s := d.scheduled(i, &m)
		ok = ok || s.Passes+s.Tries > 0
		seconds += float64(s.Passes)*(song+l.CameraRunS) + float64(s.Tries)*(l.RunInS+s.LoopS)
	}
	return int(math.Ceil(seconds/(song+l.CameraRunS) - 1e-9)), schedule.GB(d.plan.Camera.MegabitsPerS, seconds), ok
}

// tellCards says what the day takes and what fits on the cards.
func (d *desk) tellCards() {
	told, cam, l := &d.told.Cards, &d.plan.Camera, d.limits.schedule
	defer func() { d.say(OfCards, "the cards", told.Verdict) }()
	var m missing
	m.unless(d.song != nil, "how long the song lasts")
	m.unless(cam.MegabitsPerS > 0 && cam.MegabitsPerS < 1e6, "the data rate of the camera in megabits a second")
	if v, ok := m.verdict(); ok {
		told.Verdict = v
		return
	}
	song := float64(d.song.Duration)
	told.PassGB, told.SpeedClass = l.PassGB(cam.MegabitsPerS, song), schedule.SpeedClass(cam.MegabitsPerS)
	free := 0.0
	for _, c := range cam.Cards {
		if !numbers(c.GB, c.UsedGB) || c.GB > 1e6 {
			told.Verdict = failing("a card of %g GB with %g GB used is none", c.GB, c.UsedGB)
			return
		}
		told.PassesFit = append(told.PassesFit, l.PassesOnCard(c.GB, c.UsedGB, cam.MegabitsPerS, song))
		free += max(0, c.GB*(1-l.CardFree)-c.UsedGB)
	}
	passes, gb, counted := d.passesOfDay()
	m.unless(counted, "how many passes are planned")
	m.unless(len(cam.Cards) > 0, "the cards in gigabytes")
	if counted {
		told.Passes, told.DayGB = passes, gb
		if rate := d.plan.Job.MegabytesPerS; rate > 0.01 && numbers(rate) {
			told.CopyMin = 2 * schedule.CopyMin(gb, rate)
		}
	}
	if v, ok := m.verdict(); ok {
		told.Verdict = v
		return
	}
	told.ToPack = l.CardsToPack(passes, cam.Cards[0].GB, cam.MegabitsPerS, song)
	switch {
	case gb > free:
		told.Verdict = failing("the day takes %.0f GB, %s hold %.0f GB", gb, count(len(cam.Cards), "card", "cards"), free)
	case told.ToPack > len(cam.Cards):
		told.Verdict = look("%.1f GB a pass, %.0f GB the day, %.0f GB free; pack %d cards, you have %d", told.PassGB, gb, free, told.ToPack, len(cam.Cards))
	default:
		told.Verdict = works("%.1f GB a pass, %.0f GB the day, %.0f GB free", told.PassGB, gb, free)
	}
}

// tellBatteries says how long the camera's batteries last.
func (d *desk) tellBatteries() {
	told, cam, l := &d.told.Battery, &d.plan.Camera, d.limits.schedule
	defer func() { d.say(OfCards, "the batteries", told.Verdict) }()
	var m missing
	m.unless(len(cam.Batteries) > 0, "the batteries in watt-hours, or that the camera is on the mains")
	m.unless(cam.Watts > 0 && numbers(cam.Watts), "the watts of the camera")
	for _, load := range d.plan.Power.Loads {
		if load.Name == cam.Name && cam.Name != "" && len(cam.Batteries) == 0 {
			told.Verdict = works("the camera is on the mains")
			return
		}
	}
	if v, ok := m.verdict(); ok {
		told.Verdict = v
		return
	}
	for _, b := range cam.Batteries {
		if !(b.WattHours > 0) || b.WattHours > 1e6 || b.Count < 0 || b.Count > 1e6 {
			told.Verdict = failing("a battery of %g Wh is none", b.WattHours)
			return
		}
		told.Hours += b.Hours(l, cam.Watts)
	}
	if d.song != nil {
		told.Passes = l.BatteryPasses(cam.Batteries[0].WattHours, cam.Watts, float64(d.song.Duration))
	}
	p := d.told.Day.Plan
	if p == nil {
		told.Verdict = unknown("the day, until its plan stands")
		return
	}
	told.Needed = (p.WorkMin + p.SlackMin) / 60
	told.ToPack = l.BatteriesToPack(told.Needed, cam.Batteries[0].WattHours, cam.Watts)
	switch {
	case told.Hours < told.Needed:
		told.Verdict = failing("the batteries last %.1f h, the day has %.1f h", told.Hours, told.Needed)
	case told.Hours < told.Needed*l.BatteryTimes:
		told.Verdict = look("the batteries last %.1f h, the day has %.1f h; pack %.2g times as much", told.Hours, told.Needed, l.BatteryTimes)
	default:
		told.Verdict = works("the batteries last %.1f h, the day has %.1f h", told.Hours, told.Needed)
	}
}

// tellHours says how many hours the whole job is.
func (d *desk) tellHours() {
	told, job := &d.told.Hours, &d.plan.Job
	defer func() { d.say(OfDay, "the job", told.Verdict) }()
	told.FilmH = job.FilmH
	if p := d.told.Day.Plan; told.FilmH == 0 && p != nil {
		start, _ := minute(d.plan.Day.Start)
		told.FilmH = float64(p.Leave-start) / 60
	}
	var m missing
	m.unless(d.song != nil, "how long the song lasts")
	m.unless(told.FilmH > 0 && told.FilmH < 1e4, "the hours of the day")
	m.unless(job.Rounds != nil && *job.Rounds >= 0 && *job.Rounds < 1e4, "how many rounds of notes")
	m.unless(len(d.told.Shapes) > 0, "the shapes that are ordered")
	if v, ok := m.verdict(); ok {
		told.Verdict = v
		return
	}
	told.Hours, told.Quoted = d.limits.hours.Hours(schedule.Job{SongS: float64(d.song.Duration), FilmH: told.FilmH, Rounds: *job.Rounds, Shapes: len(d.told.Shapes)})
	told.Verdict = works("%.1f h, quote %.1f h", told.Hours, told.Quoted)
}
