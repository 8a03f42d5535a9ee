package handover

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"golang.org/x/sync/errgroup"

	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/media"
)

// shotVersion is the version of the way a shot is rendered.
const shotVersion = 4

// Plan is all that a render needs.
type Plan struct {
	Cut        film.Cut
	Width      int // of the film, pixels, even
	Height     int
	Sources    map[int64]Source       // by clip id
	Grades     map[string]media.Grade // by the name of the setup; "" is that of clips without one
	Overlays   []Overlay
	Record     string // path of the record
	RecordInfo media.Info
	RecordSum  string  // its digest
	GainDB     float64 // of the record
	Part       bool    // only a part of the record, as long as the cut
	Encoder    media.EncoderSettings
	CacheDir   string // rendered shots are kept here
	Out        string // the film
}

// Overlay is a picture that lies on the film for a while: a title, a caption.
type Overlay struct {
	Picture    string      // a PNG with alpha, named by its content
	X, Y       int         // of its top left corner, pixels
	First, End film.Frames // of the film, half open
	Fade       film.Frames // in and out
}

// over returns the overlays that a shot shows, on the shot's own frames.
func over(all []Overlay, shot film.Shot) (out []media.Overlay) {
	for _, o := range all {
		if o.First < shot.End && o.End > shot.First {
			out = append(out, media.Overlay{Picture: o.Picture, X: o.X, Y: o.Y, From: o.First - shot.First, To: o.End - shot.First, FadeIn: o.Fade, FadeOut: o.Fade})
		}
	}
	return out
}

// Source is a clip as the renderer sees it.
type Source struct {
	Info   media.Info
	Digest string
}

// Rendered says what a render did.
type Rendered struct {
	Path  string   `json:"path"`
	Made  int      `json:"shots_made"`
	Found int      `json:"shots_found"` // already rendered, from an earlier run
	Shots []string `json:"-"`           // the file of each shot of the cut, in the cache
}

// Render makes the film. progress is told
// how many more film frames are rendered; it is called from several goroutines.
// Nothing appears at p.Out before it is whole. Errors are those of the codec
// layer: a full disk, a source that has gone, a cancelled context.
func Render(ctx context.Context, e *media.Engine, p Plan, progress func(frames int64)) (Rendered, error) {
	r := Rendered{Path: p.Out}
	if err := os.MkdirAll(p.CacheDir, 0o777); err != nil {
		return r, err
	}
	if err := os.MkdirAll(filepath.Dir(p.Out), 0o777); err != nil {
		return r, err
	}
	join := media.JoinSpec{Rate: p.Cut.Rate, Record: p.Record, RecordInfo: p.RecordInfo, RecordFrom: float64(p.Cut.From), Part: p.Part, GainDB: p.GainDB, Out: p.Out}
	started := map[string]bool{} // the same shot may stand in the cut twice
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(e.Parallel(p.Width, p.Height))
	for i, shot := range p.Cut.Shots {
		spec := media.ShotSpec{From: shot.SourceStart, Speed: shot.Speed, Frames: shot.End - shot.First, Rate: p.Cut.Rate, Width: p.Width, Height: p.Height, Crop: shot.Crop, Overlays: over(p.Overlays, shot), Encoder: p.Encoder}
		if shot.File != "" {
			spec.Grade = p.Grades[shot.Setup]
		}
		var digest string
		if shot.File != "" {
			s, ok := p.Sources[shot.Clip]
			if !ok {
				return r, fmt.Errorf("shot %d: clip %q is not among the sources", i+1, shot.File)
			}
			spec.Source, spec.Info, digest = s.Info.Path, s.Info, s.Digest
		}
		spec.Out = filepath.Join(p.CacheDir, shotKey(e, spec, digest)+p.Encoder.Codec.Ext())
		join.Segments = append(join.Segments, spec.Out)
		join.Frames = append(join.Frames, spec.Frames)
		if _, err := os.Stat(spec.Out); err == nil || started[spec.Out] {
			r.Found++
			progress(int64(spec.Frames))
			continue
		}
		started[spec.Out] = true
		r.Made++
		g.Go(func() error {
			var told int64 // of this shot
			err := e.Shot(gctx, spec, func(n int64) {
				progress(n - told)
				told = n
			})
			if err != nil {
				return fmt.Errorf("shot %d, from %s: %w", i+1, shot.File, err)
			}
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return r, err
	}
	r.Shots = join.Segments
	if err := codeRecord(ctx, e, &p, &join); err != nil {
		return r, err
	}
	return r, e.Join(ctx, join)
}

// recordVersion is the version of the way the sound is coded.
const recordVersion = 1

// codeRecord has the sound of a whole film coded once and kept, so that the film is
// joined anew without it. Parts and films to work on have theirs from the record.
func codeRecord(ctx context.Context, e *media.Engine, p *Plan, join *media.JoinSpec) error {
	if p.Record == "" || p.Part || p.RecordInfo.Sound == nil || p.Encoder.Codec == media.ProRes || join.CopiesSound(p.Encoder.Codec) {
		return nil
	}
	coded := filepath.Join(p.CacheDir, fingerprint.Of("record", recordVersion, e.Kind(), e.Version(), p.RecordSum, p.GainDB)+".m4a")
	if _, err := os.Stat(coded); err != nil {
		if err := e.CodeRecord(ctx, *join, coded); err != nil {
			return err
		}
	}
	info, err := e.Probe(ctx, coded)
	join.Record, join.RecordInfo, join.GainDB = coded, info, 0
	return err
}

// shotKey hashes everything that a rendered shot depends on. Engines encode
// differently, so a shot is never shared between them; how many threads one has
// follows the free memory and does not count.
func shotKey(e *media.Engine, s media.ShotSpec, digest string) string {
	s.Encoder.Threads = 0
	s.Grade.Table = filepath.Base(s.Grade.Table) // named by its content; the film may have been moved
	key := fingerprint.Of("shot", shotVersion, e.Kind(), e.Version(), digest, s.From, s.Speed, s.Frames, s.Rate, s.Width, s.Height, s.Crop, s.Grade, s.Encoder)
	if len(s.Overlays) == 0 {
		return key
	}
	laid := slices.Clone(s.Overlays)
	for i := range laid {
		laid[i].Picture = filepath.Base(laid[i].Picture)
	}
	return fingerprint.Of(key, laid)
}
