package agree

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

// judgedMoment is a moment as Judge scored it, with what is true of it.
type judgedMoment struct {
	score float64
	why   film.Why
	y     float64 // 1 it agrees, 0 not, between unclear
	kind  string  // what was injected; "" nothing
}

// The songs below are none that the weights were fitted on: those had the seeds
// from 1000 on.
const (
	firstSong = 5000
	inRoom    = "as it should be"
)

// aligned shoots a song and judges it along the map that the line-up finds.
func aligned(t *testing.T, seed uint64) []judgedMoment {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 21))
	s := newTune(r, 20)
	p := anyPlayer(r, s.bars)
	f := s.shoot(r, p)
	record, pass := listen(t, f.record), listen(t, f.pass)
	lu, err := lineup.Align(context.Background(), record, pass, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f.moments(t, record, pass, lu, p)
}

// given shoots a song and judges it along a map that is off by 12 ms here and
// there, and by lateMS in its middle third.
func given(t *testing.T, seed uint64, lateMS float64) []judgedMoment {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 21))
	s := newTune(r, 20)
	p := anyPlayer(r, s.bars)
	p.plan, p.semitones, p.drift = nil, 0, -lateMS/1000
	f := s.shoot(r, p)
	return f.moments(t, listen(t, f.record), listen(t, f.pass), f.lu, p)
}

// heardAlong returns the notes of the pass on the song's clock along a map.
func (f *filmed) heardAlong(g *film.Segment) []heardNote {
	heard := slices.Clone(f.heard)
	for i := range heard {
		heard[i].at = float64(g.SongAt(film.PassTime(heard[i].at)))
	}
	return heard
}

// moments judges a pass for a setup of middle size and says what is true of each
// moment, along the map that it was judged by: the same notes are played, and
// within the tolerance. Moments that no segment covers have film.WhyNotCovered.
func (f *filmed) moments(t *testing.T, record, pass *lineup.Recording, lu film.LineUp, p player) []judgedMoment {
	t.Helper()
	all, err := Judge(context.Background(), record, pass, lu, film.Setup{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	limit := film.Setup{}.SyncTolerance()
	asPlayed := &f.lu.Segments[0]
	span := asPlayed.SongSpan()
	var out []judgedMoment
	covered := map[int]bool{}
	add := func(i int, score float64, why film.Why, common, lateMS float64, silent bool) {
		at := (float64(i) + 0.5) * film.AgreementStep
		kind := f.kind(at)
		if f.kind(at-reach) != kind || f.kind(at+reach) != kind || math.IsNaN(common) && kind == "" {
			return // half of what is around is played otherwise, or nothing is meant
		}
		m := judgedMoment{score: score, why: why, kind: kind}
		if !math.IsNaN(common) {
			m.y = truth(common)
		}
		const nearMS = 10 // of the limit: single notes are uneven by as much
		switch {
		case kind == "" && (math.Abs(lateMS-limit.Late*1000) < nearMS || math.Abs(lateMS+limit.Early*1000) < nearMS):
			m.y = math.Min(m.y, 0.5)
		case lateMS > limit.Late*1000 && kind == "":
			m.y, m.kind = 0, "late"
		case lateMS < -limit.Early*1000 && kind == "":
			m.y, m.kind = 0, "early"
		case p.semitones != 0 && kind == "":
			m.kind = "other key"
		case kind == "thin" && silent:
			m.kind = "stopped" // so thin that nothing is left
		}
		out = append(out, m)
	}
	for k := range lu.Segments {
		g, a := &lu.Segments[k], &all[k]
		heard := f.heardAlong(g)
		for j := range a.Score {
			i := a.First + j
			at := film.SongTime((float64(i) + 0.5) * film.AgreementStep)
			if at < span.From || at >= span.To {
				continue
			}
			covered[i] = true
			late := f.lateMS(float64(at)) + 1000*float64(asPlayed.PassAt(at)-g.PassAt(at))
			if math.Abs(late) > 200 {
				late = 0 // laid to another place of the song: the notes decide
			}
			add(i, a.Score[j], a.Why[j], commonShare(f.meant, heard, float64(at)), late, !slices.ContainsFunc(heard, func(n heardNote) bool { return math.Abs(n.at-float64(at)) <= reach }))
		}
	}
	for i := int(math.Ceil(float64(span.From) / film.AgreementStep)); float64(i+1)*film.AgreementStep < float64(span.To); i++ {
		if !covered[i] {
			add(i, 0, film.WhyNotCovered, f.common((float64(i)+0.5)*film.AgreementStep), 0, false)
		}
	}
	return out
}

// qualityOf measures the covered and clear moments.
func qualityOf(all []judgedMoment) quality {
	var data []moment
	for _, m := range all {
		if m.why != film.WhyNotCovered {
			data = append(data, moment{x: []float64{m.score}, y: m.y})
		}
	}
	return judgeOf(data, func(m moment) float64 { return m.x[0] })
}

// reliability returns a table: of the moments scored about p, how many agree.
func reliability(all []judgedMoment) string {
	var bins [10][3]float64
	var unclear, missed, missedAgreeing int
	var unclearScore float64
	for _, m := range all {
		switch {
		case m.y > 0 && m.y < 1 && m.why != film.WhyNotCovered:
			unclear, unclearScore = unclear+1, unclearScore+m.score
		case m.y > 0 && m.y < 1:
		case m.why == film.WhyNotCovered:
			missed++
			missedAgreeing += int(m.y)
		default:
			b := &bins[min(9, int(m.score*10))]
			b[0], b[1], b[2] = b[0]+1, b[1]+m.score, b[2]+m.y
		}
	}
	var out strings.Builder
	fmt.Fprintln(&out, "| score | moments | mean score | truly agree |\n|---|---|---|---|")
	for k, b := range bins {
		fmt.Fprintf(&out, "| %.1f–%.1f | %.0f | %.3f | %.3f |\n", float64(k)/10, float64(k+1)/10, b[0], b[1]/b[0], b[2]/b[0])
	}
	q := qualityOf(all)
	fmt.Fprintf(&out, "ece %.3f auc %.3f precision %.3f recall %.3f brier %.3f; unclear %d, scored %.3f; not covered %d, of which agree %d\n", q.ece, q.auc, q.precision, q.recall, q.brier, unclear, unclearScore/math.Max(1, float64(unclear)), missed, missedAgreeing)
	return out.String()
}

// reasons are what each kind should be called.
var reasons = map[string]film.Why{
	"": film.WhyAgrees, "late": film.WhyLate, "early": film.WhyEarly, "wrong": film.WhyOtherNotes, "same chords": film.WhyOtherNotes,
	"other riff": film.WhyOtherNotes, "thin": film.WhyMissing, "busy": film.WhyExtra, "stopped": film.WhyNotPlaying, "other key": film.WhyOtherKey,
}

// confusion counts what was said of each kind: of what was injected over the
// moments that do not agree, of the rest over those that do.
func confusion(all []judgedMoment) map[string]map[film.Why]int {
	out := map[string]map[film.Why]int{}
	for _, m := range all {
		agrees := m.kind == "" || m.kind == "other key"
		if agrees && m.y < 1 || !agrees && m.y >= 0.5 {
			continue
		}
		if out[m.kind] == nil {
			out[m.kind] = map[film.Why]int{}
		}
		out[m.kind][m.why]++
	}
	return out
}

// rightShare returns which share of the covered moments of a kind was called what it
// is, and how many there are.
func rightShare(said map[film.Why]int, want film.Why) (share float64, moments int) {
	for why, n := range said {
		if why != film.WhyNotCovered {
			moments += n
		}
	}
	return float64(said[want]) / math.Max(1, float64(moments)), moments
}

func confusionTable(all []judgedMoment) string {
	var out strings.Builder
	said := confusion(all)
	order := append([]string{"", "late", "early", "other key"}, kinds...)
	fmt.Fprint(&out, "| played |")
	for w := film.WhyAgrees; w <= film.WhyNotCovered; w++ {
		fmt.Fprintf(&out, " %s |", w)
	}
	fmt.Fprintln(&out, " right |")
	for _, kind := range order {
		if said[kind] == nil {
			continue
		}
		name := kind
		if kind == "" {
			name = inRoom
		}
		fmt.Fprintf(&out, "| %s |", name)
		for w := film.WhyAgrees; w <= film.WhyNotCovered; w++ {
			fmt.Fprintf(&out, " %d |", said[kind][w])
		}
		share, _ := rightShare(said[kind], reasons[kind])
		fmt.Fprintf(&out, " %.2f |\n", share)
	}
	return out.String()
}

// A few songs that the weights were not fitted on, along the line-up's own map.
func TestReliabilityOfUnknownSongs(t *testing.T) {
	var all []judgedMoment
	for seed := range uint64(4) {
		all = append(all, aligned(t, firstSong+2000+seed)...)
	}
	if q := qualityOf(all); q.auc < 0.95 || q.ece > 0.08 || q.recall < 0.9 {
		t.Errorf("%+v, want area 0.95, calibration error 0.08 and recall 0.9\n%s%s", q, reliability(all), confusionTable(all))
	}
}

// TestReliabilityOfManySongs prints the tables of docs/agreement.md; it runs only
// with TAKEWEAVE_SOAK=1.
func TestReliabilityOfManySongs(t *testing.T) {
	if os.Getenv("TAKEWEAVE_SOAK") == "" {
		t.Skip("set TAKEWEAVE_SOAK=1 to judge many invented songs (minutes)")
	}
	songs := 48
	fmt.Sscan(os.Getenv("TAKEWEAVE_SONGS"), &songs)
	var all []judgedMoment
	for seed := range uint64(songs) {
		all = append(all, aligned(t, firstSong+seed)...)
	}
	fmt.Printf("ALONG THE LINE-UP'S OWN MAP, %d songs\n%s\n", songs, reliability(all))
	var off []judgedMoment
	for seed := range uint64(songs / 2) {
		off = append(off, given(t, firstSong+1000+seed, []float64{-90, -60, 60, 90}[seed%4])...)
	}
	fmt.Printf("ALONG MAPS THAT ARE 60 OR 90 MS OFF, %d songs\n%s\n", songs/2, reliability(off))
	fmt.Println(confusionTable(append(all, off...)))
	if q := qualityOf(all); q.auc < 0.95 || q.ece > 0.05 {
		t.Errorf("%+v, want area 0.95 and calibration error 0.05", q)
	}
}

// TestLevelsOfManySongs prints what is said of the same notes played softer or
// harder than on the record; it runs only with TAKEWEAVE_SOAK=1.
func TestLevelsOfManySongs(t *testing.T) {
	if os.Getenv("TAKEWEAVE_SOAK") == "" {
		t.Skip("set TAKEWEAVE_SOAK=1 to judge songs with swells")
	}
	fmt.Println("| played | moments | agree | of these level only |\n|---|---|---|---|")
	for _, dB := range []float64{-14, -10, -6, 0, 6, 10, 14} {
		var all, agree, level int
		for seed := range uint64(12) {
			r := rand.New(rand.NewPCG(firstSong+3000+seed, 21))
			s := newTune(r, 16)
			p := anyPlayer(r, s.bars)
			p.plan, p.semitones, p.drift, p.swells = nil, 0, 0, []swell{{6, 11, dB}}
			f := s.shoot(r, p)
			a := judge(t, f, film.Setup{})
			scores, why := f.in(s, a, 6, 11)
			all, level = all+len(scores), level+why[film.WhyLevelOnly]
			for _, x := range scores {
				if x >= film.Agrees {
					agree++
				}
			}
		}
		fmt.Printf("| %+.0f dB | %d | %.2f | %.2f |\n", dB, all, float64(agree)/float64(all), float64(level)/math.Max(1, float64(agree)))
	}
}
