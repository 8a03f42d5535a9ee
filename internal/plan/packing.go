package plan

import (
	"fmt"
	"slices"
	"strings"
)

// tellPacking lists what goes into the bags: what the plan needs, then what is
// named beside.
func (d *desk) tellPacking() {
	p := &packing{}
	cam := &d.plan.Camera
	if cam.Name != "" || cam.Format != "" || len(cam.Lenses) > 0 {
		name := cam.Name
		if name == "" {
			name = "camera"
		}
		p.add(Packed{Group: "camera", Name: name, Count: 1})
	}
	for _, l := range cam.Lenses {
		p.add(Packed{Group: "camera", Name: "lens " + l.Name, Count: 1, Why: d.usedBy(func(s *Setup) bool { return s.Lens == l.Name })})
	}
	for i := range d.plan.Setups {
		s := &d.plan.Setups[i]
		if s.Support != "" {
			p.once(Packed{Group: "camera", Name: s.Support, Count: 1, Why: d.usedBy(func(o *Setup) bool { return o.Support == s.Support })})
		}
		if s.NDStops > 0 {
			name := fmt.Sprintf("grey filter of %g stops", s.NDStops)
			p.once(Packed{Group: "camera", Name: name, Count: 1, Why: d.usedBy(func(o *Setup) bool { return o.NDStops == s.NDStops })})
		}
	}
	d.packSupply(p)
	d.packLight(p)
	for _, k := range d.plan.Kit {
		p.add(Packed{Group: "other", Name: k.Name, Count: max(1, k.Count), Why: k.Notes, Charge: k.Charge})
	}
	d.told.Packing = append([]Packed{}, p.all...)
}

// packSupply packs cards and batteries: as many as the day asks for, or as there
// are.
func (d *desk) packSupply(p *packing) {
	cam := &d.plan.Camera
	if n := len(cam.Cards); n > 0 {
		p.add(Packed{Group: "camera", Name: fmt.Sprintf("card of %g GB", cam.Cards[0].GB), Count: max(n, d.told.Cards.ToPack), Why: d.told.Cards.Verdict.Say})
	}
	for i, b := range cam.Batteries {
		n := max(1, b.Count)
		if i == 0 {
			n = max(n, d.told.Battery.ToPack)
		}
		name := b.Name
		if name == "" {
			name = "battery"
		}
		p.add(Packed{Group: "camera", Name: fmt.Sprintf("%s, %g Wh", name, b.WattHours), Count: n, Charge: true})
	}
}

// packLight packs the lamps that burn with stand, lead and what hangs before them.
func (d *desk) packLight(p *packing) {
	stands := 0
	for i := range d.plan.Lamps {
		l := &d.plan.Lamps[i]
		if !d.burns(l.Name) {
			continue
		}
		stands++
		p.add(Packed{Group: "light", Name: l.Name, Count: 1, Charge: l.Battery})
		for _, lead := range d.told.Power.Leads {
			if lead.Lamp == l.Name && len(lead.Ways) > 0 {
				p.add(Packed{Group: "power", Name: fmt.Sprintf("lead of %.0f m or longer", lead.Ways[0].LengthM+0.5), Count: 1, Why: l.Name + ", " + lead.Ways[0].Socket})
			}
		}
	}
	if stands > 0 {
		p.add(Packed{Group: "light", Name: "stand with a weight", Count: stands})
		p.add(Packed{Group: "power", Name: "tape for leads", Count: 1})
	}
	for _, state := range d.plan.Lights {
		for _, l := range state.Lamps {
			for _, f := range l.Filters {
				if f.Name != "" {
					p.once(Packed{Group: "light", Name: f.Name, Count: 1, Why: "before " + l.Lamp})
				}
			}
		}
	}
	for i, pr := range d.plan.Practicals {
		p.add(Packed{Group: "light", Name: orName(pr.Name, "practical", i), Count: 1})
	}
}

// packing is the list while it is written.
type packing struct{ all []Packed }

func (p *packing) add(row Packed) { p.all = append(p.all, row) }

// once adds what is packed once however often it is used.
func (p *packing) once(row Packed) {
	if !slices.ContainsFunc(p.all, func(o Packed) bool { return o.Group == row.Group && o.Name == row.Name }) {
		p.add(row)
	}
}

// usedBy names the setups of which something holds.
func (d *desk) usedBy(holds func(*Setup) bool) string {
	var names []string
	for i := range d.plan.Setups {
		if s := &d.plan.Setups[i]; holds(s) {
			names = append(names, s.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "for " + strings.Join(names, ", ")
}
