package titles

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
)

// ferry is an invented song with everything known of it.
func ferry() *Facts {
	return &Facts{
		Artist: "Ilve Marrash", Title: "Slow Ferry Home",
		Writers:  []string{"Maud Ferrow", "Ilve Marrash"},
		Engineer: "Jörn Østergård", Owner: "Ilve Marrash",
		Place: "Pier House, Vik", Date: "2026-03-14",
		FilmedBy: []string{"Sorrel Vint"},
		Thanks:   []string{"Quenna Tarsk", "Dov Pellimore", "the harbour office"},
		Links:    []string{"https://example.org/slow-ferry"},
	}
}

func TestValidate(t *testing.T) {
	yes := Permission{For: Room, State: Given, By: "Dov Pellimore", Date: "2026-03-01"}
	for _, c := range []struct {
		name   string
		change func(*Facts)
		path   string // of the only fault, "" for none
		says   string
	}{
		{"all known", func(*Facts) {}, "", ""},
		{"only what must be", func(f *Facts) { *f = Facts{Artist: "a", Title: "b"} }, "", ""},
		{"no artist", func(f *Facts) { f.Artist = " " }, "artist", "empty"},
		{"no title", func(f *Facts) { f.Title = "" }, "title", "empty"},
		{"a date in words", func(f *Facts) { f.Date = "14 March" }, "date", "no day"},
		{"an empty writer", func(f *Facts) { f.Writers[1] = "" }, "writers", "the 2."},
		{"a name twice", func(f *Facts) { f.Thanks[2] = "Quenna Tarsk" }, "thanks", "twice"},
		{"half an address", func(f *Facts) { f.Links[0] = "example.org" }, "links", "no address"},
		{"an address with a space", func(f *Facts) { f.Links[0] = "https://example.org/slow ferry" }, "links", "no address"},
		{"a permission", func(f *Facts) { f.Permissions = []Permission{yes} }, "", ""},
		{"an open one", func(f *Facts) { f.Permissions = []Permission{{For: Room}} }, "", ""},
		{"a permission twice", func(f *Facts) { f.Permissions = []Permission{yes, yes} }, "permissions", "twice"},
		{"given by nobody", func(f *Facts) { f.Permissions = []Permission{{For: Room, State: Given, Date: "2026-03-01"}} }, "permissions", "by whom"},
		{"not needed, undated", func(f *Facts) { f.Permissions = []Permission{{For: Room, State: NotNeeded, By: "x"}} }, "permissions", "by whom"},
		{"another word", func(f *Facts) { f.Permissions = []Permission{{For: Room, State: "perhaps"}} }, "permissions", "perhaps"},
		{"for nothing known", func(f *Facts) { f.Permissions = []Permission{{For: "weather"}} }, "permissions", "weather"},
		{"of which writer", func(f *Facts) { f.Permissions = []Permission{{For: Composition}} }, "permissions", "whose part"},
		{"of another writer", func(f *Facts) { f.Permissions = []Permission{{For: Composition, Writer: "Maude"}} }, "permissions", "Maude"},
		{"a writer's room", func(f *Facts) { f.Permissions = []Permission{{For: Room, Writer: "Maud Ferrow"}} }, "permissions", "nobody"},
		{"on no day", func(f *Facts) {
			f.Permissions = []Permission{{For: Room, State: Given, By: "x", Date: "2026-02-29"}}
		}, "permissions", "no day"},
	} {
		f := ferry()
		c.change(f)
		err := f.Validate()
		if c.path == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		var e *film.Error
		if !errors.As(err, &e) || e.Path != c.path || !strings.Contains(err.Error(), c.says) || e.Hint == "" || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want one fault of %q that says %q", c.name, err, c.path, c.says)
		}
	}
}

func TestValidateTellsEverything(t *testing.T) {
	err := (&Facts{Date: "soon"}).Validate()
	if err == nil || strings.Count(err.Error(), "\n") != 2 {
		t.Errorf("%v, want three faults", err)
	}
}

// Leap years by the Gregorian calendar: 2000 and 2024 are, 1900 and 2026 are not.
func TestIsDate(t *testing.T) {
	for date, want := range map[string]bool{
		"2026-03-14": true, "2024-02-29": true, "2000-02-29": true, "2026-12-31": true,
		"1900-02-29": false, "2026-02-29": false, "2026-04-31": false, "2026-13-01": false, "2026-00-10": false,
		"2026-01-00": false, "26-03-14": false, "2026-3-14": false, "2026-03-14 ": false, "14.03.2026": false, "": false,
	} {
		if isDate(date) != want {
			t.Errorf("%q is a date: %v, want %v", date, !want, want)
		}
	}
}

func TestGates(t *testing.T) {
	f := ferry()
	given := func(s Subject, writer string, state State) Permission {
		return Permission{For: s, Writer: writer, State: state, By: "Maud Ferrow", Date: "2026-03-01"}
	}
	f.Permissions = []Permission{
		given(OtherMusic, "", NotNeeded),
		given(Composition, "Maud Ferrow", Given),
		given(Composition, "Ilve Marrash", Open),
		given(Recording, "", Given),
		given(Performer, "", Given),
		given(Artwork, "", NotNeeded),
	}
	want := []string{"permission open: composition by Ilve Marrash", "permission open: room", "permission open: other people"}
	if d := cmp.Diff(want, f.Gates()); d != "" {
		t.Error(d)
	}
	if n := len((&Facts{}).Gates()); n != len(subjects) {
		t.Errorf("with nothing answered %d are open, want %d", n, len(subjects))
	}
	f.Permissions = append(f.Permissions[:2:2], given(Composition, "Ilve Marrash", Given))
	for _, s := range subjects[1:] {
		f.Permissions = append(f.Permissions, given(s, "", Given))
	}
	f.Permissions = slices.DeleteFunc(f.Permissions, func(p Permission) bool { return p.State == NotNeeded })
	if open := f.Gates(); len(open) != 0 || f.Validate() != nil {
		t.Errorf("with everything answered %q are open, and %v", open, f.Validate())
	}
}

func TestFactsSurviveJSON(t *testing.T) {
	f := ferry()
	f.Permissions = []Permission{{Composition, "Maud Ferrow", Given, "Maud Ferrow", "2026-03-01"}}
	b, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	var back Facts
	if err := json.Unmarshal(b, &back); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(f, &back); d != "" {
		t.Error(d)
	}
}
