package plan

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// lined is a song of sections with lines of so many seconds each.
func lined(seconds float64, sections ...string) *film.Song {
	s := Study{}
	for _, name := range sections {
		for range 4 {
			s.Lines = append(s.Lines, StudyLine{Section: name, Text: "la", Seconds: seconds})
		}
	}
	return s.typed()
}

// The day's record has no second verse, and begins five seconds later. What was
// planned on the rehearsal goes where the same is sung; what is gone is named.
func TestCarry(t *testing.T) {
	from, to := lined(5, "V1", "C1", "V2", "C2"), lined(5, "V1", "C1", "C2")
	for i := range to.Lines {
		to.Lines[i].Span.From += 5
		to.Lines[i].Span.To += 5
	}
	for i := range to.Sections {
		to.Sections[i].Span.From += 5
		to.Sections[i].Span.To += 5
	}
	to.Duration += 5
	at := func(old film.SongTime) (film.SongTime, bool) {
		switch {
		case old < 40:
			return old + 5, true
		case old < 60:
			return 0, false // the second verse
		}
		return old - 15, true
	}
	p := Plan{
		Song: Study{MustSee: []MustSee{{At: "C2.1-C2.2", Shows: film.ShowsHands}, {At: "V2.1", Shows: film.ShowsLips, Text: "the look"}, {At: "61.25-63", Shows: film.ShowsHands}}},
		Setups: []Setup{
			{Setup: film.Setup{Name: "face", Serves: []string{"C2", "V"}}, Lines: []string{"V1.2", "V2.3"}},
			{Setup: film.Setup{Name: "strings"}, Loop: "C2.2"},
		},
	}
	got, words := Carry(p, from, to, at)
	var must []string
	for _, m := range got.Song.MustSee {
		must = append(must, m.At)
	}
	if want := []string{"C2.1-C2.2", "46.25-48.00"}; !slices.Equal(must, want) {
		t.Errorf("must-sees at %v, want %v", must, want)
	}
	if s := got.Setups[0]; !slices.Equal(s.Lines, []string{"V1.2"}) || !slices.Equal(s.Serves, []string{"C2", "V"}) || got.Setups[1].Loop != "C2.2" {
		t.Errorf("%+v", got.Setups)
	}
	all := strings.Join(words, "\n")
	for _, want := range []string{"the look: V2.1 is nowhere", "setup face: V2.3 is nowhere", "61.25-63 is now 46.25-48.00"} {
		if !strings.Contains(all, want) {
			t.Errorf("the words do not say %q:\n%s", want, all)
		}
	}
	if p.Setups[0].Lines[1] != "V2.3" || len(p.Song.MustSee) != 3 {
		t.Error("the plan itself was changed")
	}
	told := Compute(got, Known{Song: to, StudiedOn: from})
	if v := told.Song.Verdict; v.Answer != Look || !strings.Contains(v.Say, "no longer there: V2.1") {
		t.Errorf("%+v", v)
	}
}

// A section whose name the new record gives to something else is told by its lines.
func TestCarryToOtherNames(t *testing.T) {
	from, to := lined(5, "V1", "C1"), lined(5, "A1", "B1")
	same := func(old film.SongTime) (film.SongTime, bool) { return old, true }
	got, _ := Carry(Plan{Setups: []Setup{{Setup: film.Setup{Name: "face", Serves: []string{"C1"}}, Lines: []string{"V1.2-V1.3", "nowhere"}}}}, from, to, same)
	if s := got.Setups[0]; !slices.Equal(s.Serves, []string{"B1"}) || !slices.Equal(s.Lines, []string{"A1.2-A1.3", "nowhere"}) {
		t.Errorf("%+v", s)
	}
}

// A plan with typed lines goes to a record that was cut into other lines and
// sections, where the words are the same.
func TestToRecord(t *testing.T) {
	p := Plan{Song: Study{DurationS: 40}}
	for i, text := range []string{"", "One for the tide", "Two for the town", "Home, home", "Three for the tide", "Home, home"} {
		p.Song.Lines = append(p.Song.Lines, StudyLine{Section: []string{"intro", "V1", "V1", "C1", "V2", "C2"}[i], Text: text})
	}
	p.Setups = []Setup{{Setup: film.Setup{Name: "face", Serves: []string{"C2"}}, Lines: []string{"V1.2"}, Loop: "V2.1"}}
	record := &film.Song{Duration: 44}
	from := film.SongTime(2)
	for i, text := range []string{"One for the tide / Two for the town", "home home", "", "Three, for the tide", "Home, home!"} {
		to := from + []film.SongTime{12, 6, 4, 6, 6}[i]
		record.Sections = append(record.Sections, film.Section{Name: []string{"A1", "B1", "X1", "A2", "B2"}[i], Span: film.SongSpan{From: from, To: to}})
		record.Lines = append(record.Lines, film.Line{Section: i, Number: 1, Text: text, Span: film.SongSpan{From: from, To: to}})
		from = to
	}
	got, words, err := p.ToRecord(record)
	if err != nil {
		t.Fatal(err)
	}
	if s := got.Setups[0]; !slices.Equal(s.Serves, []string{"B2"}) || !slices.Equal(s.Lines, []string{"A1.1"}) || s.Loop != "A2" || got.Song.Lines != nil || len(words) != 3 {
		t.Errorf("%+v, lines %v, words %v", s, got.Song.Lines, words)
	}
	for i := range record.Lines {
		record.Lines[i].Text = "something else"
	}
	if same, _, err := p.ToRecord(record); film.CodeOf(err) != film.CodeUsage || len(same.Song.Lines) != 6 {
		t.Errorf("other words: %v", err)
	}
}

func TestMerge(t *testing.T) {
	p := Plan{Place: Place{Name: "loft", Zone: "+01:00"}, Setups: []Setup{{Stop: 2}}}
	got, err := Merge(p, []byte(`{"place":{"zone":null,"date":"2026-03-14"},"setups":[{"name":"a"},{"name":"b","angle_deg":30}]}`))
	if err != nil || got.Place != (Place{Name: "loft", Date: "2026-03-14"}) || len(got.Setups) != 2 || got.Setups[0].Stop != 0 || *got.Setups[1].AngleDeg != 30 {
		t.Errorf("%+v, %v", got, err)
	}
	for _, bad := range []string{``, `[]`, `{"setups":1}`, `{"setup":[]}`, `{"setups":[{"nme":"a"}]}`} {
		if _, err := Merge(p, []byte(bad)); film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
			t.Errorf("%s: %v", bad, err)
		}
	}
}

// The examples of RFC 7396, appendix A.
func TestMergeOfTheStandard(t *testing.T) {
	for _, c := range [][3]string{
		{`{"a":"b"}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"b"}`, `{"b":"c"}`, `{"a":"b","b":"c"}`},
		{`{"a":"b"}`, `{"a":null}`, `{}`},
		{`{"a":"b","b":"c"}`, `{"a":null}`, `{"b":"c"}`},
		{`{"a":["b"]}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"c"}`, `{"a":["b"]}`, `{"a":["b"]}`},
		{`{"a":{"b":"c"}}`, `{"a":{"b":"d","c":null}}`, `{"a":{"b":"d"}}`},
		{`{"a":[{"b":"c"}]}`, `{"a":[1]}`, `{"a":[1]}`},
		{`["a","b"]`, `["c","d"]`, `["c","d"]`},
		{`{"a":"b"}`, `["c"]`, `["c"]`},
		{`{"a":"foo"}`, `null`, `null`},
		{`{"a":"foo"}`, `"bar"`, `"bar"`},
		{`{"e":null}`, `{"a":1}`, `{"a":1,"e":null}`},
		{`[1,2]`, `{"a":"b","c":null}`, `{"a":"b"}`},
		{`{}`, `{"a":{"bb":{"ccc":null}}}`, `{"a":{"bb":{}}}`},
	} {
		got, err := json.Marshal(merged(jsonOf(t, c[0]), jsonOf(t, c[1])))
		if err != nil || string(got) != c[2] {
			t.Errorf("%s with %s is %s, want %s", c[0], c[1], got, c[2])
		}
	}
}

func jsonOf(t *testing.T, text string) (v any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatal(err)
	}
	return v
}
