package store

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What arrived once is never changed, doubled or lost, and survives closing.
func TestTheLogOnlyGrows(t *testing.T) {
	dir := t.TempDir()
	s, err := Create(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	add := func(want int, events ...DayEvent) {
		t.Helper()
		if n, err := s.AddDayEvents(t.Context(), events); err != nil || n != want {
			t.Fatalf("added %d, %v; want %d", n, err, want)
		}
	}
	one := DayEvent{"a", json.RawMessage(`{"kind":"begin"}`)}
	add(1, one)
	add(0, DayEvent{"a", json.RawMessage(`{"kind":"another"}`)})
	two := DayEvent{"b", json.RawMessage(`{"kind":"end"}`)}
	add(1, two, one, two)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if s, err = Open(t.Context(), dir); err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	got, err := s.DayEvents(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]DayEvent{one, two}, got); diff != "" {
		t.Error(diff)
	}
}
