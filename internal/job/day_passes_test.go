package job

import (
	"testing"

	"takeweave/internal/daylog"
)

// A camera that stamps its files at their end, and a copy of them that took two
// seconds.
func TestCopyTimesAreForgotten(t *testing.T) {
	const minute = 60_000
	for name, c := range map[string]struct {
		clips []daylog.Clip
		kept  bool
	}{
		"filmed":                     {[]daylog.Clip{{TimeMS: 10 * minute, DurationS: 280}, {TimeMS: 16 * minute, DurationS: 280}, {TimeMS: 22 * minute, DurationS: 280}}, true},
		"a long one and a short one": {[]daylog.Clip{{TimeMS: 10 * minute, DurationS: 280}, {TimeMS: 11 * minute, DurationS: 30}}, true},
		"copied":                     {[]daylog.Clip{{TimeMS: 10 * minute, DurationS: 280}, {TimeMS: 10*minute + 900, DurationS: 280}, {TimeMS: 10*minute + 1900, DurationS: 30}}, false},
		"the only one":               {[]daylog.Clip{{TimeMS: 10 * minute, DurationS: 280}}, true},
	} {
		forgetCopyTimes(c.clips)
		for _, clip := range c.clips {
			if (clip.TimeMS != 0) != c.kept {
				t.Errorf("%s: the time is %d, kept should be %v", name, clip.TimeMS, c.kept)
			}
		}
	}
}
