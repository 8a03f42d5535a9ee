package cut

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// tryAll is the slow, obvious twin of search: every sequence of shots that the
// pins allow, each priced from its shots, its pairs and its triples.
func tryAll(l *layout, pins []bound, count *int) (best cost, found bool) {
	n := len(l.slots)
	type priced struct {
		step
		cost
	}
	from := make([][]priced, n) // every shot that may begin at a point
	for i := range from {
		for p := 0; p <= l.hole(); p++ {
			for j := i + 1; j <= n; j++ {
				if price, ok := alone(l, pins, step{p, i, j}); ok {
					from[i] = append(from[i], priced{step{p, i, j}, price})
				}
			}
		}
	}
	var shots []step
	var try func(sum cost)
	try = func(sum cost) {
		i := 0
		if len(shots) > 0 {
			i = shots[len(shots)-1].j
		}
		if i == n {
			*count++
			sum.wishes += l.endPrice(shots[len(shots)-1].p)
			if !found || sum.less(best) {
				best, found = sum, true
			}
			return
		}
		for _, s := range from[i] {
			next := sum.plus(s.cost)
			next.wishes += joined(l, append(shots, s.step))
			shots = append(shots, s.step)
			try(next)
			shots = shots[:len(shots)-1]
		}
	}
	try(cost{})
	return best, found
}

// alone prices a shot by itself; ok is false when it may not be.
func alone(l *layout, pins []bound, s step) (c cost, ok bool) {
	if s.j-s.i > 1 && l.seconds(s.i, s.j) > mayStretch*l.slots[s.i].longest {
		return cost{}, false
	}
	strong := false
	for _, pin := range pins {
		for i := s.i; i <= s.j; i++ {
			f := l.points[i].frame
			edge := i == s.i || i == s.j
			if pin.Kind == film.PinCut && f == pin.first && !edge {
				return cost{}, false
			}
			if !edge || f == 0 || f == l.clock.end {
				continue
			}
			if pin.Kind == film.PinNoCut && pin.closes(f, l.options.AnticipateFrames) || pin.shows() && pin.Strong && f > pin.first && f < pin.end {
				return cost{}, false
			}
		}
		for f := l.points[s.i].frame; f < l.points[s.j].frame; f++ {
			if f < pin.first || f >= pin.end {
				continue
			}
			strong = strong || pin.Strong && pin.shows()
			if pin.Source != nil && l.otherStretch(s.p, l.slotAt(f)) {
				return cost{}, false
			}
			if pin.shows() && (s.p == l.hole() || !pin.names(l.sources[s.p])) || pin.forbids() && s.p != l.hole() && pin.names(l.sources[s.p]) {
				return cost{}, false
			}
		}
	}
	if s.p == l.hole() {
		for p := range l.sources {
			if l.views[p][s.i].kind != nothing {
				return cost{}, false
			}
		}
		return cost{rules: oneShown * int64(nothing)}, s.j == s.i+1
	}
	var r run
	for k := s.i; k < s.j; k++ {
		if l.views[s.p][k].kind == nothing {
			return cost{}, false
		}
		r = r.with(l.views[s.p][k], l.slots[k])
	}
	src := l.sources[s.p]
	laid, ok := l.lay(s)
	if !ok {
		return cost{}, false
	}
	seconds, wants := l.seconds(s.i, s.j), 0.0
	for k := s.i; k < s.j; k++ {
		wants += l.slots[k].seconds() * l.slots[k].logWant
	}
	agreement, sync, speed := shotTerms(src, laid, r, l.shown(s).Len())
	c = cost{rules: l.breaks(laid, r, l.shown(s).Len()), wishes: r.wishes + agreement + sync + speed + l.priceLength(s.i, seconds, wants/seconds)}
	if strong {
		c.rules = 0
	}
	return c, true
}

// joined prices the last of some shots beside those before it.
func joined(l *layout, shots []step) (wishes int64) {
	n := len(shots)
	last := shots[n-1]
	if n == 1 {
		return l.endPrice(last.p)
	}
	before := shots[n-2]
	if before.p != l.hole() || last.p != l.hole() {
		place, next := l.placePrice(last.i), l.nextBill(before.p, last.p)
		wishes += place.sum() + next.sum()
		if l.points[last.i].word {
			wishes += l.wordPrice(before.p, last.p)
		}
	}
	if n > 2 {
		wishes += l.backPrice(shots[n-3].p, last.p)
	}
	return wishes
}

// priceOf prices given steps afresh.
func priceOf(l *layout, pins []bound, steps []step) (sum cost, ok bool) {
	for n, s := range steps {
		price, ok := alone(l, pins, s)
		if !ok || n > 0 && steps[n-1].j != s.i {
			return cost{}, false
		}
		sum = sum.plus(price)
		sum.wishes += joined(l, steps[:n+1])
	}
	sum.wishes += l.endPrice(steps[len(steps)-1].p)
	return sum, true
}

// Each of at least 2000 small instances, most with pins, must-sees and speeds,
// is solved as every sequence says.
func TestSearchAgainstEverySequence(t *testing.T) {
	instances, sequences, pinned, refused := 0, 0, 0, 0
	for candidates, beats := range map[int]int{1: 9, 2: 6, 3: 5, 4: 4} {
		t.Run(fmt.Sprintf("%d candidates", candidates), func(t *testing.T) {
			for n := 0; n < 1200; n++ {
				rng := rand.New(rand.NewPCG(uint64(candidates), uint64(n)))
				r := randomRequest(rng, 3+rng.IntN(beats-2), candidates)
				b, err := Prepare(r)
				if film.CodeOf(err) == film.CodeNoCoverage || err == nil && len(b.free.slots) > beats+3 { // enumeration explodes
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				pins := randomPins(rng, r)
				bounds, err := b.bind(pins)
				if err != nil {
					refused++
					continue
				}
				s, err := b.solveBound(context.Background(), bounds)
				if err == nil && len(s.slots) > beats+5 {
					continue
				}
				l := b.layOut(b.pinPoints(b.free.points, bounds), nil)
				l.overrule(bounds)
				l.fix(bounds)
				want, found := cost{}, false
				if len(l.slots) <= beats+5 {
					want, found = tryAll(l, bounds, &sequences)
				}
				if err != nil {
					if found {
						t.Fatalf("%d: %v, but there is a cut that costs %+v", n, err, want)
					}
					refused++
					continue
				}
				own, ok := priceOf(l, bounds, s.steps)
				if !found || !ok || own != want || own != s.cost {
					t.Fatalf("%d: found %v for %+v (which costs %+v), every sequence says %+v, pins %+v", n, s.steps, s.cost, own, want, bounds)
				}
				instances++
				if len(pins) > 0 {
					pinned++
				}
			}
		})
	}
	t.Logf("%d instances, %d with pins, %d refused for their pins, %d sequences", instances, pinned, refused, sequences)
	if instances < 2000 {
		t.Errorf("only %d instances were tried", instances)
	}
}

func TestSolveRefusesNonsense(t *testing.T) {
	song := steadySong(16, 0.5)
	good := func() Request {
		return Request{Song: song, Rate: film.Rate{Num: 25, Den: 1}, Candidates: []Candidate{steadyPass(1, "a.mp4", wide, song, 3)}}
	}
	for _, c := range []struct {
		name string
		with func(*Request)
		want film.Code
	}{
		{"no candidates", func(r *Request) { r.Candidates = nil }, film.CodeNoCoverage},
		{"no picture", func(r *Request) { r.Candidates[0].Clip.PictureEnd = 0 }, film.CodeNoCoverage},
		{"no rate", func(r *Request) { r.Rate = film.Rate{} }, film.CodeUsage},
		{"no record", func(r *Request) { r.Song = &film.Song{} }, film.CodeNeedsStep},
		{"lengths that do not rise", func(r *Request) { r.Options.MinShot = 5 }, film.CodeUsage},
		{"a wild speed", func(r *Request) { r.Options.MaxSpeed = 2 }, film.CodeUsage},
		{"handles below nothing", func(r *Request) { r.Options.HandleFrames = -1 }, film.CodeUsage},
		{"a stretch outside the song", func(r *Request) { r.Span = film.SongSpan{From: 6, To: 9} }, film.CodeUsage},
		{"a pace below the shortest", func(r *Request) {
			paced := *song
			paced.Sections = []film.Section{{Name: "A1", Span: film.SongSpan{To: 4}, PaceS: 0.5}}
			r.Song = &paced
		}, film.CodeUsage},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := good()
			c.with(&r)
			_, err := Solve(t.Context(), r)
			if film.CodeOf(err) != c.want || film.HintOf(err) == "" {
				t.Errorf("got %v (code %q, hint %q), want code %q and a hint", err, film.CodeOf(err), film.HintOf(err), c.want)
			}
		})
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Solve(ctx, good()); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: got %v", err)
	}
}

// The order in which candidates are handed in does not change the cut.
func TestOrderOfCandidatesDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		r := randomRequest(rng, 12, 4)
		first, err := Solve(context.Background(), r)
		if err != nil {
			t.Skip()
		}
		rng.Shuffle(len(r.Candidates), func(i, j int) {
			r.Candidates[i], r.Candidates[j] = r.Candidates[j], r.Candidates[i]
		})
		again, err := Solve(context.Background(), r)
		if err != nil || fmt.Sprintf("%+v", first) != fmt.Sprintf("%+v", again) {
			t.Fatalf("%v\n%+v\n%+v", err, first, again)
		}
	})
}
