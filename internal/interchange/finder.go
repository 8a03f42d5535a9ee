package interchange

import (
	"path"
	"strings"

	"takeweave/internal/film"
)

// finder returns a function that finds the clip which a shot from elsewhere
// shows: by its path, else by the end of its path as the clip is named here,
// else by its bare name. Where several clips answer equally well it is none,
// since a guess would put the wrong pass into the film.
func finder(clips []film.Clip) func(Shot) *film.Clip {
	ways := []func(clip *film.Clip, file string) bool{
		func(clip *film.Clip, file string) bool { return samePath(clip.Path, file) },
		func(clip *film.Clip, file string) bool {
			return samePath(clip.File, file) || strings.HasSuffix(slashed(file), "/"+slashed(clip.File))
		},
		func(clip *film.Clip, file string) bool { return base(clip.File) == base(file) },
	}
	return func(s Shot) *film.Clip {
		if s.File == "" {
			return nil
		}
		for _, fits := range ways {
			var found *film.Clip
			count := 0
			for i := range clips {
				if fits(&clips[i], s.File) {
					found = &clips[i]
					count++
				}
			}
			if count == 1 {
				return found
			}
		}
		return nil
	}
}

func base(p string) string { return path.Base(slashed(p)) }
