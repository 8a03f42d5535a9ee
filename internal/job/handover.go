package job

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/handover"
	"takeweave/internal/media"
)

// HandedOver says where the film and its report lie and what the figures are.
type HandedOver struct {
	Film    string           `json:"film"`
	Report  string           `json:"report"`
	Bytes   int64            `json:"bytes"`
	Figures handover.Figures `json:"figures"`
	Format  Format           `json:"format"`
	Engine  string           `json:"engine"`
	Order   Order            `json:"order"`
	Checked Checked          `json:"checked"`
	// Left is what was to be written into the picture and had no place, in words.
	Left   []string     `json:"not_written,omitempty"`
	Others []HandedOver `json:"others,omitempty"` // the other films that were ordered
}

// titleOf names a film of an order: "slow-ferry", "slow-ferry, 9:16, A2".
func titleOf(name string, o Order) string {
	if o.Shape != "" {
		name += ", " + string(o.Shape)
	}
	if o.Part != "" {
		name += ", " + o.Part
	}
	return name
}

// stillWidth is the width of a report's pictures in pixels.
const stillWidth = 480

// Handover renders every film that was ordered under the record and writes a
// report beside each.
func (w *Work) Handover(ctx context.Context, o cut.Options) (HandedOver, error) {
	orders, err := w.Orders(ctx)
	if err != nil {
		return HandedOver{}, err
	}
	var whole HandedOver
	for i, order := range orders {
		h, err := w.handOver(ctx, order, o)
		if err != nil {
			return whole, err
		}
		if i == 0 {
			whole = h
		} else {
			whole.Others = append(whole.Others, h)
		}
	}
	return whole, nil
}

// handOver renders one film.
func (w *Work) handOver(ctx context.Context, order Order, o cut.Options) (HandedOver, error) {
	c, song, passes, err := w.shown(ctx, order.ID, o)
	if err != nil {
		return HandedOver{}, err
	}
	format, err := w.FormatOf(ctx, order, passes)
	if err != nil {
		return HandedOver{}, err
	}
	recordPath, _, err := w.record(ctx)
	if err != nil {
		return HandedOver{}, err
	}
	h := HandedOver{
		Film:    w.filmPath(order),
		Report:  filepath.Join(w.Store.Dir, "out", fileOf(order, "report", ".html")),
		Figures: handover.FiguresOf(c, song),
		Format:  format,
		Engine:  w.Engine.Describe(),
		Order:   order,
	}
	key, err := w.handoverKey(ctx, order, o)
	if err != nil {
		return h, err
	}
	var before HandedOver
	stored, err := w.Store.Result(ctx, stepHandover, order.ID, &before)
	if err != nil {
		return h, err
	}
	if stored == key && stillThere(h.Film, before.Bytes) && stillThere(h.Report, -1) {
		w.count(stepHandover, 0, 1)
		h.Bytes, h.Engine, h.Checked, h.Left = before.Bytes, before.Engine, before.Checked, before.Left
		return h, nil
	}
	faces, err := w.facesOf(ctx, order, &c, passes)
	if err != nil {
		return h, err
	}
	laid, left, err := w.letters(ctx, order, format, &song, &c, faces)
	if err != nil {
		return h, err
	}
	h.Left = left
	rendered, err := w.render(ctx, h, c, passes, laid)
	if err != nil {
		return h, err
	}
	if err := w.writeCaptions(order, &song, &c, faces); err != nil {
		return h, err
	}
	if err := w.Store.PutResult(ctx, stepShown, order.ID, key, c); err != nil {
		return h, err
	}
	if h.Checked, err = w.Check(ctx, order.ID); err != nil {
		return h, err
	}
	if err := w.report(ctx, h, c, song, passes, rendered.Shots, recordPath); err != nil {
		return h, err
	}
	st, err := os.Stat(h.Film)
	if err != nil {
		return h, err
	}
	h.Bytes = st.Size()
	w.count(stepHandover, 1, 0)
	return h, w.Store.PutResult(ctx, stepHandover, order.ID, key, h)
}

// encoder returns how the film of an order is coded.
func (w *Work) encoder(o Order, f Format) (media.EncoderSettings, error) {
	s := w.Engine.Encoder(f.Width, f.Height)
	if o.Coding != "" {
		s.Codec = o.Coding
	}
	return s, w.Engine.CanEncode(s.Codec)
}

// filmPath is where the finished film of an order lies.
func (w *Work) filmPath(o Order) string {
	return filepath.Join(w.Store.Dir, "out", fileOf(o, "film", o.Coding.Ext()))
}

// fileOf names a file of an order: "film.mp4", "film-9x16.mp4".
func fileOf(order Order, name, ending string) string {
	if order.ID != WholeFilm {
		name += "-" + order.ID
	}
	return name + ending
}

// stillThere reports whether a file made earlier is there, with its size
// unchanged when bytes is not negative.
func stillThere(path string, bytes int64) bool {
	st, err := os.Stat(path)
	return err == nil && (bytes < 0 || st.Size() == bytes)
}

func (w *Work) render(ctx context.Context, h HandedOver, c film.Cut, passes []Pass, laid []handover.Overlay) (handover.Rendered, error) {
	var none handover.Rendered
	recordPath, recordSum, err := w.record(ctx)
	if err != nil {
		return none, err
	}
	recordInfo, err := w.info(ctx, recordPath)
	if err != nil {
		return none, err
	}
	encoder, err := w.encoder(h.Order, h.Format)
	if err != nil {
		return none, err
	}
	gain, err := w.Gain(ctx)
	if err != nil {
		return none, err
	}
	grades, err := w.grades(ctx, passes, h.Format)
	if err != nil {
		return none, err
	}
	plan := handover.Plan{
		Grades: grades,
		GainDB: gain.DB,
		Cut:    c, Width: h.Format.Width, Height: h.Format.Height, Sources: map[int64]handover.Source{},
		Record: recordPath, RecordInfo: recordInfo, RecordSum: recordSum, Part: h.Order.Part != "", Encoder: encoder, Overlays: laid,
		CacheDir: filepath.Join(w.Store.Dir, "cache", "shots"), Out: h.Film,
	}
	for _, p := range passes {
		if !p.Filmed() {
			continue
		}
		for _, f := range p.Files {
			info, err := w.info(ctx, f.Clip.Path)
			if err != nil {
				return none, err
			}
			plan.Sources[f.Clip.ID] = handover.Source{Info: info, Digest: f.Clip.Digest}
			plan.Encoder.Bits = max(plan.Encoder.Bits, media.BitsFor(info))
		}
	}
	stage := w.Progress.Stage("film", float64(c.Frames), "frames")
	defer stage.End()
	return handover.Render(ctx, w.Engine, plan, func(n int64) { stage.Add(float64(n)) })
}

// reportChecks is what the report says of the check.
func reportChecks(h HandedOver) handover.Checks {
	c := h.Checked
	out := handover.Checks{Words: c.Words, Caution: c.Caution, NotWritten: h.Left}
	for i, f := range c.Verdict.Findings {
		found := handover.Found{Where: c.Where[i], What: string(f.Kind), Words: f.Words}
		if i < len(c.Stills) {
			found.Still = c.Stills[i]
		}
		out.Findings = append(out.Findings, found)
	}
	for _, n := range c.Verdict.NotChecked {
		out.NotChecked = append(out.NotChecked, fmt.Sprintf("%s: %s", n.Kind, n.Why))
	}
	if l := float64(c.Loudness.IntegratedLUFS); !math.IsNaN(l) && !math.IsInf(l, 0) {
		out.Sound = fmt.Sprintf("%.1f LUFS, range %.1f LU, true peak %.1f dBTP", l, float64(c.Loudness.RangeLU), float64(c.Loudness.TruePeakDBTP))
	}
	return out
}

// shotStill returns a picture of a rendered shot, kept as long as the shot is.
func (w *Work) shotStill(ctx context.Context, shot string, at film.PassTime) ([]byte, error) {
	path, err := w.keptStill(ctx, filepath.Base(shot), shot, at, stillWidth)
	if err != nil {
		return nil, err
	}
	return os.ReadFile(path)
}

func (w *Work) report(ctx context.Context, h HandedOver, c film.Cut, song film.Song, passes []Pass, shots []string, recordPath string) error {
	stage := w.Progress.Stage("report", float64(len(c.Shots)), "pictures")
	defer stage.End()
	r := handover.Report{
		Title: titleOf(filepath.Base(w.Store.Dir), h.Order), Record: filepath.Base(recordPath), FilmFile: filepath.Base(h.Film), Engine: h.Engine,
		Width: h.Format.Width, Height: h.Format.Height, Song: song, Cut: c, Checks: reportChecks(h),
	}
	used := map[string]float64{}
	for i, s := range c.Shots {
		picture, err := w.shotStill(ctx, shots[i], film.PassTime(c.Rate.FrameStart((s.End-s.First)/2)))
		if err != nil {
			return err
		}
		r.Stills = append(r.Stills, picture)
		if s.File != "" {
			used[s.Pass] += float64(c.Rate.FrameStart(s.End - s.First))
		}
		stage.Add(1)
	}
	for _, p := range passes {
		r.Passes = append(r.Passes, handover.PassReport{Name: p.Name, Clip: p.Clip, LineUp: p.LineUp, Agreement: p.Agreement, Used: used[p.Name]})
	}
	var page bytes.Buffer
	if err := handover.WriteReport(&page, r); err != nil {
		return err
	}
	return writeWhole(h.Report, func(out io.Writer) error {
		_, err := page.WriteTo(out)
		return err
	})
}
