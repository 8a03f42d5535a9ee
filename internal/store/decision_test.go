package store

import (
	"encoding/json"
	"fmt"
	"maps"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// documents returns every document as "kind/id" -> body.
func documents(t *testing.T, s *Store, kinds ...string) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, k := range kinds {
		docs, err := s.Documents(t.Context(), k)
		if err != nil {
			t.Fatal(err)
		}
		for id, body := range docs {
			all[k+"/"+id] = string(body)
		}
	}
	return all
}

// Whatever was decided, each undo brings back exactly what was before, each redo
// what was after, and all of it survives closing the film.
func TestUndoAndRedoWalkThroughAllStates(t *testing.T) {
	dir := t.TempDir()
	rt := t
	n := 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		film := fmt.Sprintf("%s/%d", dir, n)
		s, err := Create(rt.Context(), film)
		if err != nil {
			t.Fatal(err)
		}
		states := []map[string]string{{}}
		for range rapid.IntRange(1, 6).Draw(t, "decisions") {
			now := maps.Clone(states[len(states)-1])
			var changes []Change
			for range rapid.IntRange(1, 4).Draw(t, "changes") {
				kind, id := rapid.SampledFrom([]string{"pin", "line"}).Draw(t, "kind"), rapid.SampledFrom([]string{"1", "2"}).Draw(t, "id")
				if rapid.Bool().Draw(t, "drop") {
					changes = append(changes, Drop(kind, id))
					delete(now, kind+"/"+id)
					continue
				}
				v := rapid.IntRange(0, 99).Draw(t, "value")
				c, err := Put(kind, id, v)
				if err != nil {
					t.Fatal(err)
				}
				changes = append(changes, c)
				now[kind+"/"+id] = fmt.Sprint(v)
			}
			if _, err := s.Decide(rt.Context(), "something", changes...); err != nil {
				t.Fatal(err)
			}
			states = append(states, now)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if s, err = Open(rt.Context(), film); err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		at := len(states) - 1
		for range 20 {
			if diff := cmp.Diff(states[at], documents(rt, s, "pin", "line")); diff != "" {
				t.Fatalf("after %d decisions: %s", at, diff)
			}
			back := rapid.Bool().Draw(t, "back")
			var ok bool
			if back {
				_, ok, err = s.Undo(rt.Context())
			} else {
				_, ok, err = s.Redo(rt.Context())
			}
			if err != nil {
				t.Fatal(err)
			}
			if want := back && at > 0 || !back && at < len(states)-1; ok != want {
				t.Fatalf("at %d of %d, back %v: ok is %v", at, len(states)-1, back, ok)
			}
			if ok && back {
				at--
			} else if ok {
				at++
			}
		}
	})
}

func TestANewDecisionEndsRedoing(t *testing.T) {
	s, err := Create(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	decide := func(words string, v any) {
		t.Helper()
		c, err := Put("pin", "1", v)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Decide(t.Context(), words, c); err != nil {
			t.Fatal(err)
		}
	}
	decide("first", "a")
	decide("second", "b")
	if d, ok, err := s.Undo(t.Context()); err != nil || !ok || d.Words != "second" || !d.Undone {
		t.Fatalf("undo: %+v %v %v", d, ok, err)
	}
	decide("third", "c")
	if _, ok, err := s.Redo(t.Context()); ok || err != nil {
		t.Errorf("redo after a new decision: %v %v", ok, err)
	}
	all, err := s.Decisions(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, d := range all {
		words = append(words, d.Words)
	}
	if diff := cmp.Diff([]string{"first", "third"}, words); diff != "" {
		t.Error(diff)
	}
	docs, err := s.Documents(t.Context(), "pin")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(map[string]json.RawMessage{"1": json.RawMessage(`"c"`)}, docs); diff != "" {
		t.Error(diff)
	}
}
