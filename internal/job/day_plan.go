package job

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"takeweave/internal/coverage"
	"takeweave/internal/daylog"
	"takeweave/internal/film"
	"takeweave/internal/plan"
	"takeweave/internal/schedule"
)

// readPlan takes over what was planned before the day: what must be seen, the
// setups, what is put back.
func (w *Work) readPlan(ctx context.Context, d *Day) error {
	p, err := w.Plan(ctx)
	if err != nil {
		return err
	}
	for _, m := range p.Song.MustSee {
		if span, err := d.Song.SpanOf(m.At); err == nil {
			d.Song.MustSee = append(slices.Clone(d.Song.MustSee), film.MustSee{Span: span, Shows: m.Shows, Text: m.Text, Matches: m.Matches})
		}
	}
	for _, b := range p.Room.PutBack {
		d.PutBack = append(d.PutBack, b.What)
	}
	d.Limits, d.Times = p.DayLimits()
	d.Battery = batteryHours(&p.Camera, d.Times)
	d.Setups, err = w.daySetups(ctx, d, &p)
	return err
}

// daySetups returns the setups of the plan, of the film and of the log, by name.
// Where the plan does not say which lamps burn in one, those count that burned
// when it was filmed last.
func (w *Work) daySetups(ctx context.Context, d *Day, p *plan.Plan) ([]coverage.Setup, error) {
	known, err := w.Setups(ctx)
	if err != nil {
		return nil, err
	}
	all := map[string]coverage.Setup{}
	add := func(name string) {
		if _, there := all[name]; there || name == "" {
			return
		}
		s, there := known[name]
		if !there {
			s = guessSetup(name)
		}
		all[name] = coverage.Setup{Setup: schedule.Setup{Setup: s, Rig: schedule.Rig{Position: name}}}
	}
	for i := range p.Setups {
		if s := &p.Setups[i]; s.Name != "" {
			all[s.Name] = plannedSetup(p, s, &d.Song)
		}
	}
	for name := range known {
		add(name)
	}
	lamps := map[string][]string{}
	for _, e := range d.Log.Entries {
		add(e.Setup)
		lamps[e.Setup] = lampsAt(d.Events, e.RollingMS)
	}
	here := d.Log.Setup
	add(here)
	if lamps[here] == nil {
		lamps[here] = burning(&d.Log)
	}
	var out []coverage.Setup
	for _, name := range slices.Sorted(maps.Keys(all)) {
		s := all[name]
		if len(s.Rig.Lamps) == 0 {
			s.Rig.Lamps = lamps[name]
		}
		out = append(out, s)
	}
	return out, nil
}

// plannedSetup is a setup as it was planned.
func plannedSetup(p *plan.Plan, s *plan.Setup, song *film.Song) coverage.Setup {
	c := coverage.Setup{Wanted: max(0, s.Wanted), Setup: schedule.Setup{Setup: s.Setup, Passes: s.Passes, Tries: s.Tries}}
	c.Rig = schedule.Rig{Light: s.Light, Position: cmp.Or(s.Position, s.Name), Lens: s.Lens, Wardrobe: s.Wardrobe, Tuning: s.Tuning}
	if c.Rig.Lens == "" && s.FocalMM > 0 {
		c.Rig.Lens = fmt.Sprintf("%g mm", s.FocalMM)
	}
	for _, l := range p.Lights {
		if l.Name != s.Light {
			continue
		}
		for _, placed := range l.Lamps {
			c.Rig.Lamps = append(c.Rig.Lamps, placed.Lamp)
		}
	}
	for _, at := range s.Lines {
		c.Lines = append(c.Lines, linesOf(song, at)...)
	}
	if len(s.Lines) > 0 && len(s.Serves) > 0 {
		for i, l := range song.Lines {
			if in := song.Sections[l.Section]; slices.Contains(s.Serves, in.Name) || slices.Contains(s.Serves, in.Letter) {
				c.Lines = append(c.Lines, i)
			}
		}
	}
	return c
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
func (w *Work) dayFigures(ctx context.Context, song *film.Song, times schedule.Limits) (daylog.Plan, error) {
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

// batteryHours returns how long the planned batteries last, 0 when not known.
func batteryHours(c *plan.Camera, times schedule.Limits) (hours float64) {
	if c.Watts <= 0 {
		return 0
	}
	for _, b := range c.Batteries {
		hours += b.Hours(times, c.Watts)
	}
	return hours
}
