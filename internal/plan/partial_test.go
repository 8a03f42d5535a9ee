package plan_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"takeweave/internal/demo"
	"takeweave/internal/plan"
	"takeweave/internal/schedule"
)

// tree is the whole plan of the invented day as a JSON value.
func tree(t *testing.T) any {
	body, err := json.Marshal(demo.Before())
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(body, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func planOf(t *testing.T, v any) plan.Plan {
	body, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var p plan.Plan
	if err := json.Unmarshal(body, &p); err != nil {
		t.Fatal(err)
	}
	return p
}

// visit calls do for every field below v, with its object, name and path without
// numbers.
func visit(v any, path string, do func(object map[string]any, name, path string)) {
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			visit(v[name], path+"."+name, do)
			do(v, name, strings.TrimPrefix(path+"."+name, "."))
		}
	case []any:
		for _, e := range v {
			visit(e, path, do)
		}
	}
}

// notKnown are the fields whose absence means that something is not known yet, as
// docs/plan.md has it. Others have a meaning when they are absent: a lamp without
// a dial's value burns at its least, a musician without a seat stands.
var notKnown = []string{
	"place.date", "place.latitude", "place.longitude", "place.zone", "song.duration_s", "song.lines", "song.must_see.shows",
	"musician.at", "room.walls", "room.ceiling", "room.up", "camera.sensor", "camera.pixels_width", "camera.rate", "camera.iso", "camera.shutter_s",
	"camera.megabits_per_s", "camera.watts", "camera.cards", "camera.batteries", "camera.lenses.nearest", "shapes",
	"setups.angle_deg", "setups.stop", "setups.distance", "setups.height", "setups.aim", "setups.need_high", "setups.passes", "setups.tries", "setups.loop", "setups.shows",
	"lamps.watts", "lights.lamps.role", "lights.lamps.at", "lights.lamps.height", "practicals.at",
	"power.mains_hz", "power.circuits", "day.start", "day.key_back", "day.call", "job.rounds",
}

// cases is how many plans each property is tried on.
const cases = 300

// Whatever is not typed yet of a plan that works, nothing is said not to work.
func TestNoVerdictOnWhatIsMissing(t *testing.T) {
	for seed := range uint64(cases) {
		rng := rand.New(rand.NewPCG(seed, 1))
		v, share := tree(t), rng.Float64()
		var gone []string
		visit(v, "", func(object map[string]any, name, path string) {
			if slices.Contains(notKnown, path) && rng.Float64() < share {
				delete(object, name)
				gone = append(gone, path)
			}
		})
		told := plan.Compute(planOf(t, v), plan.Known{})
		for _, f := range told.Findings {
			if f.Answer == plan.Fails {
				t.Fatalf("seed %d, without %v: %+v", seed, gone, f)
			}
		}
		if _, err := json.Marshal(told); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
	}
}

// Whatever is typed, however wild, the plan is told, and printed.
func TestWildPlansAreTold(t *testing.T) {
	numbers := []float64{0, -1, 1e-9, 1e9, 1e300, -1e300, 0.3, 7}
	wholes := []int{-1, 0, 1, 3, 1e9}
	texts := []string{"", "x", "25:61", "10:00", "A1"}
	isWhole := []string{"wall", "passes", "tries", "wanted", "matches", "count", "pixels_width", "pixels_height", "rounds", "long", "voice"}
	for seed := range uint64(cases) {
		rng := rand.New(rand.NewPCG(seed, 2))
		v, share := tree(t), 0.2*rng.Float64()
		visit(v, "", func(object map[string]any, name, path string) {
			if rng.Float64() >= share {
				return
			}
			switch object[name].(type) {
			case float64:
				object[name] = numbers[rng.IntN(len(numbers))]
				if slices.Contains(isWhole, name) {
					object[name] = wholes[rng.IntN(len(wholes))]
				}
			case string:
				if path != "camera.rate" {
					object[name] = texts[rng.IntN(len(texts))]
				}
			default:
				delete(object, name)
			}
		})
		p := planOf(t, v)
		told := plan.Compute(p, plan.Known{})
		if bad := notFinite(reflect.ValueOf(told), "told"); bad != "" {
			t.Errorf("seed %d: %s", seed, bad)
		}
		if _, err := plan.Pages(p, told); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
	}
}

// notFinite returns where a value holds a number that is none, "" for nowhere.
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Sprint(path, " is ", f)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return notFinite(v.Elem(), path)
		}
	case reflect.Slice:
		for i := range v.Len() {
			if bad := notFinite(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); bad != "" {
				return bad
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				if bad := notFinite(v.Field(i), path+"."+f.Name); bad != "" {
					return bad
				}
			}
		}
	}
	return ""
}

// What each field is needed for is not known without it.
func TestWhatIsMissingIsNamed(t *testing.T) {
	for _, c := range []struct {
		field   string
		verdict func(plan.Told) plan.Verdict
		say     string
	}{
		{"setups.distance", func(t plan.Told) plan.Verdict { return t.Setups[0].Picture }, "the distance"},
		{"camera.sensor", func(t plan.Told) plan.Verdict { return t.Setups[0].Picture }, "sensor"},
		{"setups.stop", func(t plan.Told) plan.Verdict { return t.Setups[0].Depth }, "the stop"},
		{"setups.stop", func(t plan.Told) plan.Verdict { return t.Setups[0].Light.Verdict }, "the stop"},
		{"camera.lenses.nearest", func(t plan.Told) plan.Verdict { return t.Setups[0].Focus }, "nearest focus"},
		{"setups.need_high", func(t plan.Told) plan.Verdict { return t.Setups[0].Shapes[0].Verdict }, "metres of the musician"},
		{"setups.angle_deg", func(t plan.Told) plan.Verdict { return t.Setups[0].Stand }, "where the camera stands"},
		{"setups.angle_deg", func(t plan.Told) plan.Verdict { return t.Setups[0].Side }, "where the camera stands"},
		{"setups.height", func(t plan.Told) plan.Verdict { return t.Setups[0].Mirrors }, "height of the lens"},
		{"musician.at", func(t plan.Told) plan.Verdict { return t.Setups[0].Stand }, "where the musician is"},
		{"room.walls", func(t plan.Told) plan.Verdict { return t.Room.Verdict }, "walls"},
		{"room.up", func(t plan.Told) plan.Verdict { return t.Sun.Verdict }, "true north"},
		{"place.zone", func(t plan.Told) plan.Verdict { return t.Sun.Verdict }, "zone"},
		{"lights.lamps.role", func(t plan.Told) plan.Verdict { return t.Setups[0].Light.Verdict }, "key, fill or back"},
		{"lights.lamps.height", func(t plan.Told) plan.Verdict { return t.Setups[0].Light.Verdict }, "height"},
		{"camera.iso", func(t plan.Told) plan.Verdict { return t.Battery.Verdict }, ""}, // not of the battery's business
		{"power.mains_hz", func(t plan.Told) plan.Verdict { return t.Setups[0].Light.Flicker }, "mains"},
		{"power.circuits", func(t plan.Told) plan.Verdict { return t.Power.Verdict }, "circuits"},
		{"lamps.watts", func(t plan.Told) plan.Verdict { return t.Power.Verdict }, "watts of soft lamp"},
		{"camera.megabits_per_s", func(t plan.Told) plan.Verdict { return t.Cards.Verdict }, "data rate"},
		{"camera.cards", func(t plan.Told) plan.Verdict { return t.Cards.Verdict }, "cards"},
		{"camera.watts", func(t plan.Told) plan.Verdict { return t.Battery.Verdict }, "watts of the camera"},
		{"song.duration_s", func(t plan.Told) plan.Verdict { return t.Day.Verdict }, "how long the song"},
		{"day.start", func(t plan.Told) plan.Verdict { return t.Day.Verdict }, "first setup is rigged"},
		{"setups.passes", func(t plan.Told) plan.Verdict { return t.Day.Verdict }, "how many passes of wide"},
		{"setups.loop", func(t plan.Told) plan.Verdict { return t.Day.Verdict }, "which lines strings loops"},
		{"job.rounds", func(t plan.Told) plan.Verdict { return t.Hours.Verdict }, "rounds"},
	} {
		v := tree(t)
		n := 0
		visit(v, "", func(object map[string]any, name, path string) {
			if path == c.field {
				delete(object, name)
				n++
			}
		})
		got := c.verdict(plan.Compute(planOf(t, v), plan.Known{}))
		want := plan.Unknown
		if c.say == "" {
			want = plan.Works
		}
		if n == 0 || got.Answer != want || !strings.Contains(got.Say, c.say) {
			t.Errorf("without %s (%d fields): %+v, want it to ask for %q", c.field, n, got, c.say)
		}
	}
}

// The order is that of the room which solves it, and no other order of the setups
// typed is quicker.
func TestOrderIsTheQuickest(t *testing.T) {
	p := nineSetups()
	told := plan.Compute(p, plan.Known{})
	if told.Day.Plan == nil || len(told.Day.Order) != 9 {
		t.Fatalf("%+v", told.Day.Verdict)
	}
	if len(told.Day.Plan.Order.Broken) > 0 {
		t.Errorf("broken: %v", told.Day.Plan.Order.Broken)
	}
	// Asked for exactly this order, the plan costs the same; and as it was typed no less.
	sorted := p
	sorted.Setups = nil
	for _, name := range told.Day.Order {
		i := slices.IndexFunc(p.Setups, func(s plan.Setup) bool { return s.Name == name })
		sorted.Setups = append(sorted.Setups, p.Setups[i])
	}
	again := plan.Compute(sorted, plan.Known{})
	best := told.Day.Plan.Order.ChangeMin
	if again.Day.AsTyped != best || again.Day.Plan.Order.ChangeMin != best || told.Day.AsTyped < best {
		t.Errorf("best %g min, typed in that order %g, solved again %g, as typed %g", best, again.Day.AsTyped, again.Day.Plan.Order.ChangeMin, told.Day.AsTyped)
	}
	sorted.Day.Rules = &schedule.Rules{}
	if free := plan.Compute(sorted, plan.Known{}).Day.Plan.Order.ChangeMin; free > best {
		t.Errorf("without rules the changes take %g min, with them %g", free, best)
	}
}

// The memory gives the same answer as solving, and keeps it while cameras are
// dragged about.
func TestMemory(t *testing.T) {
	p, memory := nineSetups(), &plan.Memory{}
	for i := range 5 {
		p.Setups[3].DistanceM += 0.01 * float64(i)
		with, err := json.Marshal(plan.Compute(p, plan.Known{Memory: memory}))
		if err != nil {
			t.Fatal(err)
		}
		without, _ := json.Marshal(plan.Compute(p, plan.Known{}))
		if string(with) != string(without) {
			t.Fatal("the memory changes the answer")
		}
	}
}

// nineSetups is the invented plan grown to nine setups and 36 lines.
func nineSetups() plan.Plan { return grown(9, 36) }

func grown(setups, lines int) plan.Plan {
	p := demo.Before()
	own := slices.Clone(p.Setups)
	for i := len(own); i < setups; i++ {
		s := own[i%len(own)]
		s.Name = fmt.Sprintf("%s %d", s.Name, i/len(own)+1)
		s.Safety = false
		s.DistanceM *= 1 + 0.07*float64(i)
		p.Setups = append(p.Setups, s)
	}
	p.Song.DurationS = 252
	text := p.Song.Lines
	p.Song.Lines = nil
	for i := range lines {
		l := text[1+i%(len(text)-1)]
		l.Section, l.Seconds = []string{"A1", "B1", "A2", "B2", "C1", "B3"}[i*6/lines], 0
		p.Song.Lines = append(p.Song.Lines, l)
	}
	return p
}

// BenchmarkTwentySetups is what a page waits for while something is dragged.
func BenchmarkTwentySetups(b *testing.B) {
	p, memory := grown(20, 36), &plan.Memory{}
	plan.Compute(p, plan.Known{Memory: memory})
	for i := 0; b.Loop(); i++ {
		p.Setups[3].DistanceM = 2 + float64(i%100)/100
		plan.Compute(p, plan.Known{Memory: memory})
	}
}
