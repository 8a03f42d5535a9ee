package job

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

	"takeweave/internal/crop"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/media"
	"takeweave/internal/picture"
)

// Viewed is what was seen of a clip.
type Viewed struct {
	Reading picture.Reading `json:"reading"`
	Seen    []picture.Seen  `json:"seen"` // the subject
}

// How clips are viewed at: five pictures a second, faces once a second. See
// docs/picture.md.
const (
	viewLong   = 416
	viewRate   = 5 // pictures a second
	facesEvery = 5 // pictures
)

// View looks at every clip that lines up: sharpness, light, shake, faces. The cut
// uses what is known; it does without what is not.
func (w *Work) View(ctx context.Context) error {
	passes, err := w.LineUp(ctx)
	if err != nil {
		return err
	}
	var clips []film.Clip
	var minutes float64
	seen := map[int64]bool{}
	for i := range passes {
		for _, f := range passes[i].Files {
			if passes[i].Filmed() && !seen[f.Clip.ID] {
				seen[f.Clip.ID] = true
				clips = append(clips, f.Clip)
				minutes += f.Clip.Duration / 60
			}
		}
	}
	stage := w.Progress.Stage(stepPicture, minutes, "min of footage")
	defer stage.End()
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(sideBySide())
	for _, c := range clips {
		g.Go(func() error {
			part := stage.Part(c.Duration / 60)
			stage.Note(c.File)
			if _, err := w.view(gctx, c, part); unlessNotYet(err) != nil && gctx.Err() == nil {
				return fmt.Errorf("%s of %s: %w", stepPicture, c.File, err)
			}
			part(1)
			return gctx.Err()
		})
	}
	return g.Wait()
}

// view looks at one clip. Of a clip that cannot be decoded nothing is known.
func (w *Work) view(ctx context.Context, c film.Clip, progress func(float64)) (Viewed, error) {
	w.memoryMu.Lock()
	v, known := w.views[c.Digest]
	w.memoryMu.Unlock()
	if known {
		return v, nil
	}
	key := fingerprint.Of(stepPicture, pictureVersion, c.Digest)
	v, err := result(ctx, w, stepPicture, subject(c), key, func() (Viewed, error) {
		scale := viewLong / float64(max(c.Width, c.Height, 1))
		even := func(v int) int { return max(32, 2*int(float64(v)*scale/2+0.5)) }
		width, height := even(c.Width), even(c.Height)
		meter, err := picture.New(width, height, film.Rate{Num: viewRate, Den: 1})
		if err != nil {
			return Viewed{}, err
		}
		finder, err := picture.NewFinder(viewLong)
		if err != nil {
			return Viewed{}, err
		}
		var looks []picture.Look
		grey := make([]byte, width*height)
		err = w.Engine.Frames(ctx, c.Path, media.FramesOptions{
			From: c.PictureStart, Rate: film.Rate{Num: viewRate, Den: 1}, Width: width, Height: height, Format: media.RGB24,
		}, func(i int, pix []byte) error {
			picture.Grey(grey, pix)
			meter.Add(grey)
			at := c.PictureStart + film.PassTime(i)/viewRate
			if i%facesEvery == 0 {
				looks = append(looks, picture.Look{At: at, Faces: finder.Find(pix, width, height)})
			}
			progress(math.Min(1, float64(at)/math.Max(c.Duration, 1)))
			return ctx.Err()
		})
		if ctx.Err() != nil {
			return Viewed{}, ctx.Err()
		}
		if err != nil && film.CodeOf(err) != film.CodeUnreadable {
			return Viewed{}, err
		}
		l := Viewed{Seen: picture.Subject(looks)}
		l.Reading = meter.Result(c.PictureStart, l.Seen)
		return l, nil
	})
	if err == nil {
		w.memoryMu.Lock()
		w.views[c.Digest] = v
		w.memoryMu.Unlock()
	}
	return v, err
}

// viewedOf returns what is known of the pictures of all passes, by clip; what has
// not been viewed at yet is left out.
func (w *Work) viewedOf(ctx context.Context, passes []Pass) (map[int64]Viewed, error) {
	all := map[int64]Viewed{}
	for i := range passes {
		for _, f := range passes[i].Files {
			if _, known := all[f.Clip.ID]; known || !passes[i].Filmed() {
				continue
			}
			l, err := w.view(Peek(ctx), f.Clip, func(float64) {})
			if err := unlessNotYet(err); err != nil {
				return nil, err
			}
			if err == nil {
				all[f.Clip.ID] = l
			}
		}
	}
	return all, nil
}

// sightings returns where the subject of a pass is seen, on the clock of the
// pass.
func (p *Pass) sightings(viewed map[int64]Viewed) []crop.Sighting {
	var all []crop.Sighting
	for _, f := range p.Files {
		for _, s := range viewed[f.Clip.ID].Seen {
			all = append(all, crop.Sighting{At: s.At + f.At, Box: crop.Box(s.Box), Confidence: s.Confidence})
		}
	}
	return all
}

// pictureGrades returns how good the pictures of a stretch of a pass are beside
// the best of its setup; nil when nothing is known.
func (p *Pass) pictureGrades(g *film.Segment, viewed map[int64]Viewed, best float64) *film.Grades {
	graded := make([][]picture.Grade, len(p.Files))
	known := false
	for k, f := range p.Files {
		if l, ok := viewed[f.Clip.ID]; ok && len(l.Reading.Moments) > 0 {
			graded[k] = l.Reading.Grades(best)
			known = true
		}
	}
	if !known {
		return nil
	}
	return gradesOf(g, func(at film.PassTime) float64 {
		k := p.fileAt(at)
		r := viewed[p.Files[k].Clip.ID].Reading
		i := int(math.Round(float64(at-p.Files[k].At-r.Start) / math.Max(r.StepSeconds, 0.01)))
		if i < 0 || i >= len(graded[k]) {
			return 1 // not known
		}
		return graded[k][i].Value
	})
}

// framingGrades returns how much of the subject a stretch of a pass keeps inside
// a shape; nil when the subject is never seen.
func (p *Pass) framingGrades(g *film.Segment, seen []crop.Sighting, shape film.Shape, rate film.Rate) (*film.Grades, error) {
	if len(seen) == 0 {
		return nil, nil
	}
	window, err := crop.Largest(p.Clip.Width, p.Clip.Height, shape)
	if err != nil {
		return nil, err
	}
	frames := film.Frames(float64(p.Clip.PictureEnd-p.Clip.PictureStart) * rate.PerSecond())
	path := crop.Follow(window, seen, crop.Stretch{From: p.Clip.PictureStart, Speed: 1, Frames: max(frames, 1), Rate: rate}, crop.Centre)
	table := crop.NewTable(path, seen)
	return gradesOf(g, func(at film.PassTime) float64 {
		l := table.Leaves(at-film.AgreementStep, at+film.AgreementStep)
		return 1 - l.Share
	}), nil
}

// gradesOf tabulates a grade of pass time along the song.
func gradesOf(g *film.Segment, grade func(at film.PassTime) float64) *film.Grades {
	span := g.SongSpan()
	out := &film.Grades{First: int(math.Floor(float64(span.From) / film.AgreementStep))}
	for t := film.SongTime(out.First) * film.AgreementStep; t < span.To; t += film.AgreementStep {
		out.Score = append(out.Score, grade(g.PassAt(t+film.AgreementStep/2)))
	}
	return out
}

// bestOfSetups returns the best sharpness among the passes of each setup.
func bestOfSetups(passes []Pass, viewed map[int64]Viewed) map[string]float64 {
	best := map[string]float64{}
	for i := range passes {
		for _, f := range passes[i].Files {
			best[passes[i].Setup.Name] = math.Max(best[passes[i].Setup.Name], viewed[f.Clip.ID].Reading.Best)
		}
	}
	return best
}

// PictureOf sums up what was seen of one pass.
type PictureOf struct {
	Pass      string   `json:"pass"`
	Setup     string   `json:"setup"`
	Faults    []string `json:"faults"`     // "soft for 4.2 s", the longest first
	FaceShare float64  `json:"face_share"` // of the time, 0..1
}

// leastFault is the shortest fault that is told, in seconds.
const leastFault = 0.4

// Pictures sums up what was seen of the passes that were looked at.
func (w *Work) Pictures(ctx context.Context) ([]PictureOf, error) {
	passes, err := w.LineUp(ctx)
	if err != nil {
		return nil, err
	}
	viewed, err := w.viewedOf(ctx, passes)
	if err != nil {
		return nil, err
	}
	best := bestOfSetups(passes, viewed)
	all := []PictureOf{}
	for i := range passes {
		p := &passes[i]
		seconds := map[string]float64{}
		var length, face float64
		for _, f := range p.Files {
			v, ok := viewed[f.Clip.ID]
			if !ok {
				continue
			}
			length += float64(len(v.Reading.Moments)) * v.Reading.StepSeconds
			face += float64(len(v.Seen)) * facesEvery / viewRate
			for _, g := range v.Reading.Grades(best[p.Setup.Name]) {
				for _, word := range g.Words {
					seconds[word] += v.Reading.StepSeconds
				}
			}
		}
		if length == 0 {
			continue
		}
		out := PictureOf{Pass: p.Name, Setup: p.Setup.Name, Faults: []string{}, FaceShare: math.Min(1, face/length)}
		words := slices.SortedFunc(maps.Keys(seconds), func(a, b string) int {
			return cmp.Or(cmp.Compare(seconds[b], seconds[a]), strings.Compare(a, b))
		})
		for _, word := range words {
			if seconds[word] >= leastFault {
				out.Faults = append(out.Faults, fmt.Sprintf("%s for %.1f s", word, seconds[word]))
			}
		}
		all = append(all, out)
	}
	return all, nil
}
