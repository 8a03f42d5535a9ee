package light

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// TestAmps: I = P / (V pf), by hand.
func TestAmps(t *testing.T) {
	for _, c := range []struct{ watts, volts, factor, amps float64 }{
		{1000, 120, 0, 8.333}, {1000, 230, 0, 4.348}, {300, 120, 0, 2.500}, {300, 230, 1, 1.304}, {350, 120, 0.6, 4.861},
	} {
		near(t, "amps", Load{Watts: c.watts, PowerFactor: c.factor}.Amps(c.volts), c.amps, 0.0005)
	}
}

// TestCircuitsNEC: continuous load up to 80 % of the rating, [NEC2020] 210.20(A);
// plugs and circuits of other countries at their full rating (public pages on
// British plugs and rings; 16 A at 230 V from memory).
func TestCircuitsNEC(t *testing.T) {
	whole := Usual()
	whole.CircuitShare = 1
	for _, c := range []struct {
		limits             Limits
		amps, volts        float64
		allowed, loadWatts float64
	}{
		{Usual(), 15, 120, 12, 1440},
		{Usual(), 20, 120, 16, 1920},
		{whole, 3, 230, 3, 690},
		{whole, 13, 230, 13, 2990},
		{whole, 32, 230, 32, 7360},
		{whole, 16, 230, 16, 3680},
	} {
		circuit := []Circuit{{Name: "wall", Volts: c.volts, Amps: c.amps}}
		for _, more := range []float64{0, 1} {
			sums, err := c.limits.Sums(circuit, []Load{{Name: "lamps", Watts: c.loadWatts + more, Circuit: "wall"}})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "allowed", sums[0].AllowedAmps, c.allowed, 1e-9)
			if sums[0].OK != (more == 0) {
				t.Errorf("%g W and %g more on %g A: %+v", c.loadWatts, more, c.amps, sums[0])
			}
		}
	}
}

func TestSumsInWords(t *testing.T) {
	sums, err := Usual().Sums(
		[]Circuit{{Name: "kitchen", Volts: 230, Amps: 16, OtherWatts: 1150}, {Name: "hall", Volts: 230, Amps: 10}},
		[]Load{{Name: "key", Watts: 690, Circuit: "kitchen"}, {Name: "heater", Watts: 2300, Circuit: "hall"}, {Name: "fill", Watts: 300}})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{
		"kitchen: 8 A of 12.8 A, which are 80 % of 16 A for hours on end",
		"hall: 10 A of 8 A, which are 80 % of 10 A for hours on end; 2 A too much: a breaker that trips takes the recording with it",
	} {
		if sums[i].Words != want {
			t.Errorf("%s\nwant\n%s", sums[i].Words, want)
		}
	}
}

func TestPowerThatDoesNotFit(t *testing.T) {
	good := []Circuit{{Name: "wall", Volts: 230, Amps: 16}}
	for name, c := range map[string]struct {
		circuits []Circuit
		loads    []Load
	}{
		"no rating":      {[]Circuit{{Name: "wall"}}, nil},
		"below nothing":  {good, []Load{{Watts: -1}}},
		"factor above 1": {good, []Load{{Watts: 1, PowerFactor: 2}}},
		"no circuit":     {good, []Load{{Watts: 1, Circuit: "attic"}}},
		"too many":       {good, make([]Load, 17)},
	} {
		if _, err := Usual().Spread(c.circuits, c.loads); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestSpreadIsExact: against trying every way, in rooms where it is close.
func TestSpreadIsExact(t *testing.T) {
	l := Usual()
	random := rand.New(rand.NewPCG(3, 4))
	found, none := 0, 0
	for range 400 {
		circuits := make([]Circuit, 1+random.IntN(3))
		room := 0.0
		for i := range circuits {
			circuits[i] = Circuit{Name: string(rune('A' + i)), Volts: 230, Amps: []float64{6, 10, 16}[random.IntN(3)], OtherWatts: float64(random.IntN(3)) * 100}
			room += circuits[i].Volts*circuits[i].Amps*l.CircuitShare - circuits[i].OtherWatts
		}
		loads := make([]Load, 2+random.IntN(6))
		for i := range loads {
			loads[i] = Load{Watts: room / float64(len(loads)) * (0.5 + 0.9*random.Float64())}
		}
		if random.IntN(3) == 0 {
			loads[0].Circuit = "A"
		}
		got, err := l.Spread(circuits, loads)
		if err != nil {
			t.Fatal(err)
		}
		if want := anyWay(t, l, circuits, loads, 0); got.OK != want {
			t.Fatalf("found %v, there is one %v: %+v %+v", got.OK, want, circuits, loads)
		}
		if !got.OK {
			none++
			continue
		}
		found++
		if got.Loads[0].Circuit != loads[0].Circuit && loads[0].Circuit != "" {
			t.Fatal("a load that was decided has moved")
		}
		if !fits(t, l, circuits, got.Loads) {
			t.Fatalf("%+v does not fit %+v", got, circuits)
		}
	}
	if found < 50 || none < 50 {
		t.Errorf("%d with a way and %d without: too easy", found, none)
	}
}

func fits(t *testing.T, l Limits, circuits []Circuit, loads []Load) bool {
	sums, err := l.Sums(circuits, loads)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range sums {
		if !s.OK {
			return false
		}
	}
	return true
}

// anyWay tries every circuit for every load, from the i-th on.
func anyWay(t *testing.T, l Limits, circuits []Circuit, loads []Load, i int) bool {
	if i == len(loads) {
		return fits(t, l, circuits, loads)
	}
	if loads[i].Circuit != "" {
		return anyWay(t, l, circuits, loads, i+1)
	}
	defer func() { loads[i].Circuit = "" }()
	for _, c := range circuits {
		loads[i].Circuit = c.Name
		if anyWay(t, l, circuits, loads, i+1) {
			return true
		}
	}
	return false
}

func TestSpreadGivesReasons(t *testing.T) {
	l := Usual()
	wall, hall := Circuit{Name: "wall", Volts: 230, Amps: 10}, Circuit{Name: "hall", Volts: 230, Amps: 10} // 1840 VA each
	for _, c := range []struct {
		loads []Load
		want  string
	}{
		{[]Load{{Watts: 1000}, {Watts: 1000}, {Watts: 800}, {Watts: 800}}, "every circuit stays within 80 % of its rating"},
		{[]Load{{Watts: 2000}, {Watts: 2000}}, "4000 VA are wanted where 3680 are left"},
		{[]Load{{Watts: 1200}, {Watts: 1200}, {Watts: 1200}}, "3600 VA are wanted and 3680 left in all, but no way of sharing them out fits"},
		{[]Load{{Watts: 2000, Circuit: "hall"}}, "hall carries too much before anything is added"},
	} {
		got, err := l.Spread([]Circuit{wall, hall}, c.loads)
		if err != nil || !strings.HasPrefix(got.Words, c.want) || len(got.Sums) != 2 || len(got.Loads) != len(c.loads) {
			t.Errorf("%+v %v, want %s", got, err, c.want)
		}
	}
}

// TestLeads: 29 mV for each ampere and metre of 1.5 mm², [BS7671]; 25 m at 8 A
// are about 6 V (common practice).
func TestLeads(t *testing.T) {
	near(t, "1.5 mm²", Usual().DropVolts(Lead{LengthM: 25}, 8), 6, 0.5)
	near(t, "1.5 mm²", Usual().DropVolts(Lead{LengthM: 1, MM2: 1.5}, 1), 0.029, 1e-12)
	near(t, "3 mm² lose half", Usual().DropVolts(Lead{LengthM: 25, MM2: 3}, 8), 2.9, 1e-9)
	l := Usual()
	if c := l.CheckLead(Lead{LengthM: 25, Reel: true}, 230, 8); !c.OK || c.Words != "25 m of 1.5 mm² at 8 A lose 5.8 V, 2.5 %; unwind the reel fully" {
		t.Errorf("%+v", c)
	}
	if c := l.CheckLead(Lead{LengthM: 25}, 120, 8); c.OK || !strings.HasSuffix(c.Words, "4.8 %: take a thicker or a shorter one") {
		t.Errorf("%+v", c)
	}
}
