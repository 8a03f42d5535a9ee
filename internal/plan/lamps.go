package plan

import (
	"fmt"
	"math"
	"slices"

	"takeweave/internal/light"
	"takeweave/internal/room"
)

// state returns the light that a setup is filmed in, nil while it is not known. A
// plan with one state of light has it everywhere.
func (d *desk) state(s *Setup) *Light {
	for i := range d.plan.Lights {
		if d.plan.Lights[i].Name == s.Light || s.Light == "" && len(d.plan.Lights) == 1 {
			return &d.plan.Lights[i]
		}
	}
	return nil
}

// lightOf says what a setup's lamps give, what is off and what to do about it.
func (d *desk) lightOf(s *Setup, c *camera, seen *Seen) LitSetup {
	told := LitSetup{Lamps: []LitLamp{}}
	var m missing
	exposure, ok := d.exposure(s, &m)
	if ok {
		told.Exposure, told.WantedLux = &exposure, exposure.Lux(d.limits.light.MeterC)
	}
	told.Flicker, told.Shutter = d.flicker(exposure.Seconds)
	state := d.state(s)
	m.unless(state != nil || s.Light != "", "the state of the lamps")
	switch {
	case state == nil && s.Light != "":
		told.Verdict = failing("there is no light %q", s.Light)
	case state != nil:
		told.State = state.Name
		lamps := d.lamps(state, c.AxisDeg, &m, &told)
		told.Verdict = d.judge(lamps, exposure, m, seen, &told)
	default:
		told.Verdict, _ = m.verdict()
	}
	d.say(OfLight, c.about, told.Verdict)
	d.say(OfLight, c.about, told.Flicker)
	return told
}

// exposure is how a setup is exposed; m gets what is not typed of it.
func (d *desk) exposure(s *Setup, m *missing) (e light.Exposure, ok bool) {
	cam := &d.plan.Camera
	e = light.Exposure{Stop: s.Stop, Seconds: s.ShutterS, ISO: s.ISO, NDStops: s.NDStops}
	if e.Seconds == 0 {
		e.Seconds = cam.ShutterS
	}
	if e.ISO == 0 {
		e.ISO = cam.ISO
	}
	had := len(*m)
	m.unless(e.Stop >= 0.5 && e.Stop <= 64, "the stop")
	m.unless(e.Seconds > 1e-6 && e.Seconds <= 60, "the shutter")
	m.unless(e.ISO >= 1 && e.ISO <= 1e7, "the ISO")
	m.unless(e.NDStops >= 0 && e.NDStops <= 20, "the grey filter in stops, 0 to 20")
	return e, len(*m) == had
}

// flicker judges the shutter against the mains.
func (d *desk) flicker(seconds float64) (Verdict, *light.ShutterCheck) {
	var m missing
	mains, rate := d.plan.Power.MainsHz, d.plan.Camera.Rate
	m.unless(seconds > 1e-6 && seconds <= 60, "the shutter")
	m.unless(mains >= 1 && mains <= 1000, "the mains in hertz")
	m.unless(rate.Known() && rate.PerSecond() > 0.1 && rate.PerSecond() < 10_000, "the frame rate")
	if v, ok := m.verdict(); ok {
		return v, nil
	}
	check := d.limits.light.CheckShutter(seconds, rate, mains)
	if check.Safe {
		return works("%s", check.Words), &check
	}
	return look("%s", check.Words), &check
}

// lamps are those of a state as they stand to the musician, bearings from a
// camera; m gets what is not typed of them.
func (d *desk) lamps(state *Light, cameraDeg float64, m *missing, told *LitSetup) []light.Lamp {
	var lamps []light.Lamp
	m.unless(len(state.Lamps) > 0, "the lamps of "+state.Name)
	for _, p := range state.Lamps {
		i := slices.IndexFunc(d.plan.Lamps, func(l Lamp) bool { return l.Name == p.Lamp })
		if i < 0 {
			m.unless(false, "the lamp "+p.Lamp+" in the list of lamps")
			continue
		}
		l, supposed := d.lamp(&d.plan.Lamps[i], p)
		l.BearingDeg -= cameraDeg
		had := len(*m)
		m.unless(l.Role == light.Key || l.Role == light.Fill || l.Role == light.Back, "what "+p.Lamp+" is: key, fill or back")
		m.unless(numbers(l.LeastLux, l.MostLux, l.DialLux, l.MeasuredM, l.RadiusM, l.Kelvin) && max(l.MeasuredM, l.RadiusM) < farM && max(l.LeastLux, l.DialLux) > 0, "the light of "+p.Lamp+" in lux, measured at its least")
		m.unless(!slices.ContainsFunc(p.Filters, unlikelyFilter), "what hangs before "+p.Lamp+" in stops and mired")
		m.unless(l.DistanceM > 0.01 && l.DistanceM < farM, "how far "+p.Lamp+" is from the face, with its height")
		if len(*m) == had {
			lamps = append(lamps, l)
			lit := LitLamp{Lamp: p.Lamp, Role: l.Role, Lux: l.Lux(), DistanceM: l.DistanceM, Supposed: supposed}
			if k := l.FilteredKelvin(); !math.IsInf(k, 0) {
				lit.Kelvin = k
			}
			told.Lamps = append(told.Lamps, lit)
		}
	}
	return lamps
}

// unlikelyFilter reports whether a filter takes or adds more than any does.
func unlikelyFilter(f light.Filter) bool {
	return !(math.Abs(f.Stops) <= 30 && math.Abs(f.Mired) <= 1000)
}

// lamp is a lamp of the person's own as it burns, its bearing in the room's plan.
func (d *desk) lamp(own *Lamp, p Placed) (l light.Lamp, supposed bool) {
	l = light.Lamp{
		Name: own.Name, Role: p.Role, LeastLux: own.LeastLux, MostLux: own.MostLux, MeasuredM: own.MeasuredM,
		RadiusM: own.RadiusM, Kelvin: own.Kelvin, DialLux: p.DialLux, Filters: p.Filters,
		DistanceM: p.DistanceM, BearingDeg: d.plan.Musician.FacesDeg + p.BearingDeg, ElevationDeg: p.ElevationDeg, FurthestM: p.FurthestM,
	}
	if l.LeastLux == 0 && l.MostLux == 0 && own.Watts > 0 && own.ConeDeg > 0 && own.ConeDeg <= 360 && own.KeptShare > 0 && own.KeptShare <= 1 {
		l.LeastLux, l.MeasuredM, supposed = d.limits.light.Supposed(own.Watts, own.ConeDeg, own.KeptShare), 1, true
	}
	if at := d.plan.Musician.At; p.At != nil {
		l.DistanceM = 0
		if at != nil && p.HeightM > 0 {
			x, y, up := p.At.X-at.X, p.At.Y-at.Y, p.HeightM-d.faceM()
			flat := math.Hypot(x, y)
			l.DistanceM = math.Hypot(flat, up)
			l.BearingDeg = math.Atan2(x, y) * 180 / math.Pi
			l.ElevationDeg = math.Atan2(up, flat) * 180 / math.Pi
			if l.FurthestM == 0 && flat > 0.01 {
				l.FurthestM = math.Hypot(d.roomBehind(*p.At, x/flat, y/flat, flat), up)
			}
		}
	}
	return l, supposed
}

// roomBehind is how far from the musician, on the floor, a lamp can go on its way
// from the musician before it meets a wall; 0 while the room is not known.
func (d *desk) roomBehind(lamp room.Point, dx, dy, fromM float64) float64 {
	const stepM, mostM = 0.05, 30
	if d.placed() == nil || !d.room.Inside(lamp) {
		return 0
	}
	far := 0.0
	for far < mostM && d.room.Inside(room.Point{X: lamp.X + (far+stepM+standM)*dx, Y: lamp.Y + (far+stepM+standM)*dy}) {
		far += stepM
	}
	return fromM + far
}

// judge weighs a setup's light, once everything is typed.
func (d *desk) judge(lamps []light.Lamp, exposure light.Exposure, m missing, seen *Seen, told *LitSetup) Verdict {
	if v, ok := m.verdict(); ok {
		return v
	}
	scene := light.Scene{Exposure: exposure, Lamps: lamps, Practicals: d.practicals(seen)}
	balance, err := scene.Judge(d.limits.light)
	if err != nil {
		return failing("%s", sayError(err))
	}
	told.Balance = &balance
	if stops, ok := balance.Between(light.Key, light.Fill); ok {
		told.KeyFillStops = &stops
	}
	if stops, ok := balance.Between(light.Key, light.Back); ok {
		told.KeyBackStops = &stops
	}
	if len(balance.Faults) > 0 {
		f := balance.Faults[0]
		say := f.Words
		if f.Lamp != "" {
			say = f.Lamp + ": " + say
		}
		if n := len(balance.Faults) - 1; n > 0 {
			say += fmt.Sprintf(" (%d more)", n)
		}
		return failing("%s", say)
	}
	say := fmt.Sprintf("%.0f lx wanted", balance.WantedLux)
	for _, r := range balance.Readings {
		say += fmt.Sprintf(", %s %.0f lx", r.Role, r.Lux)
	}
	if told.KeyFillStops != nil {
		say += fmt.Sprintf(", key over fill %.1f stops", *told.KeyFillStops)
	}
	return works("%s", say)
}

// practicals are those in a setup's frame that were measured or judged; all of
// them while the frame is not known.
func (d *desk) practicals(seen *Seen) []light.Practical {
	var all []light.Practical
	for i, p := range d.plan.Practicals {
		l := light.Practical{Name: orName(p.Name, "practical", i), Luminance: p.Luminance, WishedStops: p.WishedStops}
		if p.OffStops != nil {
			l.OffStops = *p.OffStops
		}
		inFrame := seen.At == nil || p.At == nil
		for _, s := range seen.InFrame {
			inFrame = inFrame || s.Name == l.Name
		}
		if inFrame && (p.Luminance > 0 || p.OffStops != nil) {
			all = append(all, l)
		}
	}
	return all
}

// tellLights tells every state of the lamps, and which colours differ.
func (d *desk) tellLights() {
	d.told.Lights, d.told.Colours = []Lit{}, []light.Mismatch{}
	for i := range d.plan.Lights {
		state := &d.plan.Lights[i]
		var m missing
		var setup LitSetup
		lamps := d.lamps(state, d.plan.Musician.FacesDeg, &m, &setup)
		lit := Lit{Name: state.Name, Setups: []string{}, Lamps: append([]LitLamp{}, setup.Lamps...), Places: d.stands(state)}
		for k := range d.plan.Setups {
			if d.state(&d.plan.Setups[k]) == state {
				lit.Setups = append(lit.Setups, d.plan.Setups[k].Name)
			}
		}
		d.told.Lights = append(d.told.Lights, lit)
		for _, c := range d.limits.light.Mismatches(lamps) {
			if !slices.Contains(d.told.Colours, c) {
				d.told.Colours = append(d.told.Colours, c)
				d.say(OfLight, "light "+state.Name, look("%s and %s differ by %.0f mired: %s%s", c.A, c.B, math.Abs(c.Mired), c.Notice, gelWords(c)))
			}
		}
	}
}

func gelWords(c light.Mismatch) string {
	if c.Gel == "" {
		return ""
	}
	return fmt.Sprintf("; %s before %s leaves %.0f", c.Gel, c.B, math.Abs(c.Left))
}
