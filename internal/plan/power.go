package plan

import (
	"fmt"
	"slices"

	"takeweave/internal/light"
	"takeweave/internal/room"
)

// tellPower adds up what is plugged in, and finds a circuit for what has none.
func (d *desk) tellPower() {
	told := &d.told.Power
	told.Leads, told.Sums = []LeadTold{}, []light.CircuitSum{}
	loads, m := d.loads()
	told.Loads = loads
	for _, l := range loads {
		told.Watts += l.Watts
	}
	defer func() {
		d.say(OfPower, "power", told.Verdict)
		d.tellLeads()
	}()
	circuits := d.plan.Power.Circuits
	m.unless(len(d.plan.Lamps)+len(d.plan.Practicals)+len(d.plan.Power.Loads) > 0, "the lamps and what else is plugged in")
	if len(loads) > 0 || len(m) > 0 {
		m.unless(len(circuits) > 0, "the circuits with volts and amperes; ask the venue")
	}
	if len(circuits) > 0 && len(loads) > 0 {
		plugged, err := d.limits.light.Spread(circuits, loads)
		if err != nil {
			told.Verdict = failing("%s", sayError(err))
			return
		}
		told.Loads, told.Sums = plugged.Loads, plugged.Sums
		if !plugged.OK {
			told.Verdict = failing("%s", plugged.Words)
			return
		}
		told.Verdict = works("%.0f W: %s", told.Watts, plugged.Words)
	}
	switch v, ok := m.verdict(); {
	case ok:
		told.Verdict = v
	case len(loads) == 0:
		told.Verdict = works("nothing is plugged in")
	}
}

// loads are what is plugged in for hours: the lamps that burn in any light, the
// practicals, and what else is named.
func (d *desk) loads() (loads []light.Load, m missing) {
	loads = []light.Load{}
	add := func(l light.Load) {
		m.unless(l.Watts > 0 && numbers(l.Watts, l.PowerFactor) && l.PowerFactor <= 1, "the watts of "+l.Name)
		if l.Watts > 0 && numbers(l.Watts, l.PowerFactor) && l.PowerFactor <= 1 {
			loads = append(loads, l)
		}
	}
	for i := range d.plan.Lamps {
		if l := &d.plan.Lamps[i]; !l.Battery && d.burns(l.Name) {
			add(light.Load{Name: l.Name, Watts: l.Watts, PowerFactor: l.PowerFactor, Circuit: l.Circuit})
		}
	}
	for i, p := range d.plan.Practicals {
		if p.Watts != 0 || p.Circuit != "" { // others may well burn oil
			add(light.Load{Name: orName(p.Name, "practical", i), Watts: p.Watts, Circuit: p.Circuit})
		}
	}
	for _, l := range d.plan.Power.Loads {
		add(l)
	}
	return loads, m
}

// burns reports whether a lamp is in any state of the light.
func (d *desk) burns(lamp string) bool {
	return slices.ContainsFunc(d.plan.Lights, func(s Light) bool {
		return slices.ContainsFunc(s.Lamps, func(p Placed) bool { return p.Lamp == lamp })
	})
}

// tellLeads says for each lamp on the mains how long a lead it needs.
func (d *desk) tellLeads() {
	for i := range d.plan.Lamps {
		own := &d.plan.Lamps[i]
		if own.Battery || !d.burns(own.Name) {
			continue
		}
		told := LeadTold{Lamp: own.Name, Ways: d.leads(own.Name)}
		d.tellLead(own, &told)
		if len(told.Ways) > 0 && told.Lead != nil || told.Verdict.Answer == Fails {
			d.say(OfPower, "the lead of "+own.Name, told.Verdict)
		}
		d.told.Power.Leads = append(d.told.Power.Leads, told)
	}
}

// leads are the ways from a lamp to the sockets of its circuit, from the place
// that needs the longest.
func (d *desk) leads(lamp string) (ways []room.Lead) {
	if d.room == nil {
		return nil
	}
	circuit := d.circuitOf(lamp)
	for i := range d.plan.Lights {
		for _, t := range d.stands(&d.plan.Lights[i]) {
			if t.Name != lamp {
				continue
			}
			found := d.room.Leads(t.At, t.HeightM, d.limits.room.SlackShare)
			if circuit != "" {
				found = slices.DeleteFunc(found, func(l room.Lead) bool { return l.Circuit != circuit })
			}
			if len(found) > 0 && (len(ways) == 0 || found[0].LengthM > ways[0].LengthM) {
				ways = found
			}
		}
	}
	return ways
}

// circuitOf is the circuit that a load was given, "" while there is none.
func (d *desk) circuitOf(load string) string {
	for _, l := range d.told.Power.Loads {
		if l.Name == load {
			return l.Circuit
		}
	}
	return ""
}

func (d *desk) tellLead(own *Lamp, told *LeadTold) {
	var m missing
	m.unless(own.Lead.LengthM > 0 && numbers(own.Lead.LengthM, own.Lead.MM2), "the length of the lead that is brought")
	m.unless(own.Watts > 0 && numbers(own.Watts), "the watts of "+own.Name)
	volts := 0.0
	for _, c := range d.plan.Power.Circuits {
		if c.Name == d.circuitOf(own.Name) {
			volts = c.Volts
		}
	}
	m.unless(volts > 0, "the circuit of "+own.Name)
	if v, ok := m.verdict(); ok {
		told.Verdict = v
		if len(told.Ways) > 0 {
			told.Verdict.Say = fmt.Sprintf("%.0f m to %s; %s", told.Ways[0].LengthM, told.Ways[0].Socket, v.Say)
		}
		return
	}
	load := light.Load{Watts: own.Watts, PowerFactor: own.PowerFactor}
	check := d.limits.light.CheckLead(own.Lead, volts, load.Amps(volts))
	told.Lead, told.Verdict = &check, works("%s", check.Words)
	switch {
	case len(told.Ways) > 0 && told.Ways[0].LengthM > own.Lead.LengthM:
		told.Verdict = failing("%.0f m are too short: %.1f m to %s", own.Lead.LengthM, told.Ways[0].LengthM, told.Ways[0].Socket)
	case !check.OK:
		told.Verdict = failing("%s", check.Words)
	case len(told.Ways) > 0 && len(told.Ways[0].Doors) > 0:
		told.Verdict = look("%s; it passes %s: tape it down and keep the way free", check.Words, words(told.Ways[0].Doors))
	}
}
