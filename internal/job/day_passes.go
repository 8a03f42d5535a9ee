package job

import (
	"cmp"
	"context"
	"math"
	"slices"

	"takeweave/internal/daylog"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/passcall"
	"takeweave/internal/store"
)

// stepCalls finds what a clip says of when it was filmed.
const (
	stepCalls    = "calls"
	callsVersion = 3
)

// dayPasses returns the passes of the clips that are there, none when there are
// no clips yet.
func (w *Work) dayPasses(ctx context.Context) ([]Pass, error) {
	passes, err := w.Agree(ctx)
	if code := film.CodeOf(err); code == film.CodeNoClips || code == film.CodeNeedsStep {
		return nil, nil
	}
	return passes, err
}

// passesAway returns the passes of clips that were judged and are not there now,
// for their card is out of the reader. One that is there under another name is not
// away.
func (w *Work) passesAway(ctx context.Context) ([]Pass, error) {
	away, err := w.clipsAway(ctx)
	if err != nil || len(away) == 0 {
		return nil, err
	}
	setups, err := w.Setups(ctx)
	if err != nil {
		return nil, err
	}
	known := Peek(ctx)
	song, err := w.Song(known)
	if err != nil {
		return nil, unlessNotYet(err)
	}
	var all []Pass
	for _, c := range away {
		whole := passOf(c.Clip, setups[c.Setup])
		if whole.LineUp, err = w.lineUp(known, &whole, nil); err != nil {
			if err := unlessNotYet(err); err != nil {
				return nil, err
			}
			continue
		}
		for _, p := range performances(whole, float64(song.Duration)) {
			if p.Agreement, err = w.agree(known, &p, nil); unlessNotYet(err) != nil {
				return nil, err
			}
			all = append(all, p)
		}
	}
	return all, nil
}

// clipsAway returns the clips that were seen and are not there now.
func (w *Work) clipsAway(ctx context.Context) ([]store.SeenClip, error) {
	seen, err := w.Store.AllClips(ctx)
	if err != nil {
		return nil, err
	}
	there := map[string]bool{}
	for _, c := range seen {
		there[c.Digest] = there[c.Digest] || c.Present
	}
	return slices.DeleteFunc(seen, func(c store.SeenClip) bool {
		return there[c.Digest] || c.SoundOnly || c.Refusal != ""
	}), nil
}

// dayClips returns what is known of the camera files of the passes.
func (w *Work) dayClips(ctx context.Context, passes []Pass) ([]daylog.Clip, error) {
	seen, err := w.Store.AllClips(ctx)
	if err != nil {
		return nil, err
	}
	told, err := documents[[]string](ctx, w, kindTold)
	if err != nil {
		return nil, err
	}
	var clips []daylog.Clip
	for _, c := range seen {
		isPass := slices.ContainsFunc(passes, func(p Pass) bool {
			return slices.ContainsFunc(p.Files, func(f PassFile) bool { return f.Clip.ID == c.ID })
		})
		if !isPass || c.SoundOnly || c.Refusal != "" {
			continue
		}
		hear := ctx
		if !c.Present {
			hear = Peek(ctx)
		}
		signs, err := w.signsOf(hear, c.Clip)
		if err := unlessNotYet(err); err != nil {
			return nil, err
		}
		clips = append(clips, daylog.Clip{
			File: c.File, Digest: c.Digest, TimeMS: cmp.Or(signs.CreatedMS, c.ModifiedNS/1e6), DurationS: c.Duration, Calls: signs.Calls,
			Setup: c.Setup, LineUp: lineUpOf(c.File, passes), Told: told[c.File],
		})
	}
	forgetCopyTimes(clips)
	return clips, nil
}

// forgetCopyTimes takes the times of files away that cannot be a camera's: when
// all were made in less time than half of what they last, but for the longest,
// they are the times of a copy.
func forgetCopyTimes(clips []daylog.Clip) {
	var lasts, longest float64
	first, last := int64(math.MaxInt64), int64(0)
	for _, c := range clips {
		lasts, longest = lasts+c.DurationS, max(longest, c.DurationS)
		first, last = min(first, c.TimeMS), max(last, c.TimeMS)
	}
	if len(clips) > 1 && float64(last-first) < 1000*(lasts-longest)/2 {
		for i := range clips {
			clips[i].TimeMS = 0
		}
	}
}

// signs is what a clip itself says of when it was filmed.
type signs struct {
	Calls     []daylog.Call `json:"calls,omitempty"`
	CreatedMS int64         `json:"created_ms,omitempty"` // by the camera's clock; 0 when it does not say
}

// signsOf returns the pass calls that are heard in a clip, and its camera's time.
func (w *Work) signsOf(ctx context.Context, c film.Clip) (signs, error) {
	key := fingerprint.Of(stepCalls, callsVersion, c.Digest)
	return result(ctx, w, stepCalls, subject(c), key, func() (signs, error) {
		var out signs
		info, err := w.info(ctx, c.Path)
		if err != nil {
			return out, unlessUnreadable(err)
		}
		if !info.Created.IsZero() {
			out.CreatedMS = info.Created.UnixMilli()
		}
		if !c.HasSound {
			return out, nil
		}
		sound, _, err := w.sound(ctx, c.Path, c.Digest, c.Duration, func(float64) {})
		if err != nil {
			return out, unlessUnreadable(err)
		}
		defer sound.Close()
		heard, err := passcall.Find(ctx, sound)
		for _, h := range heard {
			out.Calls = append(out.Calls, daylog.Call{Number: h.Number, AtS: h.At})
		}
		return out, err
	})
}

// unlessUnreadable forgets that a file cannot be read: nothing is heard in it.
func unlessUnreadable(err error) error {
	if film.CodeOf(err) == film.CodeUnreadable {
		return nil
	}
	return err
}

// lineUpOf returns where a file lies on the song, by its own clock; of a file with
// several performances all of them.
func lineUpOf(file string, passes []Pass) film.LineUp {
	var out film.LineUp
	for i := range passes {
		p := &passes[i]
		if p.Files[0].Clip.File != file {
			continue
		}
		segments := append(slices.Clone(out.Segments), p.LineUp.Segments...)
		out = p.LineUp
		out.Segments = segments
	}
	return out
}
