package job

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"takeweave/internal/crop"
	"takeweave/internal/film"
	"takeweave/internal/media"
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
	// Letters is what is written into the picture.
	Letters []Lettering `json:"letters,omitempty"`
	Coding  media.Codec `json:"coding,omitempty"` // "" is H.264
}

// Lettering is something that is written into the picture of a film.
type Lettering string

// What may be written into the picture.
const (
	WithTitle    Lettering = "title"
	WithCredits  Lettering = "credits"
	WithCaptions Lettering = "captions"
)

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
		if o.ID == WholeFilm {
			all[0] = o
			continue
		}
		all = append(all, o)
	}
	slices.SortFunc(all[1:], func(a, b Order) int { return strings.Compare(a.ID, b.ID) })
	return all, nil
}

// AddOrder asks for a film. One of the same shape, part and coding is ordered
// anew: that changes what is written into it. Its ID is given here.
func (w *Work) AddOrder(ctx context.Context, o Order) (Order, error) {
	if err := w.canMake(o); err != nil {
		return o, err
	}
	parts := []string{strings.ReplaceAll(string(o.Shape), ":", "x")}
	if o.Shape == "" {
		parts[0] = WholeFilm
	}
	if o.Part != "" {
		song, err := w.Song(ctx)
		if err != nil {
			return o, err
		}
		if _, err := extract(&song, o); err != nil {
			return o, err
		}
		parts = append(parts, strings.Map(plainInNames, o.Part))
	}
	if o.Coding != "" {
		parts = append(parts, string(o.Coding))
	}
	o.ID = strings.Join(parts, "-")
	change, err := store.Put(kindOrder, o.ID, o)
	if err != nil {
		return o, err
	}
	_, err = w.Store.Decide(ctx, "order "+o.String(), change)
	return o, err
}

// canMake returns why an order cannot be made, nil when it can.
func (w *Work) canMake(o Order) error {
	if o.Shape != "" {
		if _, err := crop.Ratio(o.Shape); err != nil {
			return err
		}
	}
	if o.Seconds < 0 || o.Seconds > 0 && o.Part == "" {
		return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("an extract of %g s says no place", o.Seconds), Hint: "say where it begins, for example a section: A2"}
	}
	for _, l := range o.Letters {
		if !slices.Contains([]Lettering{WithTitle, WithCredits, WithCaptions}, l) {
			return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q cannot be written into a film", l), Hint: "choose among title, credits and captions"}
		}
	}
	if o.Coding != "" {
		return w.Engine.CanEncode(o.Coding)
	}
	return nil
}

// String says what is ordered: "9:16, from B1, with title and captions".
func (o Order) String() string {
	words := "the film as filmed"
	if o.Shape != "" {
		words = "a film in " + string(o.Shape)
	}
	if o.Part != "" {
		words += ", from " + o.Part
	}
	for i, l := range o.Letters {
		words += []string{", with ", " and "}[min(i, 1)] + string(l)
	}
	if o.Coding != "" {
		words += ", as " + o.Coding.String()
	}
	return words
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
