package job

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sort"

	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/lineup"
)

// Apart is the sound of a pass from a separate recorder.
type Apart struct {
	File     string  `json:"file"`
	Path     string  `json:"-"`
	Digest   string  `json:"-"`
	Duration float64 `json:"-"`
	// At is the recorder's time at the pass's 0, in seconds; DriftPPM how much
	// faster its clock runs than the camera's.
	At         float64 `json:"at_s"`
	AtErrorMS  float64 `json:"at_error_ms"`
	DriftPPM   float64 `json:"drift_ppm"`
	DriftError float64 `json:"drift_error_ppm"`
	// Heard is set when the pass is lined up by the recorder, because that is
	// surer than by the camera's own sound.
	Heard bool `json:"heard"`
}

// A sound file that holds the record over this share and is as long to within
// this many seconds is a copy of it. A recorder runs before and after the song.
// Common practice.
const (
	copyShare   = 0.95
	copySeconds = 2.0
)

// clearlyMore is how many times as much sound as the next best pass the right
// one shares with a recorder, at least. On generated passes to a loudspeaker it
// was 1.09 times as much (see lineup.SameSound).
const clearlyMore = 1.05

// withRecorders finds which recorder heard which pass, says so in the recorder's
// own reason, and lines a pass up by the recorder where that is surer.
func (w *Work) withRecorders(ctx context.Context, heard []Pass, songSeconds float64) error {
	for i := range heard {
		recorder := &heard[i]
		if !recorder.Clip.SoundOnly || recorder.Clip.Refusal != "" {
			continue
		}
		if recorder.LineUp.Playback && recorder.LineUp.Covered > copyShare*songSeconds && math.Abs(recorder.Clip.Duration-songSeconds) < copySeconds {
			recorder.LineUp.Reason = "sound only: taken for a copy of the record, as long as it and the same throughout"
			continue
		}
		found, err := w.passesOn(ctx, recorder, heard)
		if errors.Is(err, ErrNotYet) {
			continue
		}
		if err != nil {
			return err
		}
		says := "sound only, and of no pass that was filmed"
		for n, f := range found {
			p := &heard[f.pass]
			if n == 0 {
				says = "sound only: "
			} else {
				says += ", "
			}
			if f.rival != "" {
				says += fmt.Sprintf("the playing of %s or of %s, not sure which", p.Name, f.rival)
				continue
			}
			p.Apart = &Apart{
				File: recorder.Clip.File, Path: recorder.Clip.Path, Digest: recorder.Clip.Digest, Duration: recorder.Clip.Duration,
				At: f.same.Offset, AtErrorMS: 1000 * f.same.OffsetError, DriftPPM: f.same.DriftPPM, DriftError: f.same.DriftError,
			}
			if err := w.bySurerEar(ctx, p); err != nil {
				return err
			}
			says += fmt.Sprintf("the same playing as %s (begins at %.3f s of it, clock %+.1f ± %.1f ppm)", p.Name, f.same.Offset, f.same.DriftPPM, f.same.DriftError)
		}
		recorder.LineUp.Reason = says + "; " + recorder.LineUp.Reason
	}
	return nil
}

// heardOn is a pass found on a recorder.
type heardOn struct {
	pass  int // its place in the list
	same  lineup.Match
	rival string // another pass that matches about as well, "" for none
}

// from and to bound it on the recorder's clock.
func (h heardOn) from() float64 { return h.same.At(h.same.From) }
func (h heardOn) to() float64   { return h.same.At(h.same.To) }

// passesOn finds the passes that a recorder heard, in the order in which it
// heard them. Where two claim the same stretch the better match has it.
func (w *Work) passesOn(ctx context.Context, recorder *Pass, heard []Pass) ([]heardOn, error) {
	var all []heardOn
	for i := range heard {
		p := &heard[i]
		if p.Clip.SoundOnly || p.Clip.Refusal != "" || !p.Clip.HasSound {
			continue
		}
		same, err := w.sameSound(ctx, recorder.Clip, p.Clip)
		if err != nil {
			return nil, err
		}
		if same.Same {
			all = append(all, heardOn{pass: i, same: same})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].same.Shared > all[j].same.Shared })
	var kept []heardOn
	for _, f := range all {
		free := true
		for i := range kept {
			k := &kept[i]
			if min(f.to(), k.to())-max(f.from(), k.from()) < 1 { // second: the edges are not exact
				continue
			}
			free = false
			if k.same.Shared < clearlyMore*f.same.Shared {
				k.rival = heard[f.pass].Name
			}
		}
		if free {
			kept = append(kept, f)
		}
	}
	sort.Slice(kept, func(i, j int) bool { return kept[i].from() < kept[j].from() })
	return kept, nil
}

// sameSound asks whether a recorder and a camera heard the same playing.
func (w *Work) sameSound(ctx context.Context, recorder, camera film.Clip) (lineup.Match, error) {
	key := fingerprint.Of("apart", apartVersion, recorder.Digest, camera.Digest)
	return result(ctx, w, stepApart, subject(recorder)+" "+subject(camera), key, func() (lineup.Match, error) {
		a, _, err := w.listen(ctx, camera.Path, camera.Digest, camera.Duration, func(float64) {})
		if film.CodeOf(err) == film.CodeUnreadable {
			return lineup.Match{}, nil
		}
		if err != nil {
			return lineup.Match{}, err
		}
		b, _, err := w.listen(ctx, recorder.Path, recorder.Digest, recorder.Duration, func(float64) {})
		if film.CodeOf(err) == film.CodeUnreadable {
			return lineup.Match{}, nil
		}
		if err != nil {
			return lineup.Match{}, err
		}
		return lineup.SameSound(ctx, a, b)
	})
}

// bySurerEar lines p up by its recorder too and keeps that when it is surer.
func (w *Work) bySurerEar(ctx context.Context, p *Pass) error {
	other := *p
	apart := *p.Apart
	apart.Heard = true
	other.Apart = &apart
	lu, err := w.lineUp(ctx, &other, func(float64) {})
	if err := unlessNotYet(err); err != nil {
		return err
	}
	if surer(lu, p.LineUp) {
		other.LineUp = lu
		other.LineUp.Reason += fmt.Sprintf("; heard by the recorder (%s), which is surer than the camera", apart.File)
		*p = other
	}
	return nil
}

// surer reports whether line-up a is to be preferred to b: it lines up where b
// does not, covers more, or covers as much with smaller bounds.
func surer(a, b film.LineUp) bool {
	if a.Status != film.Aligned || b.Status != film.Aligned {
		return a.Status == film.Aligned && b.Status != film.Aligned
	}
	if d := a.Covered - b.Covered; d > 2 || d < -2 { // seconds
		return d > 0
	}
	return meanBound(a) < meanBound(b)
}

// meanBound is the mean error bound of a line-up in milliseconds.
func meanBound(lu film.LineUp) float64 {
	var sum, n float64
	for _, g := range lu.Segments {
		for _, e := range g.ErrorMS {
			sum, n = sum+e, n+1
		}
	}
	return sum / max(n, 1)
}
