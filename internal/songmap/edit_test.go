package songmap

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
)

func TestEditAsJSON(t *testing.T) {
	for _, c := range []struct {
		text string
		want Change
	}{
		{`{"kind":"move-beat","index":0,"at":6.04}`, MoveBeat{0, 6.04}},
		{`{"kind":"tap","times":[1,2,3,4],"late_ms":0}`, Tap{Times: []film.SongTime{1, 2, 3, 4}, LateMS: new(0.0)}},
		{`{"kind":"half-tempo"}`, HalfTempo{}},
		{`{"kind":"half-tempo","span":{"from":1,"to":2}}`, HalfTempo{&film.SongSpan{From: 1, To: 2}}},
		{`{"kind":"shift-downbeat","by":-1,"from":8}`, ShiftDownbeat{-1, new(8)}},
		{`{"kind":"move-line","line":3,"to":12.5}`, MoveLine{Line: 3, To: new(film.SongTime(12.5))}},
		{`{"kind":"words","line":1,"words":[{"span":{"from":1,"to":2},"text":"gone"}]}`, Words{1, []film.Word{{Span: film.SongSpan{From: 1, To: 2}, Text: "gone"}}}},
		{`{"kind":"must-see","where":"A2.3","shows":"hands","frames_after":12}`, MustSee{Where: "A2.3", Shows: film.ShowsHands, After: 12}},
		{`{"kind":"lyrics","text":"a\nb"}`, Lyrics{"a\nb"}},
	} {
		var e Edit
		if err := json.Unmarshal([]byte(c.text), &e); err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		if diff := cmp.Diff(c.want, e.Change); diff != "" {
			t.Errorf("%s: %s", c.text, diff)
		}
		if back, err := json.Marshal(e); err != nil || string(back) != c.text {
			t.Errorf("%s came back as %s (%v)", c.text, back, err)
		}
	}
}

func TestEditRefusesWhatItDoesNotKnow(t *testing.T) {
	for _, c := range []struct{ text, says, hints string }{
		{`[]`, "an object with a kind", "kind"},
		{`null`, "an object with a kind", "kind"},
		{`{"index":1}`, "has no kind", "move-beat, add-beat"},
		{`{"kind":3}`, "has no kind", "move-beat"},
		{`{"kind":"paint"}`, `"paint" is no kind of edit`, "drop-rest"},
		{`{"kind":"move-beat","at":1}`, `move-beat lacks "index"`, "index, at"},
		{`{"kind":"move-beat","index":null,"at":1}`, `move-beat lacks "index"`, "index, at"},
		{`{"kind":"move-beat","beat":1,"at":1}`, `move-beat takes no "beat"`, "index, at"},
		{`{"kind":"move-beat","index":"one","at":1}`, `"index" of move-beat cannot be "one"`, "table"},
		{`{"kind":"half-tempo","span":{"from":1,"until":2}}`, `"span" of half-tempo cannot be`, "table"},
	} {
		var e Edit
		err := json.Unmarshal([]byte(c.text), &e)
		var ours *film.Error
		if !errors.As(err, &ours) || ours.Code != film.CodeUsage || !strings.Contains(ours.Msg, c.says) || !strings.Contains(ours.Hint, c.hints) {
			t.Errorf("%s gave %#v", c.text, err)
		}
	}
}

func TestEveryKindHasAName(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range kinds {
		if (Edit{k.change}).Kind() != k.name || seen[k.name] {
			t.Errorf("%s is named %q", reflect.TypeOf(k.change), (Edit{k.change}).Kind())
		}
		seen[k.name] = true
	}
	if k := (Edit{}).Kind(); k != "" {
		t.Errorf("no edit is a %q", k)
	}
	if b, err := json.Marshal(Edit{}); err == nil {
		t.Errorf("no edit is written as %s", b)
	}
}
