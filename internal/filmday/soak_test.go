package filmday_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"takeweave/internal/agree"
	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/filmday"
	"takeweave/internal/lineup"
)

// The promises that fail the test.
const (
	worstCalibration = 0.08 // expected calibration error of agreement, over all
	leastInBound     = 0.88 // of the notes, where 0.9 is what the bound says
	enoughMoments    = 5000 // for either: a day is too little to tell
)

// TestFilmDays lines up and judges invented film days, holds them to the hard
// promises and prints a table: with -v, for it is long. TAKEWEAVE_SOAK=1 makes
// TAKEWEAVE_DAYS days (4) from seed TAKEWEAVE_FIRST (100) on with all kinds of
// passes, or those of TAKEWEAVE_KINDS ("full,late").
func TestFilmDays(t *testing.T) {
	first, days, kinds := 1, 1, []string{"full", "repeat", "otherwise", "playback", "decoy key", "room"}
	soak := os.Getenv("TAKEWEAVE_SOAK") != ""
	if soak {
		first, days, kinds = 100, 4, filmday.Kinds
		fmt.Sscan(os.Getenv("TAKEWEAVE_DAYS"), &days)
		fmt.Sscan(os.Getenv("TAKEWEAVE_FIRST"), &first)
		if only := os.Getenv("TAKEWEAVE_KINDS"); only != "" {
			kinds = strings.Split(only, ",")
		}
	}
	all, byKind := &tally{}, map[string]*tally{}
	for seed := first; seed < first+days; seed++ {
		seconds := 30.0
		if soak {
			seconds = 30 + 150*rand.New(rand.NewPCG(uint64(seed), 1)).Float64()
		}
		day := filmday.NewDay(uint64(seed), seconds)
		record := listen(t, day.Record.Sound)
		for _, kind := range kinds {
			for i, pass := range day.Shoot(kind, 0) {
				name := fmt.Sprintf("day %d, %s %d", seed, kind, i+1)
				a := judge(t, name, record, &pass)
				all.add(a)
				if byKind[kind] == nil {
					byKind[kind] = &tally{}
				}
				byKind[kind].add(a)
			}
		}
	}
	table := tableHead
	for _, kind := range kinds {
		table += "\n" + byKind[kind].row(kind)
	}
	t.Logf("%s\n%s\n%snot found: %s", table, all.row("all"), all.reliability(), strings.Join(all.missed, "; "))
	for _, name := range all.falselyAligned {
		t.Errorf("%s: lined up, but nothing of the song is in it", name)
	}
	if got := all.calibration(); len(all.scores) > enoughMoments && !(got <= worstCalibration) {
		t.Errorf("the calibration error is %.3f, want %.2f at most", got, worstCalibration)
	}
	if got := all.boundShare(); len(all.bounds) > enoughMoments && !(got >= leastInBound) {
		t.Errorf("%.3f of the notes lie within the stated bound, want %.2f", got, leastInBound)
	}
}

func listen(t *testing.T, src dsp.Source) *lineup.Recording {
	t.Helper()
	r, err := lineup.Listen(context.Background(), src, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// judge lines a pass up and judges it as if it were a real one.
func judge(t *testing.T, name string, record *lineup.Recording, pass *filmday.Pass) *tally {
	t.Helper()
	heard := listen(t, pass.Sound)
	l, err := lineup.Align(context.Background(), record, heard, nil)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if why := wrongForm(l); why != "" {
		t.Errorf("%s: %s", name, why)
		return &tally{passes: 1}
	}
	said, err := agree.Judge(context.Background(), record, heard, l, film.Setup{}, nil)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	for i := range said {
		for j, s := range said[i].Score {
			if !(s >= 0 && s <= 1) || math.IsNaN(said[i].LateMS[j]) || math.IsInf(said[i].LateMS[j], 0) {
				t.Errorf("%s: moment %d scores %v, late by %v ms", name, said[i].First+j, s, said[i].LateMS[j])
				break
			}
		}
	}
	a := score(name, &pass.Truth, l, said)
	if testing.Verbose() {
		by := pass.Truth.By
		t.Logf("%s\n   %s; noise %.0f dB below, echo of %.1f s %.0f dB below, room %d; %s: %s", a.row(pass.Truth.Kind), name, by.SNRDB, by.Room.RT60, by.Room.DirectDB, by.Room.Measured, l.Status, l.Reason)
	}
	return a
}

// wrongForm says what no line-up may be: segments without a map, and maps that do
// not rise or are not finite.
func wrongForm(l film.LineUp) string {
	if (l.Status == film.Aligned) != (len(l.Segments) > 0) {
		return fmt.Sprintf("%s with %d segments", l.Status, len(l.Segments))
	}
	for _, g := range l.Segments {
		if len(g.Knots) < 2 || len(g.ErrorMS) != len(g.Knots) {
			return fmt.Sprintf("%d knots with %d bounds", len(g.Knots), len(g.ErrorMS))
		}
		for i, k := range g.Knots {
			for _, v := range []float64{float64(k.Pass), float64(k.Song), g.ErrorMS[i]} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					return fmt.Sprintf("knot %d is %v with bound %v", i, k, g.ErrorMS[i])
				}
			}
			if i > 0 && (k.Pass <= g.Knots[i-1].Pass || k.Song <= g.Knots[i-1].Song) {
				return fmt.Sprintf("knot %d does not rise: %v after %v", i, k, g.Knots[i-1])
			}
		}
	}
	return ""
}

// The area under the curve of a worked example: the scores 0.1, 0.4, 0.35, 0.8 of
// the classes 0, 0, 1, 1 have 3 of 4 pairs in order; and a calibration error by
// hand: bins of one moment each.
func TestScoresWorkedExample(t *testing.T) {
	x := []scored{{0.1, 0}, {0.4, 0}, {0.35, 1}, {0.8, 1}}
	a := &tally{scores: x, labels: x}
	if got := a.area(); got != 0.75 {
		t.Errorf("area %v, want 0.75", got)
	}
	if got, want := a.calibration(), (0.1+0.4+0.65+0.2)/4; math.Abs(got-want) > 1e-12 {
		t.Errorf("calibration error %v, want %v", got, want)
	}
}
