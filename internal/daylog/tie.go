package daylog

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// surely is the chance from which a tie is not asked. On the days generated for
// the tests see docs/day-log.md.
const surely = 0.999

// leastOffered is the chance from which a candidate is named in a question.
const leastOffered = 0.002

// Tying is what is known of the files and the log together.
type Tying struct {
	Tied      []Tied        `json:"tied"`                // sure
	Unlogged  []string      `json:"unlogged,omitempty"`  // files that surely have no entry
	Missing   []string      `json:"missing,omitempty"`   // entries that surely have no file
	Questions []Question    `json:"questions,omitempty"` // what the person has to say
	Doubles   []Double      `json:"doubles,omitempty"`   // files that hold what another one holds
	Clocks    []CameraClock `json:"clocks,omitempty"`    // one per camera whose clock was found
}

// Tied is a file and what it is: one entry; several when the camera rolled on or
// one pass was logged twice. Several files may be of one entry.
type Tied struct {
	File    string   `json:"file"`
	Entries []string `json:"entries"`
	Chance  float64  `json:"chance"`
}

// Double is a file with the recording of another one.
type Double struct {
	File string `json:"file"`
	Of   string `json:"of"`
}

// Question asks what a file is.
type Question struct {
	File       string      `json:"file"`
	Text       string      `json:"text"`
	Candidates []Candidate `json:"candidates"` // the likeliest first
}

// Candidate is an answer; without entries the file was not logged.
type Candidate struct {
	Entries []string `json:"entries"`
	Chance  float64  `json:"chance"`
}

// CameraClock is what was found of a camera's clock.
type CameraClock struct {
	Camera   string  `json:"camera"`
	OffsetS  float64 `json:"offset_s"` // add it to the camera's time to get the phone's
	DriftPPM float64 `json:"drift_ppm"`
	AtEnd    bool    `json:"at_end"` // files are stamped at their end
	Chance   float64 `json:"chance"`
}

// Tie says which file is which entry. Entries come in the order of the day;
// clips in any. song may be nil; with it lines and lengths count too. The result
// is the same for any order of the clips.
func Tie(song *film.Song, entries []Entry, clips []Clip) Tying {
	clips = slices.Clone(clips)
	slices.SortFunc(clips, func(a, b Clip) int { // a camera counts its files on, whatever folder they are put into
		return cmp.Or(cmp.Compare(path.Base(a.File), path.Base(b.File)), cmp.Compare(a.File, b.File))
	})
	units := unitsOf(entries)
	byCamera := map[string][]Clip{}
	var cameras []string
	for _, c := range clips {
		if byCamera[c.Camera] == nil {
			cameras = append(cameras, c.Camera)
		}
		byCamera[c.Camera] = append(byCamera[c.Camera], c)
	}
	slices.Sort(cameras)
	var out Tying
	missing := make([]float64, len(units)) // chance that no camera has it
	for i := range missing {
		missing[i] = 1
	}
	for _, camera := range cameras {
		once, doubles := withoutDoubles(byCamera[camera])
		out.Doubles = append(out.Doubles, doubles...)
		ch := chancesOf(song, once, units)
		if math.IsInf(ch.log, -1) { // the answers are against the order of the day: they stand for themselves
			once = out.takeTold(once, units, missing)
			ch = chancesOf(song, once, units)
		}
		out.add(once, units, ch)
		if ch.clock.known {
			out.Clocks = append(out.Clocks, CameraClock{camera, ch.clock.offsetS, ch.clock.ppm, ch.clock.atEnd, ch.clockChance})
		}
		for j := range missing {
			missing[j] *= ch.missing[j]
		}
	}
	for j, u := range units {
		if missing[j] >= surely {
			out.Missing = append(out.Missing, ids([]unit{u})...)
		}
	}
	return out
}

// chances are what the alignments under all orders and clocks say together.
type chances struct {
	of          map[string]map[[2]int]float64 // file: passes [j, j2): chance
	unlogged    map[string]float64
	missing     []float64 // of each unit
	clock       clock     // the likeliest
	clockChance float64
	log         float64 // logarithm of the evidence; -Inf when the answers allow nothing
}

// fitted finds clock and assignment from each other until they stand still.
func (ev *evidence) fitted(al *alignment, st *steps) *alignment {
	const rounds, stillS = 4, 0.5
	for range rounds {
		next := ev.refined(al.clock, al)
		moved := math.Abs(next.offsetS - al.clock.offsetS)
		al = ev.align(next, st)
		if moved < stillS {
			break
		}
	}
	return al
}

// hopeless is how far, as a logarithm, the evidence of a guess at the clock may
// lie below the best before either is fitted. On 60 generated days fitting
// brought at most 101.
const hopeless = 120

// weighed is an alignment with what it is an alignment of.
type weighed struct {
	ev *evidence
	st *steps
	al *alignment
}

// alignments aligns clips and passes in every order and under every clock that
// may be.
func alignments(song *film.Song, clips []Clip, units []unit) []weighed {
	var guessed, out []weighed
	best := math.Inf(-1)
	for _, order := range orders(clips) {
		for _, atEnd := range []bool{false, true} {
			ev := newEvidence(song, order, units, atEnd)
			st := ev.steps()
			for _, ck := range ev.clocks() {
				al := ev.align(ck, st)
				guessed = append(guessed, weighed{ev, st, al})
				best = math.Max(best, al.log)
			}
		}
	}
	for _, w := range guessed {
		if w.al.log < best-hopeless {
			continue
		}
		if w.al.clock.known {
			w.al = w.ev.fitted(w.al, w.st)
		}
		same := func(o weighed) bool { return o.ev == w.ev && o.al.clock.isLike(w.al.clock) }
		if !slices.ContainsFunc(out, same) {
			out = append(out, w)
		}
	}
	return out
}

// chancesOf weighs the alignments of one camera's clips under every order and
// clock by their evidence.
func chancesOf(song *film.Song, clips []Clip, units []unit) chances {
	all := alignments(song, clips, units)
	total := math.Inf(-1)
	for _, w := range all {
		add(&total, w.al.log)
	}
	if math.IsInf(total, -1) {
		return chances{log: total}
	}
	ch := chances{log: total, of: map[string]map[[2]int]float64{}, unlogged: map[string]float64{}, missing: make([]float64, len(units))}
	for j := range ch.missing {
		ch.missing[j] = 1
	}
	for _, w := range all {
		weight := math.Exp(w.al.log - total)
		if weight > ch.clockChance {
			ch.clock, ch.clockChance = w.al.clock, weight
		}
		for _, b := range w.al.blocks {
			for i := b.i; i < b.i2; i++ {
				file := w.ev.clips[i].File
				if ch.of[file] == nil {
					ch.of[file] = map[[2]int]float64{}
				}
				ch.of[file][[2]int{b.j, b.j2}] += weight * b.chance
			}
			for j := b.j; j < b.j2; j++ {
				ch.missing[j] -= weight * b.chance
			}
		}
		for i, p := range w.al.unlogged {
			ch.unlogged[w.ev.clips[i].File] += weight * p
		}
	}
	return ch
}

// isLike reports whether two clocks say the same.
func (ck clock) isLike(o clock) bool {
	return ck.known == o.known && ck.atEnd == o.atEnd && math.Abs(ck.offsetS-o.offsetS) < 2
}

// takeTold takes every file whose answer is given as it is told, and returns the
// others.
func (t *Tying) takeTold(clips []Clip, units []unit, missing []float64) []Clip {
	var rest []Clip
	for _, c := range clips {
		switch {
		case c.Told == nil:
			rest = append(rest, c)
		case slices.Contains(c.Told, NotLogged):
			t.Unlogged = append(t.Unlogged, c.File)
		default:
			t.Tied = append(t.Tied, Tied{c.File, c.Told, 1})
		}
		for j, u := range units {
			if u.isTold(c.Told) {
				missing[j] = 0
			}
		}
	}
	return rest
}

// add says what is sure of one camera's clips and asks the rest.
func (t *Tying) add(clips []Clip, units []unit, ch chances) {
	for i := range clips {
		c := &clips[i]
		cands := []Candidate{{Chance: ch.unlogged[c.File]}}
		for span, chance := range ch.of[c.File] {
			cands = append(cands, Candidate{ids(units[span[0]:span[1]]), chance})
		}
		slices.SortFunc(cands, func(a, b Candidate) int {
			return cmp.Or(cmp.Compare(b.Chance, a.Chance), slices.Compare(a.Entries, b.Entries))
		})
		switch best := cands[0]; {
		case best.Chance < surely:
			cands = slices.DeleteFunc(cands, func(c Candidate) bool { return c.Chance < leastOffered })
			t.Questions = append(t.Questions, Question{c.File, questionText(c, units, cands), cands})
		case len(best.Entries) == 0:
			t.Unlogged = append(t.Unlogged, c.File)
		default:
			t.Tied = append(t.Tied, Tied{c.File, best.Entries, best.Chance})
		}
	}
}

// questionText asks in words which of the candidates the clip is.
func questionText(c *Clip, units []unit, cands []Candidate) string {
	said := map[string]string{}
	for _, u := range units {
		for _, e := range u {
			said[e.ID] = e.Say()
		}
	}
	var choices []string
	for _, cand := range cands {
		var names []string
		for _, id := range cand.Entries {
			names = append(names, said[id])
		}
		what := "not in the log"
		if len(names) > 0 {
			what = strings.Join(names, " with ")
		}
		choices = append(choices, fmt.Sprintf("%s (%.0f %%)", what, min(99, max(1, 100*cand.Chance))))
	}
	s := int(math.Round(c.DurationS))
	return fmt.Sprintf("%s lasts %d:%02d: which pass is it? %s", c.File, s/60, s%60, strings.Join(choices, ", or "))
}
