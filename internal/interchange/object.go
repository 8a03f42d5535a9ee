package interchange

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

// object is one dictionary of a file, of whatever schema. A field that is
// missing, null or of another kind than asked for reads as its zero value.
type object map[string]any

// schema returns the name of the object's schema, old names made new, and its
// version, 0 when it has none.
func (o object) schema() (name string, version int) {
	name, number, _ := strings.Cut(o.text("OTIO_SCHEMA"), ".")
	version, _ = strconv.Atoi(number)
	switch name { // names of the first drafts, still met: [OTIO], file format
	case "Sequence":
		name = "Track"
	case "Filler":
		name = "Gap"
	}
	return name, version
}

func (o object) text(key string) string {
	s, _ := o[key].(string)
	return s
}

func (o object) object(key string) object {
	m, _ := o[key].(map[string]any)
	return m
}

func (o object) list(key string) []object {
	values, _ := o[key].([]any)
	objects := make([]object, 0, len(values))
	for _, v := range values {
		m, _ := v.(map[string]any)
		objects = append(objects, m)
	}
	return objects
}

// number returns a finite number; ok is false for anything else.
func (o object) number(key string) (value float64, ok bool) {
	n, _ := o[key].(json.Number)
	value, err := n.Float64()
	return value, err == nil
}

// off reports whether an item or effect is switched off.
func (o object) off() bool {
	on, isSet := o["enabled"].(bool)
	return isSet && !on
}

// longest is the longest time that is believed, in seconds: some 11 days.
const longest = 1e6

// seconds reads a RationalTime. The usual short forms of the n·1000/1001 rates
// mean the exact ones.
func (o object) seconds(key string) (seconds float64, ok bool) {
	t := o.object(key)
	value, ok1 := t.number("value")
	rate, ok2 := t.number("rate")
	if !ok1 || !ok2 || !(rate > 0) {
		return 0, false
	}
	if exact := rateOf(rate); exact.Den == 1001 {
		rate = exact.PerSecond()
	}
	seconds = value / rate
	return seconds, math.Abs(seconds) <= longest
}

// span reads a TimeRange in seconds; a negative length is none.
func (o object) span(key string) (start, length float64, ok bool) {
	t := o.object(key)
	start, ok1 := t.seconds("start_time")
	length, ok2 := t.seconds("duration")
	return start, length, ok1 && ok2 && length >= 0
}

// ours returns what lies under our own name in the object's metadata; ok is
// false when nothing of that form does.
func ours[T any](o object) (v T, ok bool) {
	own := o.object("metadata")["takeweave"]
	if own == nil {
		return v, false
	}
	text, err := json.Marshal(own)
	if err != nil || json.Unmarshal(text, &v) != nil {
		var none T
		return none, false
	}
	return v, true
}

// rateOf returns a rate that was written as a decimal, or the zero Rate.
func rateOf(perSecond float64) film.Rate {
	r, err := film.ParseRate(strconv.FormatFloat(perSecond, 'f', -1, 64))
	if err != nil {
		return film.Rate{}
	}
	return r
}
