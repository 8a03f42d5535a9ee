package job

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/songmap"
	"takeweave/internal/store"
)

// The kinds of documents that decisions are about.
const (
	kindPin   = "pin"
	kindSetup = "setup" // by the name that its clips give it
	kindSong  = "song"  // the edited map of the record
	kindWish  = "wish"  // wishes for the whole film
)

// onlyOne is the id of a document of which there is one.
const onlyOne = "film"

// Decided is what came of a decision.
type Decided struct {
	Words   string   `json:"words"`   // the decision
	Changes []string `json:"changes"` // what else changed in the cut of each film
}

// documents reads all documents of a kind.
func documents[T any](ctx context.Context, w *Work, kind string) (map[string]T, error) {
	docs, err := w.Store.Documents(ctx, kind)
	if err != nil {
		return nil, err
	}
	all := map[string]T{}
	for id, body := range docs {
		var v T
		if err := json.Unmarshal(body, &v); err != nil {
			return nil, fmt.Errorf("%s %s: %w", kind, id, err)
		}
		all[id] = v
	}
	return all, nil
}

// Pins returns the pins of the film by their number.
func (w *Work) Pins(ctx context.Context) ([]film.Pin, error) {
	docs, err := documents[film.Pin](ctx, w, kindPin)
	if err != nil {
		return nil, err
	}
	var pins []film.Pin
	for _, p := range docs {
		pins = append(pins, p)
	}
	slices.SortFunc(pins, func(a, b film.Pin) int { return int(a.ID - b.ID) })
	return pins, nil
}

// Wishes returns the wishes for the whole film.
func (w *Work) Wishes(ctx context.Context) (cut.Options, error) {
	docs, err := documents[cut.Options](ctx, w, kindWish)
	return docs[onlyOne], err
}

// orWished fills what o leaves at 0 from the wishes.
func (w *Work) orWished(ctx context.Context, o cut.Options) (cut.Options, error) {
	wished, err := w.Wishes(ctx)
	if err != nil {
		return o, err
	}
	for _, f := range []struct{ have, wish *float64 }{
		{&o.MinShot, &wished.MinShot}, {&o.MaxShot, &wished.MaxShot}, {&o.WantShot, &wished.WantShot}, {&o.MaxSpeed, &wished.MaxSpeed},
	} {
		if *f.have == 0 {
			*f.have = *f.wish
		}
	}
	for _, f := range []struct{ have, wish *int }{{&o.AnticipateFrames, &wished.AnticipateFrames}, {&o.HandleFrames, &wished.HandleFrames}} {
		if *f.have == 0 {
			*f.have = *f.wish
		}
	}
	return o, nil
}

// Setups returns all setups by the name that their clips give them, as the
// person changed them.
func (w *Work) Setups(ctx context.Context) (map[string]film.Setup, error) {
	setups, err := w.Store.Setups(ctx)
	if err != nil {
		return nil, err
	}
	changed, err := documents[film.Setup](ctx, w, kindSetup)
	if err != nil {
		return nil, err
	}
	for name, u := range changed {
		setups[name] = u
	}
	return setups, nil
}

func (w *Work) editedSong(ctx context.Context) (*film.Song, error) {
	docs, err := documents[film.Song](ctx, w, kindSong)
	if err != nil {
		return nil, err
	}
	if s, ok := docs[onlyOne]; ok {
		return &s, nil
	}
	return nil, nil
}

// Pin adds a pin and heals the cuts around it. A pin that contradicts another,
// or for which there is no picture, is refused and nothing is changed.
func (w *Work) Pin(ctx context.Context, p film.Pin) (Decided, error) {
	return w.Repin(ctx, []film.Pin{p}, nil)
}

// Unpin takes a pin away.
func (w *Work) Unpin(ctx context.Context, id int64) (Decided, error) {
	return w.Repin(ctx, nil, []int64{id})
}

// Repin takes pins away and adds others, all as one decision. The numbers of new
// pins are given here.
func (w *Work) Repin(ctx context.Context, add []film.Pin, drop []int64) (Decided, error) {
	pins, err := w.Pins(ctx)
	if err != nil {
		return Decided{}, err
	}
	next := int64(1)
	if len(pins) > 0 {
		next = pins[len(pins)-1].ID + 1
	}
	var words []string
	var changes []store.Change
	for _, id := range drop {
		i := slices.IndexFunc(pins, func(p film.Pin) bool { return p.ID == id })
		if i < 0 {
			return Decided{}, &film.Error{Code: film.CodeNotFound, Msg: fmt.Sprintf("there is no pin %d", id), Hint: "takeweave pin DIR lists the pins"}
		}
		if len(add) == 0 {
			words = append(words, "no longer: "+pins[i].Say())
		}
		changes = append(changes, store.Drop(kindPin, fmt.Sprint(id)))
		pins = slices.Delete(pins, i, i+1)
	}
	for _, p := range add {
		p.ID = next
		next++
		change, err := store.Put(kindPin, fmt.Sprint(p.ID), p)
		if err != nil {
			return Decided{}, err
		}
		words, changes, pins = append(words, p.Say()), append(changes, change), append(pins, p)
	}
	if len(add) > 0 {
		if err := w.allows(ctx, pins); err != nil {
			return Decided{}, err
		}
	}
	return w.decide(ctx, strings.Join(words, "; "), changes...)
}

// Wish changes the wishes for the whole film.
func (w *Work) Wish(ctx context.Context, o cut.Options) (Decided, error) {
	change, err := store.Put(kindWish, onlyOne, o)
	if err != nil {
		return Decided{}, err
	}
	words := fmt.Sprintf("shots of %s s, from %s to %s s", orDefault(o.WantShot), orDefault(o.MinShot), orDefault(o.MaxShot))
	if o.MaxSpeed > 0 {
		words += fmt.Sprintf(", up to %.0f %% quicker or slower", 100*o.MaxSpeed)
	}
	return w.decideWithCheck(ctx, words, change)
}

func orDefault(v float64) string {
	if v == 0 {
		return "the usual"
	}
	return fmt.Sprintf("%g", v)
}

// ChangeSetup changes what is known of a setup, named as its clips name it.
func (w *Work) ChangeSetup(ctx context.Context, name string, u film.Setup) (Decided, error) {
	setups, err := w.Setups(ctx)
	if err != nil {
		return Decided{}, err
	}
	old, ok := setups[name]
	if !ok {
		return Decided{}, &film.Error{Code: film.CodeNotFound, Path: name, Msg: "is not a setup of this film", Hint: "its clips lie in a folder of that name, or setups.csv names it"}
	}
	for other, o := range setups {
		if other != name && o.Name == u.Name {
			return Decided{}, &film.Error{Code: film.CodeUsage, Path: u.Name, Msg: "is the name of another setup", Hint: "choose another name"}
		}
	}
	change, err := store.Put(kindSetup, name, u)
	if err != nil {
		return Decided{}, err
	}
	words := fmt.Sprintf("setup %s: %s, shows %s", u.Name, orUnknown(string(u.Size)), orUnknown(string(u.Shows)))
	if old.Name != u.Name {
		words += ", was called " + old.Name
	}
	return w.decide(ctx, words, change)
}

func orUnknown(s string) string {
	if s == "" {
		return "not known"
	}
	return s
}

// EditSong changes the map of the record.
func (w *Work) EditSong(ctx context.Context, e songmap.Edit) (Decided, error) {
	song, err := w.Song(ctx)
	if err != nil {
		return Decided{}, err
	}
	edited, words, err := songmap.Apply(song, e)
	if err != nil {
		return Decided{}, err
	}
	change, err := store.Put(kindSong, onlyOne, edited)
	if err != nil {
		return Decided{}, err
	}
	changes, err := w.servesRenamed(ctx, &song, &edited)
	if err != nil {
		return Decided{}, err
	}
	return w.decideWithCheck(ctx, words, append(changes, change)...)
}

// servesRenamed changes the setups that are meant for a section by the name it
// had before.
func (w *Work) servesRenamed(ctx context.Context, before, after *film.Song) ([]store.Change, error) {
	if len(before.Sections) != len(after.Sections) {
		return nil, nil
	}
	setups, err := w.Setups(ctx)
	if err != nil {
		return nil, err
	}
	var changes []store.Change
	for i, old := range before.Sections {
		if old.Name == after.Sections[i].Name {
			continue
		}
		for name, u := range setups {
			k := slices.Index(u.Serves, old.Name)
			if k < 0 {
				continue
			}
			u.Serves = slices.Clone(u.Serves)
			u.Serves[k] = after.Sections[i].Name
			change, err := store.Put(kindSetup, name, u)
			if err != nil {
				return nil, err
			}
			changes = append(changes, change)
		}
	}
	return changes, nil
}

// Undo takes the latest decision back.
func (w *Work) Undo(ctx context.Context) (Decided, error) {
	return w.step(ctx, w.Store.Undo, "undone: ", "nothing is left to undo")
}

// Redo makes the decision that was undone last again.
func (w *Work) Redo(ctx context.Context) (Decided, error) {
	return w.step(ctx, w.Store.Redo, "again: ", "nothing was undone")
}

func (w *Work) step(ctx context.Context, take func(context.Context) (store.Decision, bool, error), says, none string) (Decided, error) {
	before, err := w.cutsNow(ctx)
	if err != nil {
		return Decided{}, err
	}
	d, ok, err := take(ctx)
	if err != nil {
		return Decided{}, err
	}
	if !ok {
		return Decided{Words: none}, nil
	}
	return w.healed(ctx, says+d.Words, before)
}

// decide stores a decision and tells what it changed.
func (w *Work) decide(ctx context.Context, words string, changes ...store.Change) (Decided, error) {
	before, err := w.cutsNow(ctx)
	if err != nil {
		return Decided{}, err
	}
	if _, err := w.Store.Decide(ctx, words, changes...); err != nil {
		return Decided{}, err
	}
	return w.healed(ctx, words, before)
}

// decideWithCheck is decide for what no question beforehand can tell: when no
// cut can be found under it, it is undone and the reason returned.
func (w *Work) decideWithCheck(ctx context.Context, words string, changes ...store.Change) (Decided, error) {
	d, err := w.decide(ctx, words, changes...)
	if film.CodeOf(err) == film.CodeUsage {
		_, _, undoErr := w.Store.Undo(ctx)
		err = errors.Join(err, undoErr)
	}
	return d, err
}

// allows asks whether every film can be cut under pins.
func (w *Work) allows(ctx context.Context, pins []film.Pin) error {
	orders, err := w.Orders(ctx)
	if err != nil {
		return err
	}
	for _, order := range orders {
		p, err := w.cutting(ctx, order.ID, cut.Options{})
		if err != nil {
			return err
		}
		if _, err := p.solve(ctx, pins); err != nil {
			return err
		}
	}
	return nil
}

// cutsNow returns the cut of every order; none while the passes are not judged.
func (w *Work) cutsNow(ctx context.Context) (map[string]film.Cut, error) {
	orders, err := w.Orders(ctx)
	if err != nil {
		return nil, err
	}
	all := map[string]film.Cut{}
	for _, order := range orders {
		c, err := w.Cut(ctx, order.ID, cut.Options{})
		switch {
		case errors.Is(err, ErrNotYet), film.CodeOf(err) == film.CodeNoCoverage, film.CodeOf(err) == film.CodeNoClips, film.CodeOf(err) == film.CodeNeedsStep:
			continue // nothing to heal yet
		case err != nil:
			return nil, err
		}
		all[order.ID] = c
	}
	return all, nil
}

// healed tells what a decision changed in the cuts.
func (w *Work) healed(ctx context.Context, words string, before map[string]film.Cut) (Decided, error) {
	d := Decided{Words: words}
	if len(before) == 0 {
		return d, nil
	}
	after, err := w.cutsNow(ctx)
	if err != nil {
		return d, err
	}
	song, err := w.Song(ctx)
	if err != nil {
		return d, unlessNotYet(err)
	}
	orders, err := w.Orders(ctx)
	if err != nil {
		return d, err
	}
	for _, order := range orders {
		was, ok := before[order.ID]
		is, okNow := after[order.ID]
		if !ok || !okNow || was.Rate != is.Rate {
			continue
		}
		change := cut.Changes(was, is, &song)
		if change.None() {
			continue
		}
		says := change.String()
		if order.ID != WholeFilm {
			says = strings.ReplaceAll(order.ID, "x", ":") + ": " + says
		}
		d.Changes = append(d.Changes, says)
	}
	return d, nil
}

// Others returns up to k other ways to show a stretch of an order's cut.
func (w *Work) Others(ctx context.Context, order string, span film.SongSpan, k int) ([]cut.Alternative, error) {
	p, pins, err := w.board(ctx, order)
	if err != nil {
		return nil, err
	}
	w.cutMu.Lock()
	defer w.cutMu.Unlock()
	if err := p.ready(); err != nil {
		return nil, err
	}
	all, err := p.board.Alternatives(ctx, pins, span, k)
	if err != nil {
		return nil, err
	}
	for i := range all {
		if err := p.crop(&all[i].Cut); err != nil {
			return nil, err
		}
		all[i].Cut = inFiles(all[i].Cut, p.passes)
	}
	return all, nil
}

// WhyNot says in one sentence why a pass is not seen at a moment of an order's
// cut.
func (w *Work) WhyNot(ctx context.Context, order, pass string, at film.SongTime) (string, error) {
	p, pins, err := w.board(ctx, order)
	if err != nil {
		return "", err
	}
	named, err := passNamed(p.passes, pass)
	if err != nil {
		return "", err
	}
	if !named.Filmed() {
		return named.LineUp.Reason, nil
	}
	w.cutMu.Lock()
	defer w.cutMu.Unlock()
	if err := p.ready(); err != nil {
		return "", err
	}
	return p.board.WhyNot(ctx, pins, named.Name, at)
}

// board returns the cut of an order made ready, with its pins.
func (w *Work) board(ctx context.Context, order string) (*cutting, []film.Pin, error) {
	p, err := w.cutting(ctx, order, cut.Options{})
	if err != nil {
		return nil, nil, err
	}
	pins, err := w.Pins(ctx)
	return p, pins, err
}

// PassNamed returns the full name of a pass that is named by its file, with or
// without folder and ending.
func (w *Work) PassNamed(ctx context.Context, name string) (string, error) {
	passes, err := w.LineUp(ctx)
	if err != nil {
		return "", err
	}
	p, err := passNamed(passes, name)
	return p.Name, err
}
