package job

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"takeweave/internal/coverage"
	"takeweave/internal/daylog"
	"takeweave/internal/film"
	"takeweave/internal/schedule"
	"takeweave/internal/store"
)

// Day is the day of filming as the log and the clips tell it.
type Day struct {
	Events  []daylog.Event // as they arrived
	Log     daylog.State
	Tying   daylog.Tying // the camera files that are there and the log
	Song    film.Song    // without lines while it is not mapped
	Setups  []coverage.Setup
	Limits  coverage.Limits // the usual ones, or as the plan changed them
	Times   schedule.Limits
	PutBack []string         // what the plan says is put back
	Passes  []coverage.Pass  // what the ledger counts: the log, and clips that are not in it
	Newest  int              // of Passes: the one that was judged last, -1 when none is
	Figures daylog.Plan      // what the figures of the phone need
	Battery float64          // hours that the planned batteries last; 0 when not known
	Ledger  *coverage.Ledger // as logged, and by what is truly usable where it is known
	Advice  []coverage.Advice
	Stop    coverage.Stop
	Outlook *coverage.Outlook // of the setup that stands; nil when it has no must-have to give
}

// settingRoomUntil is when the key of the room goes back, RFC 3339.
const settingRoomUntil = "room-until"

// SetRoomUntil says when the key of the room goes back; the zero time leaves it
// open.
func (w *Work) SetRoomUntil(ctx context.Context, at time.Time) error {
	if at.IsZero() {
		return w.Store.Set(ctx, settingRoomUntil, "")
	}
	return w.Store.Set(ctx, settingRoomUntil, at.Format(time.RFC3339))
}

// AddToDay adds events to the log of the day and returns how many were new. An
// event is known by its ID: it may be sent any number of times.
func (w *Work) AddToDay(ctx context.Context, events []daylog.Event) (added int, err error) {
	var all []store.DayEvent
	for _, e := range events {
		if e.ID == "" || e.Phone == "" || e.Kind == "" {
			return 0, &film.Error{Code: film.CodeUsage, Msg: "an event of the log lacks its id, phone or kind", Hint: "load the page of the phone anew"}
		}
		body, err := json.Marshal(e)
		if err != nil {
			return 0, err
		}
		all = append(all, store.DayEvent{ID: e.ID, Body: body})
	}
	return w.Store.AddDayEvents(ctx, all)
}

// dayEvents returns the log of the day as it arrived.
func (w *Work) dayEvents(ctx context.Context) ([]daylog.Event, error) {
	stored, err := w.Store.DayEvents(ctx)
	if err != nil {
		return nil, err
	}
	events := make([]daylog.Event, len(stored))
	for i, s := range stored {
		if err := json.Unmarshal(s.Body, &events[i]); err != nil {
			return nil, fmt.Errorf("event %s of the day: %w", s.ID, err)
		}
	}
	return events, nil
}

// Day returns the day as it is now: what was logged, which files are which
// passes, what is owed and what to ask for. Under [Peek] clips count as far as
// they are judged.
func (w *Work) Day(ctx context.Context) (*Day, error) {
	events, err := w.dayEvents(ctx)
	if err != nil {
		return nil, err
	}
	d := &Day{Events: events, Log: daylog.Replay(events)}
	if d.Song, err = w.Song(ctx); err != nil && !errors.Is(err, ErrNotYet) && film.CodeOf(err) != film.CodeNeedsStep {
		return nil, err
	}
	passes, err := w.dayPasses(ctx) // which finds setups too
	if err != nil {
		return nil, err
	}
	if err := w.readPlan(ctx, d); err != nil {
		return nil, err
	}
	away, err := w.passesAway(ctx)
	if err != nil {
		return nil, err
	}
	passes = append(slices.Clone(passes), away...)
	clips, err := w.dayClips(ctx, passes)
	if err != nil {
		return nil, err
	}
	if d.Figures, err = w.dayFigures(ctx, &d.Song, d.Times); err != nil {
		return nil, err
	}
	d.count(passes, clips)
	return d, nil
}

// count works out what is owed.
func (d *Day) count(passes []Pass, clips []daylog.Clip) {
	plan := &coverage.Plan{Song: &d.Song, Setups: d.Setups, Limits: d.Limits, Times: d.Times}
	d.Tying = daylog.Tie(&d.Song, d.Log.Entries, clips)
	d.Passes, d.Newest = counted(plan, d.Log.Entries, &d.Tying, passes)
	d.Ledger = plan.Ledger(d.Passes, coverage.AsLogged)
	d.Advice = d.Ledger.Advice(d.Log.Setup)
	d.Stop = d.Ledger.StopNow()
	d.Outlook = d.outlook(plan)
	d.Figures.OtherS = 60 * d.MayStrike(coverage.Thing{Kind: coverage.TheMusician}).Minutes
}

// MayStrike says whether a thing may be struck now.
func (d *Day) MayStrike(thing coverage.Thing) coverage.Strike {
	return d.Ledger.MayStrike(thing, d.Log.Setup)
}

// NoSetups is what to do before anything can be owed.
const NoSetups = "Choose a setup, then let it roll."

// Ask returns the one sentence: what to ask for next.
func (d *Day) Ask() string {
	if len(d.Setups) == 0 {
		return NoSetups
	}
	return d.Ledger.Ask(d.Log.Setup)
}

// outlook says what it takes to have the must-haves that the setup that stands is
// to give and that are not met yet.
func (d *Day) outlook(plan *coverage.Plan) *coverage.Outlook {
	here := -1
	for i := range d.Setups {
		if d.Setups[i].Name == d.Log.Setup {
			here = i
		}
	}
	if here < 0 {
		return nil
	}
	var wanted []int
	loopsS := 0.0
	for _, r := range d.Ledger.Rows {
		if r.Kind != coverage.AMustSee || r.Cells[here].Wanted == 0 || r.Have >= r.Wanted {
			continue
		}
		wanted = append(wanted, r.Wanted-r.Have)
		loopsS += loopS(&d.Song, &r.Need)
	}
	if wanted == nil {
		return nil
	}
	o := coverage.Improvise(d.Ledger.ChanceOf(here), wanted, float64(d.Song.Duration), loopsS/float64(len(wanted)), plan.Limits, plan.Times)
	return &o
}
