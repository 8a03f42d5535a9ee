package workbench

import (
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"

	"takeweave/internal/plan"
)

// frameCase has a figure of the trade: at 40 mm and 2.2 m the
// frame is 1.98 m wide on a sensor of 36 mm (common practice:
// distance × sensor ÷ focal length).
const frameCase = `{"camera":{"format":"full frame","pixels_width":3840,"pixels_height":2160},"setups":[{"name":"face","focal_mm":40,"distance":2.2,"need_high":0.8}],"shapes":["2.39:1"]}`

// A film that has no record yet can be planned: what is tried is told and not
// kept, what is decided is kept and can be taken back, and every page prints.
func TestPlanBeforeThereIsARecord(t *testing.T) {
	_, h := emptyFilm(t)
	var told plan.Told
	decode(t, ask(t, "POST", h.URL+"/api/plan/told", frameCase, nil), &told)
	if f := told.Setups[0].Frame; f == nil || f.WidthM < 1.979 || f.WidthM > 1.981 {
		t.Errorf("the frame is told as %+v", f)
	}
	var now Planned
	if decode(t, ask(t, "GET", h.URL+"/api/plan", "", nil), &now); len(now.Plan.Setups) != 0 {
		t.Error("what is only tried is kept")
	}
	var d Decided
	decode(t, ask(t, "POST", h.URL+"/api/plan", frameCase, nil), &d)
	if decode(t, ask(t, "GET", h.URL+"/api/plan", "", nil), &now); len(now.Plan.Setups) != 1 || len(now.Told.Setups) != 1 {
		t.Errorf("what is decided is not kept: %+v", now.Plan)
	}
	decode(t, ask(t, "POST", h.URL+"/api/plan", strings.Replace(frameCase, "2.2", "2.41", 1), nil), &d)
	if want := "setup face: distance 2.41 instead of 2.2"; d.Words != want {
		t.Errorf("it is told as %q, want %q", d.Words, want)
	}
	decode(t, ask(t, "POST", h.URL+"/api/undo", "", nil), &d)
	if decode(t, ask(t, "GET", h.URL+"/api/plan", "", nil), &now); now.Plan.Setups[0].DistanceM != 2.2 {
		t.Errorf("taken back it is %g m", now.Plan.Setups[0].DistanceM)
	}
	var f Film
	if decode(t, ask(t, "GET", h.URL+"/api/film", "", nil), &f); f.Record != "" || len(f.Done) != 1 || len(f.Undone) != 1 {
		t.Errorf("the film is %+v", f)
	}
	for _, page := range []string{"call-sheet", "shot-sheet", "room-and-light", "song-sheet", "packing-list", "charge-list"} {
		res := ask(t, "GET", h.URL+"/print/"+page, "", nil)
		text, err := io.ReadAll(res.Body)
		if err != nil || res.StatusCode != http.StatusOK || !strings.Contains(string(text), "<html") {
			t.Errorf("%s: %s, %v", page, res.Status, err)
		}
	}
	if res := ask(t, "GET", h.URL+"/print/poem", "", nil); res.StatusCode != http.StatusNotFound {
		t.Errorf("a page that is not there: %s", res.Status)
	}
}

func TestPlanWords(t *testing.T) {
	for want, c := range map[string][2]string{
		"the plan as it was":                  {`{}`, `{}`},
		"setups: 1 instead of 0":              {`{}`, `{"setups":[{"name":"face"}]}`},
		"setup face: stop 2":                  {`{"setups":[{"name":"face"}]}`, `{"setups":[{"name":"face","stop":2}]}`},
		"setup face: stop not known any more": {`{"setups":[{"name":"face","stop":2}]}`, `{"setups":[{"name":"face"}]}`},
		"setup face: distance, focal":         {`{"setups":[{"name":"face"}]}`, `{"setups":[{"name":"face","distance":2,"focal_mm":40}]}`},
		"light evening: lamps":                {`{"lights":[{"name":"evening"}]}`, `{"lights":[{"name":"evening","lamps":[{"lamp":"soft"}]}]}`},
		"room: ceiling 2.6 instead of 2.4":    {`{"room":{"ceiling":2.4}}`, `{"room":{"ceiling":2.6}}`},
		"the plan: room, shapes":              {`{}`, `{"room":{"ceiling":2.4},"shapes":["1:1"]}`},
	} {
		got, err := planWords(planOf(t, c[0]), planOf(t, c[1]))
		if err != nil || got != want {
			t.Errorf("%s to %s: %q, %v; want %q", c[0], c[1], got, err, want)
		}
	}
}

func planOf(t *testing.T, text string) (p plan.Plan) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func decode(t *testing.T, res *http.Response, v any) {
	t.Helper()
	if res.StatusCode != http.StatusOK {
		text, _ := io.ReadAll(res.Body)
		t.Fatalf("%s: %s", res.Status, text)
	}
	if err := json.NewDecoder(res.Body).Decode(v); err != nil {
		t.Fatal(err)
	}
}
