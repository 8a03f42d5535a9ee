package job

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"takeweave/internal/crop"
	"takeweave/internal/film"
	"takeweave/internal/store"
)

// Order is one film that is wanted: a frame shape, and the whole song or a part
// of it.
type Order struct {
	ID    string     `json:"id"`    // "film", "9x16", "1x1-B1"
	Shape film.Shape `json:"shape"` // "" is that of most of the footage
	// Part is the song address of an extract, "" for the whole song; Seconds, when
	// not 0, is the longest it may be.
	Part    string  `json:"part,omitempty"`
	Seconds float64 `json:"seconds,omitempty"`
}

// WholeFilm is the order that every film has: the whole song in the shape of the
// footage.
const WholeFilm = "film"

const kindOrder = "order"

// Orders returns the films that are wanted, the whole one first.
func (w *Work) Orders(ctx context.Context) ([]Order, error) {
	docs, err := w.Store.Documents(ctx, kindOrder)
	if err != nil {
		return nil, err
	}
	all := []Order{{ID: WholeFilm}}
	for _, body := range docs {
		var o Order
		if err := json.Unmarshal(body, &o); err != nil {
			return nil, err
		}
		all = append(all, o)
	}
	slices.SortFunc(all[1:], func(a, b Order) int { return strings.Compare(a.ID, b.ID) })
	return all, nil
}

// AddOrder asks for another film; part and seconds are as in Order.
func (w *Work) AddOrder(ctx context.Context, shape film.Shape, part string, seconds float64) (Order, error) {
	o := Order{Shape: shape, Part: part, Seconds: seconds}
	if _, err := crop.Ratio(shape); err != nil {
		return o, err
	}
	o.ID = strings.ReplaceAll(string(shape), ":", "x")
	words := fmt.Sprintf("order a film in %s", shape)
	if seconds < 0 || seconds > 0 && part == "" {
		return o, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("an extract of %g s says no place", seconds), Hint: "say where it begins, for example a section: A2"}
	}
	if part != "" {
		song, err := w.Song(ctx)
		if err != nil {
			return o, err
		}
		if _, err := extract(&song, o); err != nil {
			return o, err
		}
		o.ID += "-" + strings.Map(plainInNames, part)
		words += ", from " + part
	}
	change, err := store.Put(kindOrder, o.ID, o)
	if err != nil {
		return o, err
	}
	_, err = w.Store.Decide(ctx, words, change)
	return o, err
}

// DropOrder takes an order back.
func (w *Work) DropOrder(ctx context.Context, id string) error {
	if _, err := w.order(ctx, id); err != nil {
		return err
	}
	if id == WholeFilm {
		return &film.Error{Code: film.CodeUsage, Msg: "the whole film cannot be taken back", Hint: "take back another order"}
	}
	_, err := w.Store.Decide(ctx, "no film "+id+" any more", store.Drop(kindOrder, id))
	return err
}

// order finds an order by its ID.
func (w *Work) order(ctx context.Context, id string) (Order, error) {
	all, err := w.Orders(ctx)
	if err != nil {
		return Order{}, err
	}
	var ids []string
	for _, o := range all {
		if o.ID == id {
			return o, nil
		}
		ids = append(ids, o.ID)
	}
	return Order{}, &film.Error{Code: film.CodeNotFound, Path: id, Msg: "is not a film that was ordered", Hint: "there are: " + strings.Join(ids, ", ")}
}

// plainInNames keeps what any file system takes.
func plainInNames(r rune) rune {
	switch {
	case r >= '0' && r <= '9', r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r == '-', r == '.':
		return r
	}
	return '_'
}

// nearBar is how much shorter than allowed an extract may be to end with a bar,
// in seconds. Common practice: an ending on the bar sounds meant.
const nearBar = 4.0

// extract returns the stretch of song that an order asks for, empty for all.
func extract(song *film.Song, o Order) (film.SongSpan, error) {
	if o.Part == "" {
		return film.SongSpan{}, nil
	}
	span, err := song.SpanOf(o.Part)
	if err != nil {
		return span, err
	}
	if o.Seconds > 0 {
		last := min(span.From+film.SongTime(o.Seconds), song.Duration)
		span.To = last
		for _, b := range song.Bars {
			if b.Span.From > span.From && b.Span.From <= last && last-b.Span.From <= nearBar {
				span.To = b.Span.From
			}
		}
	}
	if span.Len() < 1 {
		return span, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q is shorter than a second", o.Part), Hint: "name a section or a line, or add how many seconds it may last"}
	}
	return span, nil
}
