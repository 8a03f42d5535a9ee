package job

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"

	"golang.org/x/sync/errgroup"

	"takeweave/internal/checks"
	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/flash"
	"takeweave/internal/loudness"
	"takeweave/internal/media"
)

// Checked is what the check of a finished film says.
type Checked struct {
	Film     string           `json:"film"`
	Words    string           `json:"words"` // the verdict in one sentence
	Verdict  checks.Verdict   `json:"verdict"`
	Where    []string         `json:"where"` // of each finding: its song address
	Stills   [][]byte         `json:"-"`     // of each finding: a JPEG of the film there; nil where there is none
	Loudness loudness.Reading `json:"loudness"`
	Lags     []checks.Lag     `json:"lags"`
	Caution  string           `json:"caution"`
}

// Pictures are checked at this size.
const (
	checkWidth  = 320
	checkHeight = 180
)

// Check examines the finished film of an order as it lies on the disk: every
// frame, all of its sound, and the sync of each line measured again from the
// passes' own sound. It writes what it found beside the film as JSON.
func (w *Work) Check(ctx context.Context, orderID string) (Checked, error) {
	order, err := w.order(ctx, orderID)
	if err != nil {
		return Checked{}, err
	}
	path, err := w.FilmPath(ctx, orderID)
	if err != nil {
		return Checked{}, err
	}
	out := Checked{Film: path, Caution: flash.Caution, Where: []string{}}
	if !stillThere(path, -1) {
		return out, &film.Error{Code: film.CodeNeedsStep, Path: path, Msg: "is not made yet", Hint: "make it with: takeweave handover " + w.Store.Dir}
	}
	var c film.Cut // as it was rendered, whatever was decided since
	if stored, err := w.Store.Result(ctx, stepShown, orderID, &c); err != nil || stored == "" {
		return out, errors.Join(err, &film.Error{Code: film.CodeNeedsStep, Path: path, Msg: "was made by an older version of this program", Hint: "make it anew with: takeweave handover " + w.Store.Dir})
	}
	song, err := w.Song(ctx)
	if err != nil {
		return out, err
	}
	passes, err := w.Agree(ctx)
	if err != nil {
		return out, err
	}
	stage := w.Progress.Stage("check", float64(c.Frames), "frames")
	defer stage.End()
	info, err := w.Engine.Probe(ctx, path)
	if err != nil {
		return out, err
	}
	var pictures, sound, lags checks.Report
	g, gctx := errgroup.WithContext(ctx)
	g.Go(func() (err error) {
		pictures, err = w.checkPictures(gctx, path, &c, stage)
		return err
	})
	g.Go(func() (err error) {
		if sound, err = w.checkSound(gctx, info, &c, &out); err != nil {
			return err
		}
		lags, err = w.checkSync(gctx, &c, &song, passes, &out)
		return err
	})
	if err := g.Wait(); err != nil {
		return out, err
	}
	if order.Part != "" {
		sound = without(sound, checks.Loudness, "a part keeps the loudness that it has in the whole film")
	}
	faces, err := w.facesOf(ctx, order, &c, passes)
	if err != nil {
		return out, err
	}
	read, err := w.checkCaptions(order, &c, faces)
	if err != nil {
		return out, err
	}
	out.Verdict = checks.Conclude(pictures, checks.OfTags(tagsOf(&info, c.Rate)), sound, lags, read)
	out.Words = out.Verdict.Words()
	for _, f := range out.Verdict.Findings {
		out.Where = append(out.Where, song.Address(c.At(f.First)))
	}
	if err := w.takeStills(ctx, &c, &out); err != nil {
		return out, err
	}
	return out, writeWhole(filepath.Join(w.Store.Dir, "out", fileOf(order, "checks", ".json")), func(to io.Writer) error {
		e := json.NewEncoder(to)
		e.SetIndent("", "  ")
		return e.Encode(out)
	})
}

// mostStills is how many findings get a picture.
const mostStills = 40

// takeStills takes a picture of the film at its findings. A place that has none,
// such as the end that a short film lacks, is no error.
func (w *Work) takeStills(ctx context.Context, c *film.Cut, out *Checked) error {
	out.Stills = make([][]byte, len(out.Verdict.Findings))
	for i, f := range out.Verdict.Findings[:min(len(out.Stills), mostStills)] {
		at := min(f.First, c.Frames-1)
		out.Stills[i], _ = w.Engine.Still(ctx, out.Film, film.PassTime(c.Rate.FrameStart(at)), stillWidth)
	}
	return ctx.Err()
}

// tagsOf returns what the film says of its picture beside what it should say.
func tagsOf(info *media.Info, rate film.Rate) []checks.Tag {
	p := info.Picture
	if p == nil {
		return nil
	}
	levels := map[bool]string{true: "full", false: "limited"}
	return []checks.Tag{
		{Name: "the rate", Said: p.Rate.String(), Wanted: rate.String()},
		{Name: "the primaries", Said: p.Primaries, Wanted: "bt709"},
		{Name: "the transfer", Said: p.Transfer, Wanted: "bt709"},
		{Name: "the matrix", Said: p.Matrix, Wanted: "bt709"},
		{Name: "the range of levels", Said: levels[p.FullRange], Wanted: levels[false]},
		{Name: "the rotation", Said: fmt.Sprint(p.Rotation), Wanted: "0"},
	}
}

func (w *Work) checkPictures(ctx context.Context, path string, c *film.Cut, stage *Stage) (checks.Report, error) {
	var starts []film.Frames
	for _, s := range c.Shots {
		starts = append(starts, s.First)
	}
	p, err := checks.NewPictures(c.Rate, checkWidth, checkHeight, starts, checks.Usual)
	if err != nil {
		return checks.Report{}, err
	}
	const plane = checkWidth * checkHeight
	err = w.Engine.Frames(ctx, path, media.FramesOptions{Width: checkWidth, Height: checkHeight, Format: media.YUV444P, Averaged: true}, func(_ int, pix []byte) error {
		p.Add(checks.Picture{Y: pix[:plane], Cb: pix[plane : 2*plane], Cr: pix[2*plane:]})
		stage.Add(1)
		return ctx.Err()
	})
	return p.Report(c.Frames), err
}

func (w *Work) checkSound(ctx context.Context, info media.Info, c *film.Cut, out *Checked) (checks.Report, error) {
	if info.Sound == nil {
		s, err := checks.NewSound(48000, 2)
		if err != nil {
			return checks.Report{}, err
		}
		return s.Report(c.Rate, c.Frames, loudness.Web, checks.Usual), nil
	}
	s, err := checks.NewSound(info.Sound.Rate, min(info.Sound.Channels, 2))
	if err != nil {
		return checks.Report{}, err
	}
	_, _, err = w.Engine.Programme(ctx, &info, func(samples []float32) error {
		s.Add(samples)
		return ctx.Err()
	})
	if err != nil {
		return checks.Report{}, err
	}
	out.Loudness = s.Reading()
	target, wanted, err := w.LoudnessTarget(ctx)
	if err != nil {
		return checks.Report{}, err
	}
	r := s.Report(c.Rate, c.Frames, target, checks.Usual)
	if !wanted {
		r = without(r, checks.Loudness, "the sound is left as the record has it; no loudness was asked for")
		r = without(r, checks.TruePeak, "no true peak was asked for")
	}
	return r, nil
}

// without takes a check out of a report, saying why it does not hold.
func without(r checks.Report, kind checks.Kind, why string) checks.Report {
	var out checks.Report
	for _, k := range r.Checked {
		if k != kind {
			out.Checked = append(out.Checked, k)
		}
	}
	for _, f := range r.Findings {
		if f.Kind != kind {
			out.Findings = append(out.Findings, f)
		}
	}
	out.NotChecked = append(r.NotChecked, checks.Unchecked{Kind: kind, Why: why})
	return out
}

// checkSync measures each line again: the passes' own sound, laid as the cut lays
// it, against the record.
func (w *Work) checkSync(ctx context.Context, c *film.Cut, song *film.Song, passes []Pass, out *Checked) (checks.Report, error) {
	recordPath, sum, err := w.record(ctx)
	if err != nil {
		return checks.Report{}, err
	}
	record, _, err := w.sound(ctx, recordPath, sum, 0, func(float64) {})
	if err != nil {
		return checks.Report{}, err
	}
	defer record.Close()
	byName := map[string]*Pass{}
	for i := range passes {
		byName[passes[i].Name] = &passes[i]
	}
	laid := laidSound{samples: make([]float32, record.Len())}
	var stretches []checks.Stretch
	for _, s := range c.Shots {
		p := byName[s.Pass]
		if p == nil {
			continue
		}
		if err := w.layShot(ctx, &laid, c, s, p); err != nil {
			return checks.Report{}, err
		}
		shown := film.SongSpan{From: c.At(s.First), To: c.At(s.End)}
		for i, l := range song.Lines {
			span := film.SongSpan{From: max(shown.From, l.Span.From), To: min(shown.To, l.Span.To)}
			if span.Len() >= leastStretch {
				stretches = append(stretches, checks.Stretch{Name: song.LineName(i) + " from " + s.Pass, Span: span, Tolerance: p.Setup.SyncTolerance()})
			}
		}
	}
	lags, err := checks.Lags(ctx, record, &laid, stretches)
	if err != nil {
		return checks.Report{}, err
	}
	out.Lags = lags
	return checks.OfLags(lags, stretches, c.Rate, c.From), nil
}

// leastStretch is the shortest part of a line whose sync is measured again, in
// seconds: under a second hardly an attack is left to measure with.
const leastStretch = 1.0

// laidSound is sound on the clock of the record.
type laidSound struct{ samples []float32 }

func (l *laidSound) Rate() int { return dsp.AnalysisRate }
func (l *laidSound) Len() int  { return len(l.samples) }

// Read fills dst with the samples from sample `from` on, zeros outside.
func (l *laidSound) Read(dst []float32, from int) error {
	clear(dst)
	lo, hi := max(from, 0), min(from+len(dst), len(l.samples))
	if lo < hi {
		copy(dst[lo-from:], l.samples[lo:hi])
	}
	return nil
}

// layShot lays the pass's own sound where the shot shows the pass.
func (w *Work) layShot(ctx context.Context, laid *laidSound, c *film.Cut, s film.Shot, p *Pass) error {
	own := passOf(p.Files[0].Clip, p.Setup)
	for _, f := range p.Files {
		if f.Clip.ID == s.Clip {
			own = passOf(f.Clip, p.Setup) // the camera's own sound, even where a recorder was surer
		}
	}
	src, _, err := w.soundOf(ctx, &own, func(float64) {})
	if err != nil {
		return err
	}
	from, to := sampleAt(float64(c.At(s.First))), min(sampleAt(float64(c.At(s.End))), len(laid.samples))
	if from >= to {
		return src.Close()
	}
	speed := nativeSpeed(s)
	first := float64(s.SourceStart) * dsp.AnalysisRate
	raw := make([]float32, int(float64(to-from)*speed)+2)
	if err := errors.Join(src.Read(raw, int(math.Floor(first))), src.Close()); err != nil {
		return err
	}
	for i := from; i < to; i++ {
		at := float64(i-from)*speed + first - math.Floor(first)
		k := min(int(at), len(raw)-2)
		u := float32(at - float64(k))
		laid.samples[i] = raw[k]*(1-u) + raw[k+1]*u
	}
	return nil
}
