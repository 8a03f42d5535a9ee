package demo

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"takeweave/internal/film"
	"takeweave/internal/wav"
)

// Options are what can be chosen about a day. The zero value is the standard day.
type Options struct {
	Seed          uint64 // 0 is the standard day's
	Width, Height int    // of the clips' pictures; 0 is 640 × 360
}

func (o Options) orStandard() Options {
	if o.Seed == 0 {
		o.Seed = 1863
	}
	if o.Width == 0 || o.Height == 0 {
		o.Width, o.Height = 640, 360
	}
	return o
}

// take is a pass that has been played but not yet filmed.
type take struct {
	plan   passPlan
	at     position
	view   view
	perf   *performance
	offset float64
	swayX  []Swing
	swayY  []Swing
	micro  placement
	rng    *rand.Rand // for its sound
}

// day is everything played, before anything is filmed.
type day struct {
	options Options
	record  *performance
	recordS float64
	lamps   []lamp
	takes   []take
}

// playDay plays the record and all passes. It is quick: nothing is rendered.
func playDay(o Options) *day {
	o = o.orStandard()
	chance := func(stream uint64) *rand.Rand { return rand.New(rand.NewPCG(o.Seed, stream)) }
	d := &day{options: o, record: &performance{}}
	rng := chance(streamRecord)
	d.record.play(writeScore(changes{}), 0, songBeats, leadSeconds, player{bpm: recordBPM, wander: 0.007, unevenSec: 0.004}, rng)
	d.record.settle()
	d.recordS = d.record.end + 0.4
	d.lamps = lamps(chance(streamLoft))
	for i, plan := range standardDay {
		rng := chance(uint64(streamPass + i))
		var at position
		for _, p := range positions {
			if p.setup.Name == plan.setup {
				at = p
			}
		}
		t := take{plan: plan, at: at, rng: rng}
		t.view = view{lens: at.lens, centreX: at.centreX, centreY: at.centreY, width: o.Width, height: o.Height}
		t.perf, t.offset = rehearse(plan.kind, d.record, rng)
		px := at.swayPx * float64(o.Width) / 640
		for _, axis := range []*[]Swing{&t.swayX, &t.swayY} {
			*axis = []Swing{
				{px * (0.7 + 0.4*rng.Float64()), 5.5 + 4*rng.Float64(), 2 * math.Pi * rng.Float64()},
				{0.25 * px * (0.6 + 0.6*rng.Float64()), 1.9 + 0.9*rng.Float64(), 2 * math.Pi * rng.Float64()},
			}
		}
		t.micro = placement{
			metres: at.lens.focusMM / 1000, rt60: 0.45 + 0.35*rng.Float64(),
			noiseDB: 22 + 8*rng.Float64(), levelDB: -25 + 7*rng.Float64(),
		}
		d.takes = append(d.takes, t)
	}
	return d
}

// recordSound renders the record.
func (d *day) recordSound() (left, right []float32) {
	rng := rand.New(rand.NewPCG(d.options.Seed, streamRecord<<32))
	strings, voice := d.record.render(int(d.recordS*sampleRate), rng)
	return onRecord(strings, voice, rng)
}

// render returns what strings and voice sound like close by, n samples each.
func (pf *performance) render(n int, rng *rand.Rand) (strings, voice []float64) {
	strings, voice = make([]float64, n), make([]float64, n)
	addPlucks(strings, pf.plucks, rng)
	addKnocks(strings, pf.knocks, rng)
	body(strings)
	addVoice(voice, pf.syllables, rng)
	return strings, voice
}

// sound renders what the camera records of the take, given the record for the
// loudspeaker.
func (t *take) sound(recordLeft, recordRight []float32) (left, right []float32) {
	n := int(t.perf.end * sampleRate)
	if t.plan.kind == KindSilent {
		left, right = make([]float32, n), make([]float32, n)
		var hiss [2]pink
		const quiet = 0.0006 // about -64 dBFS: a room in which nobody is
		for i := range n {
			left[i], right[i] = float32(quiet*hiss[0].step(t.rng)), float32(quiet*hiss[1].step(t.rng))
		}
		return left, right
	}
	strings, voice := t.perf.render(n, t.rng)
	for i := range strings {
		strings[i] = 0.75*strings[i] + 0.95*voice[i]
	}
	if t.plan.kind == KindPlayback {
		played := throughLoudspeaker(recordLeft, recordRight, playbackDriftPPM)
		at := t.offset * sampleRate
		first, frac := int(at), at-math.Floor(at)
		for i := 1; i < len(played) && first+i < n; i++ {
			strings[first+i] += 2.5 * ((1-frac)*played[i] + frac*played[i-1])
		}
	}
	return atCamera(strings, t.micro, t.rng)
}

// scene paints the layers of the take.
func (d *day) scene(t *take) *scene {
	perf := t.perf
	if t.plan.kind == KindSilent {
		perf = nil
	}
	s := newScene(t.view, d.lamps, func(c *canvas, p place) {
		drawWall(c, p, rand.New(rand.NewPCG(d.options.Seed, streamLoft<<32)))
	}, perf)
	s.swayX, s.swayY, s.beatSeconds = t.swayX, t.swayY, 60.0/recordBPM
	return s
}

// file is the take's clip, relative to the day's folder.
func (t *take) file() string { return "clips/" + t.plan.setup + "/" + t.plan.file }

// truth is everything that is known about the day.
func (d *day) truth() Day {
	out := Day{
		Title: "Slow Ferry Home", Player: "Nell Harrowgate", Seed: d.options.Seed, Song: "song.wav",
		SongS: float64(int(d.recordS*sampleRate)) / sampleRate, TauMS: sparkTau * 1000, SoundMS: 1000 / speedOfSound,
	}
	for _, p := range d.record.plucks {
		out.Plucks = append(out.Plucks, Pluck{SongS: film.SongTime(p.at), String: p.string, MIDI: p.midi()})
	}
	score := writeScore(changes{})
	run := d.record.stretches[0]
	for i, l := range score.lines {
		var to float64
		for _, g := range score.sung {
			if g.line == i {
				to = g.beat + g.beats
			}
		}
		out.Lines = append(out.Lines, Line{l.section, l.text, film.SongSpan{From: film.SongTime(run.time(l.beat)), To: film.SongTime(run.time(to))}})
	}
	for _, p := range positions {
		v := view{lens: p.lens, centreX: p.centreX, centreY: p.centreY, width: d.options.Width, height: d.options.Height}
		metres := p.lens.focusMM / 1000
		s := Setup{
			Setup: p.setup, FocalMM: p.lens.focalMM, Stop: p.lens.stop, FocusMM: p.lens.focusMM,
			DistM: metres, LateMS: 1000 * metres / speedOfSound, HasSpark: p.setup.Shows != film.ShowsNeither && v.showsHands(),
		}
		for _, l := range d.lamps {
			s.DiscsPx = append(s.DiscsPx, Disc{AtMM: p.lens.focusMM + 1000*l.behind, Px: v.discPx(l.behind)})
		}
		out.Setups = append(out.Setups, s)
	}
	for i := range d.takes {
		t := &d.takes[i]
		p := Pass{
			File: t.file(), Kind: t.plan.kind, Setup: t.plan.setup, Width: t.view.width, Height: t.view.height,
			Rate: t.plan.rate, Seconds: t.perf.end, Faults: faults(t.plan.kind, d.record),
		}
		p.Plucks, p.Played = truthOf(t.perf, d.record)
		if t.plan.kind == KindPlayback {
			p.DriftPPM, p.OffsetS = playbackDriftPPM, t.offset
		}
		if s, _ := out.setup(t.plan.setup); s.HasSpark {
			p.Sparks = t.sparks()
		}
		out.Passes = append(out.Passes, p)
	}
	return out
}

// sparks says where the inlay is in the take's picture.
func (t *take) sparks() *Sparks {
	at := t.view.at(0, 0, 0)
	spot := func(m pt) Spot { q := at.point(m); return Spot{q.x, q.y} }
	places := inlay()
	s := &Sparks{Pearl: spot(places[0]), Jet: spot(places[inlayPlaces-1]), Radius: sparkRadiusPx(at.k), SwayX: t.swayX, SwayY: t.swayY}
	for i := range s.String {
		s.String[i] = spot(places[i+1])
	}
	return s
}

// setupsCSV is the day's table of camera positions.
func setupsCSV() string {
	var b strings.Builder
	b.WriteString("setup,shows,size,serves\n")
	for _, p := range positions {
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", p.setup.Name, p.setup.Shows, p.setup.Size, strings.Join(p.setup.Serves, " "))
	}
	return b.String()
}

// Make plays and films a day into dir: song.wav, clips/<setup>/C00NN.MP4,
// clips/setups.csv and, when all else is there, truth.json. Existing files of these
// names are replaced; a file appears under its name only when it is complete.
//
// progress may be nil; it is told the share of the work done, 0..1, and what
// was finished last, from one goroutine at a time.
func Make(ctx context.Context, cam Camera, dir string, o Options, progress func(done float64, note string)) (Day, error) {
	d := playDay(o)
	truth := d.truth()
	for _, p := range positions {
		if err := os.MkdirAll(filepath.Join(dir, "clips", p.setup.Name), 0o755); err != nil {
			return Day{}, &film.Error{Code: film.CodeFailed, Path: dir, Msg: "cannot be made", Hint: "choose a folder that you may write to", Err: err}
		}
	}
	left, right := d.recordSound()
	if err := writeFile(filepath.Join(dir, truth.Song), func(w io.Writer) error { return wav.Write(w, sampleRate, left, right) }); err != nil {
		return Day{}, err
	}
	if err := writeFile(filepath.Join(dir, "clips", "setups.csv"), func(w io.Writer) error {
		_, err := io.WriteString(w, setupsCSV())
		return err
	}); err != nil {
		return Day{}, err
	}

	work := newTally(d, progress)
	work.add(0, "played and recorded "+truth.Title)
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(max(1, runtime.GOMAXPROCS(0)))
	longest := make([]*take, len(d.takes)) // first, so that no long one is left for the end
	for i := range d.takes {
		longest[i] = &d.takes[i]
	}
	sort.SliceStable(longest, func(i, j int) bool { return longest[i].frames() > longest[j].frames() })
	for _, t := range longest {
		g.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			l, r := t.sound(left, right)
			err := shoot(ctx, cam, filepath.Join(dir, filepath.FromSlash(t.file())), d.scene(t), t, l, r, work)
			if err != nil {
				return fmt.Errorf("filming %s: %w", t.plan.file, err)
			}
			work.add(0, fmt.Sprintf("filmed %s: %s", t.file(), strings.ReplaceAll(string(t.plan.kind), "_", " ")))
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return Day{}, err
	}
	return truth, writeFile(filepath.Join(dir, "truth.json"), func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetIndent("", " ")
		return e.Encode(truth)
	})
}

// tally adds up what is done, for the progress of work that runs side by side.
type tally struct {
	mu       sync.Mutex
	done     int
	total    int
	note     string
	progress func(float64, string)
}

func newTally(d *day, progress func(float64, string)) *tally {
	w := &tally{progress: progress}
	for _, t := range d.takes {
		w.total += t.frames()
	}
	return w
}

func (w *tally) add(frames int, note string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.done += frames
	if note != "" {
		w.note = note
	}
	if w.progress != nil {
		w.progress(float64(w.done)/float64(max(1, w.total)), w.note)
	}
}

// frames is how many pictures the take has.
func (t *take) frames() int { return int(t.perf.end * t.plan.rate.PerSecond()) }

// writeFile writes through a neighbouring file, so that path is whole or absent.
func writeFile(path string, write func(io.Writer) error) error {
	fail := func(err error) error {
		return &film.Error{Code: film.CodeFailed, Path: path, Msg: "cannot be written", Hint: "check the free space and that the folder may be written to", Err: err}
	}
	f, err := os.Create(path + ".part")
	if err != nil {
		return fail(err)
	}
	defer os.Remove(path + ".part") // does nothing after the rename
	err = write(f)
	if err == nil {
		err = f.Sync()
	}
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err == nil {
		err = os.Rename(path+".part", path)
	}
	if err != nil {
		return fail(err)
	}
	return nil
}
