package job

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/interchange"
	"takeweave/internal/store"
)

// Timeline returns the cut of an order as an OpenTimelineIO timeline.
func (w *Work) Timeline(ctx context.Context, order string, o cut.Options) ([]byte, error) {
	out, _, err := w.outgoing(ctx, order, o)
	if err != nil {
		return nil, err
	}
	return interchange.WriteTimeline(out)
}

// Table returns the cut of an order as a table of comma-separated values.
func (w *Work) Table(ctx context.Context, order string, o cut.Options) ([]byte, error) {
	out, passes, err := w.outgoing(ctx, order, o)
	if err != nil {
		return nil, err
	}
	slips := make([]float64, len(out.Cut.Shots))
	for i, s := range out.Cut.Shots {
		slips[i] = slipMS(&out.Cut, s, passes)
	}
	return interchange.WriteTable(out, slips)
}

// slipMS is how much later (+) in its clip a shot begins than the line-up says.
func slipMS(c *film.Cut, s film.Shot, passes []Pass) float64 {
	for i := range passes {
		p := &passes[i]
		if p.Name != s.Pass || s.Segment >= len(p.LineUp.Segments) {
			continue
		}
		for _, f := range p.Files {
			if f.Clip.ID == s.Clip {
				return 1000 * float64(s.SourceStart+f.At-p.LineUp.Segments[s.Segment].PassAt(c.At(s.First)))
			}
		}
	}
	return 0
}

func (w *Work) outgoing(ctx context.Context, order string, o cut.Options) (interchange.Outgoing, []Pass, error) {
	c, err := w.Cut(ctx, order, o)
	if err != nil {
		return interchange.Outgoing{}, nil, err
	}
	song, err := w.Song(ctx)
	if err != nil {
		return interchange.Outgoing{}, nil, err
	}
	passes, err := w.LineUp(ctx)
	if err != nil {
		return interchange.Outgoing{}, nil, err
	}
	record, _, err := w.record(ctx)
	if err != nil {
		return interchange.Outgoing{}, nil, err
	}
	pins, err := w.Pins(ctx)
	if err != nil {
		return interchange.Outgoing{}, nil, err
	}
	out := interchange.Outgoing{Name: filepath.Base(w.Store.Dir), Cut: c, Clips: clipsOf(passes), Song: song, Record: record}
	if len(pins) > 0 {
		out.Pins, err = json.Marshal(pins)
	}
	return out, passes, err
}

// clipsOf lists the files that passes lie in, each once.
func clipsOf(passes []Pass) []film.Clip {
	var all []film.Clip
	seen := map[int64]bool{}
	for _, p := range passes {
		for _, f := range p.Files {
			if !seen[f.Clip.ID] {
				seen[f.Clip.ID] = true
				all = append(all, f.Clip)
			}
		}
	}
	return all
}

// mostBytes is the largest timeline or table that is read: five hundred shots
// make about one megabyte.
const mostBytes = 64 << 20

// ChangedElsewhere compares a timeline (.otio) or table (.csv) that another
// program changed with the present cut of an order.
func (w *Work) ChangedElsewhere(ctx context.Context, order, path string, o cut.Options) ([]interchange.Difference, []string, error) {
	st, err := os.Stat(path)
	if err != nil || !st.Mode().IsRegular() {
		return nil, nil, &film.Error{Code: film.CodeNotFound, Path: path, Msg: "is not a file that can be read", Hint: "give the .otio or .csv file that came back", Err: err}
	}
	if st.Size() > mostBytes {
		return nil, nil, &film.Error{Code: film.CodeUnreadable, Path: path, Msg: "is too large for the timeline of one song", Hint: "give the .otio or .csv file that came back"}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, nil, err
	}
	out, _, err := w.outgoing(ctx, order, o)
	if err != nil {
		return nil, nil, err
	}
	var in *interchange.Incoming
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		in, err = interchange.ReadTable(text, path, out.Cut.Rate, 0)
	} else {
		in, err = interchange.ReadTimeline(text, path, out.Cut.Rate)
	}
	if err != nil {
		return nil, nil, err
	}
	found, err := interchange.Differences(interchange.Present{Cut: out.Cut, Clips: out.Clips, Song: out.Song, Record: out.Record}, in)
	return found, in.Notes, err
}

// ComeHome turns what was changed elsewhere into pins, one decision in all, and
// returns what it could not turn into any, in words.
func (w *Work) ComeHome(ctx context.Context, order string, found []interchange.Difference) (Decided, []string, error) {
	c, err := w.Cut(ctx, order, cut.Options{})
	if err != nil {
		return Decided{}, nil, err
	}
	passes, err := w.LineUp(ctx)
	if err != nil {
		return Decided{}, nil, err
	}
	pins, err := w.Pins(ctx)
	if err != nil {
		return Decided{}, nil, err
	}
	next := int64(1)
	if len(pins) > 0 {
		next = pins[len(pins)-1].ID + 1
	}
	var left []string
	var changes []store.Change
	for _, d := range found {
		p := film.Pin{ID: next, Kind: film.PinShowPass, Span: film.SongSpan{From: c.At(d.First), To: c.At(d.End)}}
		switch d.Kind {
		case interchange.Swapped, interchange.Slipped, interchange.Retimed:
			// Laid by hand: the person chose this moment, or another program did.
			name, at := passOfClip(passes, d)
			source := d.SourceStart + at
			p.Pass, p.Source, p.Speed, p.Strong = name, &source, d.Speed, true
		case interchange.Moved:
			p = film.Pin{ID: next, Kind: film.PinCut, Span: film.SongSpan{From: c.At(d.Cut), To: c.At(d.Cut)}}
		default:
			left = append(left, d.Say)
			continue
		}
		if p.Kind == film.PinShowPass && p.Pass == "" {
			left = append(left, d.Say)
			continue
		}
		if err := w.allows(ctx, append(pins, p)); err != nil {
			left = append(left, d.Say+" ("+plainRefusal(err)+")")
			continue
		}
		change, err := store.Put(kindPin, fmt.Sprint(p.ID), p)
		if err != nil {
			return Decided{}, nil, err
		}
		pins, changes = append(pins, p), append(changes, change)
		next++
	}
	if len(changes) == 0 {
		return Decided{Words: "nothing to pin"}, left, nil
	}
	d, err := w.decide(ctx, fmt.Sprintf("%d pins from a cut that came home", len(changes)), changes...)
	return d, left, err
}

// passOfClip names the pass that a shot from elsewhere shows, with where its file
// lies on the clock of the pass; "" when that is not sure.
func passOfClip(passes []Pass, d interchange.Difference) (name string, at film.PassTime) {
	for _, p := range passes {
		for _, f := range p.Files {
			if f.Clip.ID != d.Clip || d.Pass != "" && d.Pass != p.Name {
				continue
			}
			if name != "" && name != p.Name {
				return "", 0 // several performances lie in this file
			}
			name, at = p.Name, f.At
		}
	}
	return name, at
}
