package plan

import (
	"math"
	"slices"

	"takeweave/internal/room"
)

// farM is further than anything in a room: what is typed beyond is a slip.
const farM = 1000

// noCeilingM stands for a ceiling that nobody measured, so that nothing is said
// to be too high for it.
const noCeilingM = 1000

// tellRoom walks the walls and puts in what stands in the room.
func (d *desk) tellRoom() {
	told, typed := &d.told.Room, &d.plan.Room
	defer func() { d.say(OfRoom, "the room", told.Verdict) }()
	if len(typed.Walls) == 0 {
		told.Verdict = unknown("the lengths of the walls, as you walk along them")
		return
	}
	if slices.ContainsFunc(typed.Walls, func(l room.Leg) bool { return !(math.Abs(l.LengthM) < farM) }) {
		told.Verdict = failing("a wall is longer than %d m", farM)
		return
	}
	corners, gap, err := room.Walk(typed.Walls)
	if err != nil {
		told.Verdict = failing("%s", sayError(err))
		return
	}
	r := &room.Room{Corners: corners, CeilingM: typed.CeilingM, Openings: typed.Openings, Sockets: typed.Sockets}
	if !(r.CeilingM > 0) {
		r.CeilingM = noCeilingM
	}
	if typed.UpDeg != nil {
		r.UpDeg = *typed.UpDeg
	}
	if err := r.Check(); err != nil {
		told.Verdict = failing("%s", sayError(err))
		return
	}
	for i, t := range typed.Things {
		t.Name = orName(t.Name, "thing", i)
		if t.Kind == "" {
			t.Kind = room.Furniture
		}
		d.stand(r, t)
	}
	if at := d.plan.Musician.At; at != nil {
		d.stand(r, room.Thing{Name: d.musician(), Kind: room.Musician, At: *at, RadiusM: 0.3, HeightM: d.figure.Marks()[0].HeightM})
	}
	for i, p := range d.plan.Practicals {
		if p.At != nil {
			d.stand(r, room.Thing{Name: orName(p.Name, "practical", i), Kind: room.Practical, At: *p.At, RadiusM: max(p.RadiusM, 0.01), HeightM: p.HeightM})
		}
	}
	d.room, told.GapM = r, gap
	told.Verdict = works("%d walls, the tape closed within %.0f mm", len(corners), 1000*gap)
	if typed.CeilingM <= 0 {
		d.say(OfRoom, "the ceiling", unknown("its height"))
	}
}

// stand puts a thing into the room, or says why it does not fit.
func (d *desk) stand(r *room.Room, t room.Thing) {
	with := *r
	with.Things = append(slices.Clip(r.Things), t)
	if !numbers(t.RadiusM, t.HeightM) {
		d.say(OfRoom, t.Name, failing("its size is not a number of metres"))
		return
	}
	if err := with.Check(); err != nil {
		d.wrong(OfRoom, t.Name, err)
		return
	}
	*r = with
}

func (d *desk) musician() string {
	if d.plan.Musician.Name == "" {
		return "musician"
	}
	return d.plan.Musician.Name
}

// placed returns where the musician is in the room, nil while that is not known.
func (d *desk) placed() *room.Point {
	at := d.plan.Musician.At
	if d.room == nil || at == nil || !d.room.Inside(*at) {
		return nil
	}
	return at
}

// lit returns the room with the lamps of a state in it.
func (d *desk) lit(state *Light) room.Room {
	r := *d.room
	r.Things = append(slices.Clip(r.Things), d.stands(state)...)
	return r
}

// stands are the lamps of a state that have a place in the room.
func (d *desk) stands(state *Light) []room.Thing {
	things := []room.Thing{}
	if state == nil || d.room == nil {
		return things
	}
	for _, l := range state.Lamps {
		if l.At != nil && d.room.Inside(*l.At) && numbers(l.HeightM) && l.HeightM <= d.room.CeilingM {
			things = append(things, room.Thing{Name: l.Lamp, Kind: room.Lamp, At: *l.At, RadiusM: standM, HeightM: l.HeightM})
		}
	}
	return things
}

// standM is half the width of a lamp with its stand, as the frame shows it. A
// supposition of ours: a stand with its legs together.
const standM = 0.15

// drawRoom draws the plan with every camera's view and every lamp.
func (d *desk) drawRoom() {
	if d.room == nil {
		return
	}
	whole := *d.room
	for i := range d.plan.Lights {
		for _, t := range d.stands(&d.plan.Lights[i]) {
			if !slices.ContainsFunc(whole.Things, func(o room.Thing) bool { return o.Name == t.Name && o.At == t.At }) {
				whole.Things = append(slices.Clip(whole.Things), t)
			}
		}
	}
	var views []room.View
	for _, c := range d.cameras {
		if c.placed {
			views = append(views, c.view)
		}
	}
	drawing := whole.Draw(views)
	d.told.Room.Room, d.told.Room.Drawing = &whole, &drawing
	if whole.CeilingM == noCeilingM {
		whole.CeilingM = 0
	}
}
