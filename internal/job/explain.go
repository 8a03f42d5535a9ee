package job

import (
	"context"
	"fmt"
	"io"
	"math"
	"path"
	"path/filepath"
	"sort"
	"strings"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/handover"
	"takeweave/internal/hold"
	"takeweave/internal/wav"
)

// Explained says where one pass agrees with the record and where it does not.
type Explained struct {
	Pass      string             `json:"pass"`
	Status    film.Status        `json:"status"`
	Reason    string             `json:"reason"`
	Stretches []ExplainedStretch `json:"stretches"` // in the order of the pass
	// Listen is a stereo file for checking by ear: the record on the left, the
	// pass on the right, each line of the song at the one slip that a shot of it
	// would have. "" when there is nothing to hear.
	Listen string `json:"listen,omitempty"`
}

// ExplainedStretch is a part of the song as this pass plays it.
type ExplainedStretch struct {
	From    string        `json:"from"` // song address
	To      string        `json:"to"`
	Span    film.SongSpan `json:"span"`
	Pass    film.PassTime `json:"pass_s"` // where it begins in the pass
	Agrees  bool          `json:"agrees"`
	Reason  string        `json:"reason"`
	ErrorMS float64       `json:"map_error_ms"` // the line-up's 90 % bound in the middle of it
}

// Explain tells about one pass, named by its file (with or without folder and
// ending), and writes the file to listen to into the film's out folder.
func (w *Work) Explain(ctx context.Context, name string) (Explained, error) {
	song, err := w.Song(ctx)
	if err != nil {
		return Explained{}, err
	}
	passes, err := w.Agree(ctx)
	if err != nil {
		return Explained{}, err
	}
	p, err := passNamed(passes, name)
	if err != nil {
		return Explained{}, err
	}
	e := Explained{Pass: p.Name, Status: p.LineUp.Status, Reason: p.LineUp.Reason, Stretches: explain(song, p)}
	if !p.Filmed() {
		return e, nil
	}
	e.Listen = filepath.Join(w.Store.Dir, "out", "listen-"+listenName(p)+".wav")
	return e, w.writeListen(ctx, e.Listen, song, p)
}

// listenName names the file to listen to, without its ending.
func listenName(p Pass) string {
	file, nth, several := strings.Cut(p.Name, "#")
	name := strings.ReplaceAll(strings.TrimSuffix(file, path.Ext(file)), "/", "-")
	if several {
		name += "-" + nth
	}
	return name
}

// passNamed finds a pass by its name, as long as only one fits.
func passNamed(passes []Pass, name string) (Pass, error) {
	name = strings.ToLower(filepath.ToSlash(name))
	var found []Pass
	for _, p := range passes {
		whole := strings.ToLower(p.Name)
		if name == whole {
			return p, nil
		}
		file, nth, several := strings.Cut(whole, "#")
		stem := strings.TrimSuffix(file, path.Ext(file))
		if several {
			stem += "#" + nth
		}
		if name == stem || name == path.Base(whole) || name == path.Base(stem) {
			found = append(found, p)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return Pass{}, &film.Error{Code: film.CodeNotFound, Path: name, Msg: "is not the name of a pass of this film", Hint: "takeweave lineup DIR lists the passes"}
	}
	return Pass{}, &film.Error{Code: film.CodeUsage, Path: name, Msg: fmt.Sprintf("is the name of %d passes", len(found)), Hint: "give its folder too, for example " + found[0].Name}
}

// explain lists the stretches of a pass: those of at least half a second that do
// not agree, and what lies between them.
func explain(song film.Song, p Pass) []ExplainedStretch {
	var out []ExplainedStretch
	for i, a := range p.Agreement {
		g := &p.LineUp.Segments[i]
		at := film.SongTime(float64(a.First) * film.AgreementStep)
		end := film.SongTime(float64(a.First+len(a.Score)) * film.AgreementStep)
		add := func(span film.SongSpan, agrees bool, reason string) {
			span = film.SongSpan{From: max(span.From, song.Music.From), To: min(span.To, song.Music.To)}
			if span.Len() < film.AgreementStep/2 {
				return
			}
			out = append(out, ExplainedStretch{From: song.Address(span.From), To: song.Address(span.To - film.AgreementStep), Span: span, Pass: g.PassAt(span.From), Agrees: agrees, Reason: reason, ErrorMS: g.ErrorAt((span.From + span.To) / 2)})
		}
		for _, r := range handover.RefusedStretches(a) {
			add(film.SongSpan{From: at, To: r.Span.From}, true, "agrees")
			add(r.Span, false, r.Why.Say(r.Late))
			at = r.Span.To
		}
		add(film.SongSpan{From: at, To: end}, true, "agrees")
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Pass < out[j].Pass })
	return out
}

// Levels of the file to listen to. Well below full scale: it is meant for
// headphones.
const (
	listenRMS  = 0.08 // of each ear where it sounds, -22 dBFS
	listenPeak = 0.7
	fadeS      = 0.005 // where one line ends and the next begins
)

// writeListen writes the record on the left and the pass on the right.
func (w *Work) writeListen(ctx context.Context, name string, song film.Song, p Pass) error {
	recordPath, sum, err := w.record(ctx)
	if err != nil {
		return err
	}
	record, _, err := w.sound(ctx, recordPath, sum, 0, func(float64) {})
	if err != nil {
		return err
	}
	defer record.Close()
	pass, _, err := w.soundOf(ctx, &p, func(float64) {})
	if err != nil {
		return err
	}
	defer pass.Close()
	left := make([]float32, record.Len())
	if err := record.Read(left, 0); err != nil {
		return err
	}
	right := make([]float32, len(left))
	tables := make([]*hold.Table, len(p.LineUp.Segments))
	for i := range tables {
		tables[i] = hold.New(&p.LineUp.Segments[i])
	}
	for _, l := range song.Lines {
		i := longestOver(p.LineUp.Segments, l.Span)
		if i < 0 {
			continue
		}
		span := p.LineUp.Segments[i].SongSpan()
		span = film.SongSpan{From: max(span.From, l.Span.From), To: min(span.To, l.Span.To)}
		fit := tables[i].Best(span, p.Setup.SyncTolerance(), 0)
		from, to := sampleAt(float64(span.From)), min(sampleAt(float64(span.To)), len(right))
		if from >= to {
			continue
		}
		if err := pass.Read(right[from:to], sampleAt(float64(span.From)+fit.Slip)); err != nil {
			return err
		}
		fadeEnds(right[from:to], sampleAt(fadeS))
	}
	levelOut(left)
	levelOut(right)
	return writeWhole(name, func(out io.Writer) error { return wav.Write(out, dsp.AnalysisRate, left, right) })
}

func sampleAt(seconds float64) int { return int(math.Round(seconds * dsp.AnalysisRate)) }

// longestOver returns the segment that covers the most of a span, -1 for none.
func longestOver(segments []film.Segment, span film.SongSpan) int {
	best, most := -1, 0.0
	for i := range segments {
		if o := segments[i].SongSpan().Overlap(span); o > most {
			best, most = i, o
		}
	}
	return best
}

func fadeEnds(x []float32, n int) {
	n = min(n, len(x)/2)
	for i := range n {
		v := float32(i) / float32(n)
		x[i] *= v
		x[len(x)-1-i] *= v
	}
}

// levelOut brings sound to listenRMS over the parts that sound, within
// listenPeak. Silence stays as it is.
func levelOut(x []float32) {
	var sum, peak float64
	n := 0
	for _, v := range x {
		if v != 0 {
			sum += float64(v) * float64(v)
			n++
		}
		peak = math.Max(peak, math.Abs(float64(v)))
	}
	if n == 0 || sum == 0 {
		return
	}
	gain := math.Min(listenRMS/math.Sqrt(sum/float64(n)), listenPeak/peak)
	for i := range x {
		x[i] *= float32(gain)
	}
}
