package job

import (
	"context"
	"maps"
	"slices"
	"time"

	"takeweave/internal/coverage"
	"takeweave/internal/daylog"
	"takeweave/internal/film"
	"takeweave/internal/schedule"
)

// newDayPlan is what the day is to give, with the usual limits.
func newDayPlan(song *film.Song, setups []coverage.Setup) *coverage.Plan {
	return &coverage.Plan{Song: song, Setups: setups, Limits: coverage.Usual(), Times: schedule.Usual()}
}

// daySetups returns the setups of the film and of the log by name, each with the
// lamps that burned in it last.
func (w *Work) daySetups(ctx context.Context, d *Day) ([]coverage.Setup, error) {
	known, err := w.Setups(ctx)
	if err != nil {
		return nil, err
	}
	lamps := map[string][]string{}
	for _, e := range d.Log.Entries {
		if e.Setup == "" {
			continue
		}
		if _, there := known[e.Setup]; !there {
			known[e.Setup] = guessSetup(e.Setup)
		}
		lamps[e.Setup] = lampsAt(d.Events, e.RollingMS)
	}
	if here := d.Log.Setup; here != "" && known[here].Name == "" {
		known[here] = guessSetup(here)
	}
	if here := d.Log.Setup; here != "" && lamps[here] == nil {
		lamps[here] = burning(&d.Log)
	}
	var all []coverage.Setup
	for _, name := range slices.Sorted(maps.Keys(known)) {
		rig := schedule.Rig{Position: name, Lamps: lamps[name]}
		all = append(all, coverage.Setup{Setup: schedule.Setup{Setup: known[name], Rig: rig}})
	}
	return all, nil
}

// lampsAt returns the lamps that burned at a time of the phones' clock.
func lampsAt(events []daylog.Event, ms int64) []string {
	until := slices.DeleteFunc(slices.Clone(events), func(e daylog.Event) bool { return e.At > ms })
	state := daylog.Replay(until)
	return burning(&state)
}

// burning returns the lamps that are on.
func burning(s *daylog.State) (names []string) {
	for _, l := range s.Lamps {
		if l.On {
			names = append(names, l.Name)
		}
	}
	return names
}

// dayFigures returns what the figures of the phone need besides the log.
func (w *Work) dayFigures(ctx context.Context, song *film.Song) (daylog.Plan, error) {
	times := schedule.Usual()
	p := daylog.Plan{
		SongS: float64(song.Duration), RollS: float64(song.Duration) + times.CameraRunS, BetweenS: times.ResetS,
	}
	until, err := w.Store.Setting(ctx, settingRoomUntil)
	if err != nil {
		return p, err
	}
	if at, err := time.Parse(time.RFC3339, until); err == nil {
		p.KeyBackMS = at.UnixMilli()
	}
	clips, err := w.Store.Clips(ctx)
	if err != nil {
		return p, err
	}
	p.GBPerPass = p.RollS * gbPerS(clips)
	return p, nil
}

// gbPerS is what a second of recording takes on the card, as measured on the
// clips; without any, that of a usual recording. Common practice: 150 Mbit/s for
// a picture of 3840x2160.
func gbPerS(clips []film.Clip) float64 {
	const usual = 150.0
	bytes, seconds := 0.0, 0.0
	for _, c := range clips {
		if !c.SoundOnly && c.Refusal == "" && c.Duration > 0 {
			bytes += float64(c.Bytes)
			seconds += c.Duration
		}
	}
	if seconds == 0 {
		return schedule.GB(usual, 1)
	}
	return bytes / seconds / 1e9
}

// loopS is how long the line that holds a need lasts, in seconds; the need itself
// when no line does.
func loopS(song *film.Song, n *coverage.Need) float64 {
	if n.Line < 0 {
		return n.Span.Len()
	}
	return song.Lines[n.Line].Span.Len()
}
