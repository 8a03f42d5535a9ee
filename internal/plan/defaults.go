package plan

import (
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"

	"takeweave/internal/coverage"
	"takeweave/internal/film"
	"takeweave/internal/light"
	"takeweave/internal/optics"
	"takeweave/internal/room"
	"takeweave/internal/schedule"
)

// limits are the numbers of all rooms that are not physics.
type limits struct {
	optics   optics.Limits
	room     roomLimits
	light    light.Limits
	schedule schedule.Limits
	coverage coverage.Limits
	hours    schedule.Rates
}

// roomLimits are those of room.Defaults, in their order.
type roomLimits struct {
	ClearanceM float64 `json:"clearance"`
	BodyM      float64 `json:"body"`
	SlackShare float64 `json:"slack"`
}

// defaultsOf is the defaults of one room with the struct that holds them, whose
// first fields are in their order.
type defaultsOf struct {
	room     string
	defaults []film.Default
	limits   any // a pointer
}

func (l *limits) all() []defaultsOf {
	return []defaultsOf{
		{"optics", optics.Defaults, &l.optics},
		{"room", room.Defaults, &l.room},
		{"light", light.Defaults, &l.light},
		{"schedule", schedule.Defaults, &l.schedule},
		{"coverage", coverage.Defaults, &l.coverage},
		{"hours", schedule.RateDefaults, &l.hours},
	}
}

// limitsOf returns the limits as the person changed them, all of them told one by
// one, and what is wrong with the changes.
func limitsOf(changed map[string]float64) (*limits, []Default, []Finding) {
	l := &limits{
		optics: optics.Usual(), light: light.Usual(), schedule: schedule.Usual(),
		coverage: coverage.Usual(), hours: schedule.UsualRates(),
		room: roomLimits{room.ClearanceM, room.BodyM, room.SlackShare},
	}
	var told []Default
	wrong := []Finding{}
	left := maps.Clone(changed)
	for _, of := range l.all() {
		v := reflect.ValueOf(of.limits).Elem()
		for i, d := range of.defaults {
			name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			t := Default{Default: d, Key: of.room + "." + name, Room: of.room, Now: d.Value}
			if to, ok := left[t.Key]; ok {
				delete(left, t.Key)
				if why := unlikely(d, to); why != "" {
					wrong = append(wrong, fails(OfDefaults, t.Key, "%s is %g: %s", d.Name, to, why))
				} else {
					t.Now, t.Changed = to, to != d.Value
				}
			}
			v.Field(i).SetFloat(t.Now)
			told = append(told, t)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(left)) {
		wrong = append(wrong, fails(OfDefaults, key, "there is no default of this name"))
	}
	return l, told, wrong
}

// DayLimits returns the numbers that count on the day too, as the person changed
// them.
func (p *Plan) DayLimits() (coverage.Limits, schedule.Limits) {
	l, _, _ := limitsOf(p.Changed)
	return l.coverage, l.schedule
}

// mayBeNone are defaults that can be switched off with 0.
var mayBeNone = []string{"min", "s", "of work and breaks", "of the hours", "of its size", "h", "points", "of the kept frame", "of its way", "degrees"}

// unlikely says why a default cannot have a value, "" when it can: what is
// divided by must not be 0, and nothing is a thousand times as large.
func unlikely(d film.Default, to float64) string {
	most := 1000 * math.Max(1, math.Abs(d.Value))
	switch {
	case math.IsNaN(to) || math.Abs(to) > most:
		return fmt.Sprintf("give a number up to %g", most)
	case to < 0 && d.Value > 0:
		return "give 0 or more"
	case to == 0 && d.Value > 0 && !slices.Contains(mayBeNone, d.Unit):
		return "give more than 0"
	}
	return ""
}
