package filmday

import (
	"math"
	"testing"

	"takeweave/internal/film"
)

func TestShareWorkedExample(t *testing.T) {
	note := func(at float64, pitch int) Sounded { return Sounded{At: at, Pitch: pitch} }
	tr := Truth{
		Meant: []Sounded{note(1, 60), note(1.2, 64), note(1.4, 67), note(3, 60), {At: 1.2, Pitch: 40, Part: Voice}},
		Heard: []Sounded{note(11.05, 60), note(11.2, 65), note(11.41, 67), note(11.42, 67)},
	}
	tr.counts[Guitar] = true
	// Within 0.75 s of 1.2: three against four notes, two in common; the voice
	// does not count.
	later := func(p film.PassTime) film.SongTime { return film.SongTime(p - 10) }
	if got, want := tr.Share(1.2, later), 4.0/7; math.Abs(got-want) > 1e-12 {
		t.Errorf("share %v, want %v", got, want)
	}
	if got := tr.Share(10, later); !math.IsNaN(got) {
		t.Errorf("where nothing is played: %v", got)
	}
}

func TestLatenessWorkedExample(t *testing.T) {
	g := film.Segment{Knots: []film.Knot{{Pass: 10, Song: 0}, {Pass: 20, Song: 10}}}
	pairs := []Pair{{Pass: 12.08, Song: 2, Right: true}, {Pass: 12.46, Song: 2.4, Right: true}, {Pass: 11.55, Song: 1.5, Right: true}, {Pass: 12.5, Song: 2.1}, {Pass: 15, Song: 5, Right: true}}
	if got := (&Truth{}).LateMS(pairs, 2, &g); math.Abs(got-60) > 1e-6 {
		t.Errorf("%v ms late, want 60", got)
	}
}

// Along the true map the notes of a pass lie where the record has them, but for
// what the hands do.
func TestPairsLieOnTheMap(t *testing.T) {
	for seed := range uint64(3) {
		d := NewDay(seed, 20)
		for _, kind := range []string{"full", "repeat", "falsestart", "cut off", "split", "playback"} {
			for _, pass := range d.Shoot(kind, 1) {
				tr := pass.Truth
				pairs := tr.Pairs()
				far := 0
				l := tr.LineUp()
				for _, p := range pairs {
					g := &l.Segments[p.Piece]
					if d := float64(g.SongAt(p.Pass) - p.Song); math.Abs(d) > 0.09 {
						far++
					}
				}
				// Swing and strums of record and pass differ by some ms, jitter has tails.
				if len(pairs) == 0 || far > len(pairs)/20 {
					t.Errorf("seed %d, %s: %d of %d notes are off the map", seed, kind, far, len(pairs))
				}
			}
		}
	}
}

func TestKindsAreWhatTheySay(t *testing.T) {
	d := NewDay(2, 24)
	all := map[string][]Pass{}
	for _, kind := range Kinds {
		all[kind] = d.Shoot(kind, 1)
		for _, p := range all[kind] {
			tr := p.Truth
			if tr.Kind != kind || (tr.Status == film.Aligned) != (len(tr.Pieces) > 0) {
				t.Errorf("%s: %s with %d pieces", tr.Kind, tr.Status, len(tr.Pieces))
			}
			for i, n := range tr.Heard {
				if n.At < 0 || n.At > float64(p.Sound.Len())/Rate || i > 0 && n.At < tr.Heard[i-1].At {
					t.Fatalf("%s: note %d at %v", kind, i, n.At)
				}
			}
			for _, piece := range tr.Pieces {
				k := piece.Segment.Knots
				for i := 1; i < len(k); i++ {
					if k[i].Pass <= k[i-1].Pass || k[i].Song <= k[i-1].Song {
						t.Fatalf("%s: knot %d does not rise", kind, i)
					}
				}
			}
			for i, v := range p.Sound.Samples {
				if !(v >= -1 && v <= 1) {
					t.Fatalf("%s: sample %d is %v", kind, i, v)
				}
			}
		}
	}
	truth := func(kind string) *Truth { return &all[kind][0].Truth }
	agreeing := func(kind string) (yes, no float64) {
		tr := truth(kind)
		span := tr.Pieces[0].Segment.SongSpan()
		n := 0.0
		for at := span.From + 1; at < span.To-1; at += 0.25 {
			v := tr.TrueShare(at)
			if v >= ShareYes {
				yes++
			}
			if v < ShareNo {
				no++
			}
			n++
		}
		return yes / n, no / n
	}
	for _, kind := range []string{"full", "capo", "hands only", "playback", "mimed", "voice only"} {
		if yes, _ := agreeing(kind); yes < 0.75 { // a player may miss up to a tenth of the notes
			t.Errorf("%s: %.2f of it agrees", kind, yes)
		}
	}
	if _, no := agreeing("improvised"); no < 0.1 {
		t.Errorf("improvised: only %.2f of it does not agree", no)
	}
	for kind, pieces := range map[string]int{"full": 1, "falsestart": 2, "breakdown": 2, "repeat": 2, "skip": 2, "vamp": 2, "fragment": 1, "talk": 0, "decoy chords": 0} {
		if got := len(truth(kind).Pieces); got != pieces {
			t.Errorf("%s has %d pieces, want %d", kind, got, pieces)
		}
	}
	if len(all["split"]) != 2 || len(all["recorder"]) != 2 || len(truth("several").Pieces) < 2 || truth("capo").Semitones == 0 {
		t.Error("split, recorder, several or capo is none")
	}
	for _, n := range truth("hands only").Heard {
		if n.Part.Sings() {
			t.Fatal("somebody sings with hands only")
		}
	}
	if a, b := truth("repeat").Pieces[0].Segment.SongSpan(), truth("repeat").Pieces[1].Segment.SongSpan(); b.From >= a.To {
		t.Errorf("repeat: %v then %v", a, b)
	}
	if a, b := truth("skip").Pieces[0].Segment.SongSpan(), truth("skip").Pieces[1].Segment.SongSpan(); b.From <= a.To {
		t.Errorf("skip: %v then %v", a, b)
	}
}

// The same notes on the clocks of a camera and a recorder beside it: one line.
func TestCameraAndRecorderHearTheSame(t *testing.T) {
	both := NewDay(5, 30).Shoot("recorder", 1)
	a, b := both[0].Truth, both[1].Truth
	at := map[[2]int]float64{}
	for _, n := range a.Heard {
		if n.Note >= 0 {
			at[[2]int{n.Note, n.Piece}] = n.At
		}
	}
	clock := (1 + b.By.PPM*1e-6) / (1 + a.By.PPM*1e-6)
	var first float64
	n := 0
	for _, v := range b.Heard {
		if p, ok := at[[2]int{v.Note, v.Piece}]; ok && v.Note >= 0 {
			off := v.At - p*clock
			if n == 0 {
				first = off
			}
			if math.Abs(off-first) > 1e-9 {
				t.Fatalf("note %d is %v s off, the first %v", v.Note, off, first)
			}
			n++
		}
	}
	if n < 20 || a.By.PPM == b.By.PPM {
		t.Errorf("%d notes, clocks %v and %v ppm", n, a.By.PPM, b.By.PPM)
	}
}

func TestSeedsReproduce(t *testing.T) {
	a, b, other := NewDay(9, 12), NewDay(9, 12), NewDay(10, 12)
	same := func(x, y []float32) bool {
		if len(x) != len(y) {
			return false
		}
		for i := range x {
			if x[i] != y[i] {
				return false
			}
		}
		return true
	}
	if !same(a.Record.Sound.Samples, b.Record.Sound.Samples) || same(a.Record.Sound.Samples, other.Record.Sound.Samples) {
		t.Error("records of one seed differ, or of two do not")
	}
	for _, kind := range []string{"otherwise", "playback", "room", "recorder"} {
		x, y := a.Shoot(kind, 3), b.Shoot(kind, 3)
		for i := range x {
			if !same(x[i].Sound.Samples, y[i].Sound.Samples) {
				t.Errorf("%s: passes of one seed differ", kind)
			}
		}
		if same(x[0].Sound.Samples, a.Shoot(kind, 4)[0].Sound.Samples) {
			t.Errorf("%s: passes of two seeds are the same", kind)
		}
	}
}

// No sample of a record is missing: codecs and levels of silence make none.
func TestRecordsAreFinite(t *testing.T) {
	for seed := range uint64(12) {
		for i, v := range NewDay(seed, 8).Record.Sound.Samples {
			if !(v >= -1 && v <= 1) {
				t.Fatalf("seed %d: sample %d is %v", seed, i, v)
			}
		}
	}
}
