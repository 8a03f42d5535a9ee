package job

import (
	"context"
	"fmt"
	"math"
	"slices"

	"golang.org/x/sync/errgroup"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/look"
	"takeweave/internal/media"
)

// Instant is a moment of the cut that is hard for a look.
type Instant struct {
	Name    string        `json:"name"` // "the darkest face"
	Why     string        `json:"why"`  // with the number that was measured
	Pass    string        `json:"pass"`
	Setup   string        `json:"setup"`
	At      film.PassTime `json:"at_s"`
	Song    film.SongTime `json:"song_s"`
	Address string        `json:"address"`
	Face    *look.Box     `json:"face,omitempty"`
}

// How the shots of a cut are measured for their hardest instants: one small
// picture of the middle of each, of so many at most.
const (
	instantsVersion = 1
	instantsWidth   = 160
	mostMeasured    = 48
)

// measured is what is known of the middle of a shot.
type measured struct {
	Instant
	Size       film.Size `json:"size"`
	Levels     look.Levels
	FaceLuma   float64 // 0..1; meaningful with a face
	Colourful  float64 // the chroma that 2 % of the pixels reach
	FaceHeight float64 // share of the picture
}

// HardInstants returns the six instants of a cut that are hardest for a look, as
// measured; fewer of a cut with fewer shots.
func (w *Work) HardInstants(ctx context.Context, of string) ([]Instant, error) {
	c, song, passes, err := w.shown(ctx, of, cut.Options{})
	if err != nil {
		return nil, err
	}
	viewed, err := w.viewedOf(ctx, passes)
	if err != nil {
		return nil, err
	}
	key := fingerprint.Of("instants", instantsVersion, c.Shots, pictureVersion, len(viewed), passes)
	all, err := result(works(ctx), w, "instants", of, key, func() ([]measured, error) {
		return w.measureShots(ctx, &c, &song, passes, viewed)
	})
	return hardest(all), err
}

func (w *Work) measureShots(ctx context.Context, c *film.Cut, song *film.Song, passes []Pass, viewed map[int64]Viewed) ([]measured, error) {
	byName := map[string]*Pass{}
	for i := range passes {
		byName[passes[i].Name] = &passes[i]
	}
	every := max(1, (len(c.Shots)+mostMeasured-1)/mostMeasured)
	all := make([]*measured, (len(c.Shots)+every-1)/every)
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(sideBySide())
	for i := range all {
		s := c.Shots[i*every]
		if p := byName[s.Pass]; p != nil {
			g.Go(func() (err error) {
				all[i], err = w.measureShot(gctx, c, s, p, song, viewed)
				return err
			})
		}
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	out := []measured{}
	for _, m := range all {
		if m != nil {
			out = append(out, *m)
		}
	}
	return out, nil
}

// measureShot measures the middle of a shot; nil when it cannot be decoded.
func (w *Work) measureShot(ctx context.Context, c *film.Cut, s film.Shot, p *Pass, song *film.Song, viewed map[int64]Viewed) (*measured, error) {
	at := c.At((s.First + s.End) / 2)
	m := measured{Size: p.Setup.Size, Instant: Instant{
		Pass: s.Pass, Setup: p.Setup.Name, Song: at, Address: song.Address(at),
		At: p.fileStart(s.Clip) + s.SourceStart + film.PassTime(float64(at-c.At(s.First))*nativeSpeed(s)),
	}}
	pix, height, err := w.frameOf(ctx, p, m.At, instantsWidth, media.RGB24)
	if err != nil {
		if film.CodeOf(err) == film.CodeUnreadable {
			err = nil
		}
		return nil, err
	}
	picture := look.FromRGB8(instantsWidth, height, pix)
	m.Levels, m.Colourful = picture.Measure(), colourful(picture)
	if face, known := p.faceAt(m.At, viewed); known {
		m.Face, m.FaceHeight, m.FaceLuma = &face, face.H, picture.Read(face).Luma
	}
	return &m, nil
}

// fileStart returns where a file of the pass begins on the clock of the pass.
func (p *Pass) fileStart(clip int64) film.PassTime {
	for _, f := range p.Files {
		if f.Clip.ID == clip {
			return f.At
		}
	}
	return 0
}

// colourful is the chroma that the strongest 2 % of a picture reach.
func colourful(p *look.Picture) float64 {
	var all []float64
	for _, c := range p.Sample(p.Width * p.Height) {
		cb, cr := look.ChromaOf(c)
		all = append(all, math.Hypot(cb, cr))
	}
	slices.Sort(all)
	return all[len(all)*98/100]
}

// hardness is a way of being hard for a look.
type hardness struct {
	name  string
	knows func(measured) bool // whether it can be said of a picture
	score func(measured) float64
	why   func(measured) string
}

func always(measured) bool     { return true }
func hasFace(m measured) bool  { return m.Face != nil }
func noFace(m measured) bool   { return m.Face == nil }
func hasSize(m measured) bool  { return sizeOf(m) > 0 }
func percent(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) }

// sizeOf puts the sizes of setups in order, 0 where none is said.
func sizeOf(m measured) float64 {
	return float64(1 + slices.Index([]film.Size{film.SizeWide, film.SizeMid, film.SizeClose, film.SizeInsert}, m.Size))
}

func contrast(m measured) float64 { return m.Levels.High - m.Levels.Low }

func clipped(m measured) float64 {
	return max(m.Levels.ClippedHigh[0], m.Levels.ClippedHigh[1], m.Levels.ClippedHigh[2]) + m.Levels.AllLow
}

// places are the six places, each with what stands there and what stands in for
// it where that is not known. Faces come first: there are the fewest of them.
var places = [][]hardness{
	{
		{"the darkest face", hasFace, func(m measured) float64 { return -m.FaceLuma }, func(m measured) string { return "the face stands at " + percent(m.FaceLuma) }},
		{"the darkest picture", noFace, func(m measured) float64 { return -m.Levels.Median }, func(m measured) string { return "half of it lies below " + percent(m.Levels.Median) }},
	},
	{
		{"the widest", hasFace, func(m measured) float64 { return -m.FaceHeight }, func(m measured) string { return "the face takes " + percent(m.FaceHeight) + " of the height" }},
		{"the widest", hasSize, func(m measured) float64 { return -sizeOf(m) }, func(m measured) string { return "its setup is " + string(m.Size) }},
		{"the hardest contrast", always, contrast, func(m measured) string { return "from " + percent(m.Levels.Low) + " to " + percent(m.Levels.High) }},
	},
	{
		{"the tightest", hasFace, func(m measured) float64 { return m.FaceHeight }, func(m measured) string { return "the face takes " + percent(m.FaceHeight) + " of the height" }},
		{"the tightest", hasSize, sizeOf, func(m measured) string { return "its setup is " + string(m.Size) }},
		{"the least contrast", always, func(m measured) float64 { return -contrast(m) }, func(m measured) string { return "from " + percent(m.Levels.Low) + " to " + percent(m.Levels.High) }},
	},
	{{"the brightest picture", always, func(m measured) float64 { return m.Levels.Median }, func(m measured) string { return "half of it lies above " + percent(m.Levels.Median) }}},
	{
		{"the most clipped", func(m measured) bool { return clipped(m) > 0 }, clipped, func(m measured) string { return fmt.Sprintf("%.1f %% of it is clipped", 100*clipped(m)) }},
		{"the hardest contrast", always, contrast, func(m measured) string { return "from " + percent(m.Levels.Low) + " to " + percent(m.Levels.High) }},
	},
	{{"the strongest colours", always, func(m measured) float64 { return m.Colourful }, func(m measured) string { return fmt.Sprintf("a chroma of %.2f", m.Colourful) }}},
}

// hardest fills each place with the picture that is hardest in its way, each
// picture once.
func hardest(all []measured) []Instant {
	taken := make([]bool, len(all))
	out := []Instant{}
	for _, place := range places {
		for _, way := range place {
			best := -1
			for i, m := range all {
				if !taken[i] && way.knows(m) && (best < 0 || way.score(m) > way.score(all[best])) {
					best = i
				}
			}
			if best < 0 {
				continue
			}
			taken[best] = true
			m := all[best].Instant
			m.Name, m.Why = way.name, way.why(all[best])
			out = append(out, m)
			break
		}
	}
	return out
}
