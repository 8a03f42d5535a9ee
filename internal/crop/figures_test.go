package crop

import (
	"math"
	"testing"

	"takeweave/internal/film"
)

// rand returns numbers in [0, 1) that are the same in every run.
func rand(seed uint64) func() float64 {
	return func() float64 {
		seed = seed*6364136223846793005 + 1442695040888963407 // Knuth's constants, from memory
		return float64(seed>>40) / (1 << 24)
	}
}

// stage is an invented subject for five minutes: it sways all the time, now and
// then takes a step or walks to another place, and is seen twice a second with a
// shake of 1 % of the picture.
func stage(seed uint64, width float64) []Sighting {
	r := rand(seed)
	at, goal, next := 0.3+0.4*r(), 0.0, 5.0
	goal = at
	period, sway := 1+2.5*r(), 0.02*r()
	var all []Sighting
	for t := 0.0; t < 300; t += 0.5 {
		if t > next {
			goal, next = 0.25+0.5*r(), t+10+30*r()
		}
		at += clamp(goal-at, -0.03, 0.03) // 6 % of the picture a second
		x := at + sway*math.Sin(2*math.Pi*t/period) + 0.01*(2*r()-1)
		all = append(all, Sighting{film.PassTime(t), Box{x - width/2, 0.12, width, 0.8}, 0.9})
	}
	return all
}

// chase is what the path is compared with: after the middle of the box at once,
// no faster than allowed, and eased alike.
func chase(w Window, all []Sighting, s Stretch) Path {
	tr := newTrack(all)
	x, y := make([]float64, s.Frames), make([]float64, s.Frames)
	for i := range x {
		b, _ := tr.at(s.passTime(film.Frames(i)))
		x[i] = w.across(b).best
		if reach := pace * float64(w.W) / 25; i > 0 {
			x[i] = clamp(x[i], x[i-1]-reach, x[i-1]+reach)
		}
	}
	return Path{w, s, s.keys(eased(x, s.easeFrames()), y)}
}

type figure struct{ stands, shots, way, outside, left, known float64 }

func (f *figure) take(p Path, all []Sighting) {
	f.shots++
	if p.Stands() {
		f.stands++
	}
	for i := range p.Stretch.Frames - 1 {
		f.way += math.Abs(p.At(i+1).X-p.At(i).X) / float64(p.Window.W)
	}
	l := NewTable(p, all).Leaves(p.Stretch.From, p.Stretch.From+film.PassTime(float64(p.Stretch.Frames)/25))
	f.outside += l.Share * l.Known
	f.left += l.Seconds
	f.known += l.Known
}

// TestFigures measures docs/shapes.md: 20 invented passes cut into shots of 6 s
// for 9:16. Over all shots, their own paths lose hardly more of the subject than
// the path of the whole pass, which is what makes the latter a price that a solver
// may use.
func TestFigures(t *testing.T) {
	w := largest(t, 1920, 1080, "9:16")
	passes := 4
	for _, width := range []float64{0.12, 0.2, 0.3} {
		var own, middle, whole, chased, plain figure
		for seed := range uint64(passes) {
			all := stage(seed, width)
			pass := Stretch{Speed: 1, Frames: 300 * 25, Rate: pal}
			path := Follow(w, all, pass, Centre)
			whole.take(path, all)
			limits(t, path)
			for from := 0; from < 300; from += 6 {
				s := Stretch{film.PassTime(from), 1, 150, pal}
				p := Follow(w, all, s, Centre)
				limits(t, p)
				own.take(p, all)
				middle.take(Follow(w, nil, s, Centre), all)
				fixed := p
				fixed.Keys = p.Keys[:1]
				plain.take(fixed, all)
				chased.take(chase(w, all, s), all)
			}
		}
		for _, f := range []struct {
			name string
			figure
		}{{"own path", own}, {"whole pass", whole}, {"after the box's middle", chased}, {"stands at its first place", plain}, {"picture's middle", middle}} {
			t.Logf("subject %.0f %% of the picture wide, %-25s stands %5.1f %%, travels %5.2f frames a minute, outside %5.2f %%, left %5.2f %% of the time",
				100*width, f.name, 100*f.stands/f.shots, 60*f.way/f.known, 100*f.outside/f.known, 100*f.left/f.known)
		}
		if own.outside > whole.outside+0.001*own.known {
			t.Errorf("subject %v: shots of their own lose %v, the whole pass %v", width, own.outside, whole.outside)
		}
		if own.way > chased.way/2 {
			t.Errorf("subject %v: the path travels %v, the box's middle %v", width, own.way, chased.way)
		}
	}
}

func BenchmarkFollowShot(b *testing.B) {
	w, all := largest(b, 1920, 1080, "9:16"), stage(1, 0.2)
	for b.Loop() {
		Follow(w, all, Stretch{20, 1, 150, pal}, Centre)
	}
}

func BenchmarkFollowPass(b *testing.B) {
	w, all := largest(b, 1920, 1080, "9:16"), stage(1, 0.2)
	for b.Loop() {
		Follow(w, all, Stretch{0, 1, 7500, pal}, Centre)
	}
}

func BenchmarkLeaves(b *testing.B) {
	w, all := largest(b, 1920, 1080, "9:16"), stage(1, 0.2)
	table := NewTable(Follow(w, all, Stretch{0, 1, 7500, pal}, Centre), all)
	for b.Loop() {
		table.Leaves(20.3, 27.7)
	}
}

// TestFigureOfSway measures docs/shapes.md: from which sway on the window goes
// along. The shots are of 6 s, the sightings two a second with a shake of 1 % of
// the picture.
func TestFigureOfSway(t *testing.T) {
	w := largest(t, 1920, 1080, "9:16")
	for _, period := range []float64{1.5, 3, 6} {
		for _, sway := range []float64{0.05, 0.1, 0.15, 0.2} { // of the window, to either side
			r := rand(3)
			stands := 0
			const shots = 100
			for range shots {
				phase := r()
				all := seen(6, 0.5, 0.12, func(at float64) float64 {
					return 0.5 + sway*608/1920*math.Sin(2*math.Pi*(at/period+phase)) + 0.01*(2*r()-1)
				})
				if Follow(w, all, shot(6), Centre).Stands() {
					stands++
				}
			}
			t.Logf("sway of %2.0f %% of the window each %.1f s: %d of %d shots stand", 100*sway, period, stands, shots)
			// Within what composing allows, and with what comes back before it is
			// worth following, nothing may move.
			if (sway == 0.05 || period == 1.5 && sway <= 0.1) && stands < shots {
				t.Errorf("sway of %v each %v s: only %d of %d shots stand", sway, period, stands, shots)
			}
		}
	}
}

func BenchmarkNewTable(b *testing.B) {
	w, all := largest(b, 1920, 1080, "9:16"), stage(1, 0.2)
	p := Follow(w, all, Stretch{0, 1, 7500, pal}, Centre)
	for b.Loop() {
		NewTable(p, all)
	}
}
