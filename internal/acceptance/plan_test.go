package acceptance

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"takeweave/internal/demo"
	"takeweave/internal/plan"
)

// asFile writes a plan, or a part of one, to a file.
func asFile(t *testing.T, v any) string {
	t.Helper()
	body, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "plan.json")
	if err := os.WriteFile(name, body, 0o666); err != nil {
		t.Fatal(err)
	}
	return name
}

func told(t *testing.T, dir string) (v plan.Told) {
	t.Helper()
	readJSON(t, takeweave(t, "plan", dir, "--json").want(t, 0), &v)
	return v
}

// The plan of the invented day, from nothing to what follows from it: taken in
// before there is a record, changed in part, undone, written out and taken in again.
func TestPlanBeforeTheDay(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "film")
	takeweave(t, "plan", dir).want(t, 1)
	r := takeweave(t, "plan", dir, "--take", asFile(t, demo.Before())).want(t, 0)
	for _, want := range []string{"wide, 2 passes", "key back at 18:00", "every line has a picture"} {
		if !strings.Contains(r.out, want) {
			t.Errorf("the words do not say %q:\n%s", want, r.out)
		}
	}
	if rows := strings.Count(r.out, "\n"); rows > 60 {
		t.Errorf("%d rows are more than a page", rows)
	}
	if whole := told(t, dir); whole.Song.From != "typed" || whole.Day.Leave == "" {
		t.Errorf("song %+v, leave %q", whole.Song.Verdict, whole.Day.Leave)
	}

	// A key that goes back too early is told first, and taken back by undo.
	takeweave(t, "plan", dir, "--take", asFile(t, map[string]any{"day": map[string]any{"key_back": "14:30"}})).want(t, 0)
	late := told(t, dir)
	if first := late.Findings[0]; first.Answer != plan.Fails || first.Topic != plan.OfDay || !strings.Contains(first.Say, "drop first") {
		t.Errorf("told first: %+v", first)
	}
	takeweave(t, "undo", dir).want(t, 0)
	if again := told(t, dir); again.Day.Verdict.Answer != plan.Works {
		t.Errorf("after undo: %+v", again.Day.Verdict)
	}

	written := filepath.Join(t.TempDir(), "plan.json")
	takeweave(t, "plan", dir, "--write", written).want(t, 0)
	other := filepath.Join(t.TempDir(), "other")
	takeweave(t, "plan", other, "--take", written).want(t, 0)
	a, b := takeweave(t, "plan", dir, "--json"), takeweave(t, "plan", other, "--json")
	if a.out != b.out {
		t.Error("a plan that is written and taken in again says something else")
	}
	takeweave(t, "plan", dir, "--take", asFile(t, map[string]any{"lamp": 1})).want(t, 2)
}

// What the person orders and types of the film counts in the plan; the record's own
// lines take the place of those typed before.
func TestPlanKnowsTheFilm(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "film")
	takeweave(t, "plan", dir, "--take", asFile(t, demo.Before())).want(t, 0)
	takeweave(t, "facts", dir, "--title", "Slow Ferry Home", "--artist", "Nell Harrowgate", "--permit", "room=yes, Tam Orrock, 2026-03-02").want(t, 0)
	takeweave(t, "order", dir, "--shape", "4:5").want(t, 0)
	v := told(t, dir)
	if !slices.Contains(v.Shapes, "4:5") || v.Title != "Slow Ferry Home" || slices.ContainsFunc(v.Gates, func(g string) bool { return strings.Contains(g, "room") }) {
		t.Errorf("shapes %v, title %q, gates %v", v.Shapes, v.Title, v.Gates)
	}
	takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")).want(t, 0)
	if v := told(t, dir); v.Song.From != "record" || len(v.Song.Lines) == 0 {
		t.Errorf("with the record: %+v", v.Song.Verdict)
	}
	takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")).want(t, 1)
}

var onePage = regexp.MustCompile(`/Type\s*/Page[^s]`)

// Every page is one sheet of A4, and nothing on it is cut off: for the invented day,
// for nine setups and 36 lines, for a plan with nothing in it.
func TestPlanPrintsOnOnePageEach(t *testing.T) {
	nine := demo.Before()
	for i := len(nine.Setups); i < 9; i++ {
		s := nine.Setups[i%5]
		s.Name, s.Safety = fmt.Sprintf("%s %d", s.Name, i), false
		nine.Setups = append(nine.Setups, s)
	}
	lines := nine.Song.Lines[1:]
	nine.Song.Lines, nine.Song.DurationS = nil, 252
	for i := range 36 {
		l := lines[i%len(lines)]
		l.Section = fmt.Sprintf("A%d", 1+i/6)
		nine.Song.Lines = append(nine.Song.Lines, l)
	}
	w := newWindow(t, 794, 1123)
	for name, p := range map[string]plan.Plan{"the day": demo.Before(), "nine setups": nine, "nothing": {}} {
		folder := filepath.Join(t.TempDir(), "pages")
		takeweave(t, "plan", filepath.Join(t.TempDir(), "film"), "--take", asFile(t, p), "--print", folder).want(t, 0)
		pages, err := filepath.Glob(filepath.Join(folder, "*.html"))
		if err != nil || len(pages) != 6 {
			t.Fatalf("%s: %d pages, %v", name, len(pages), err)
		}
		for _, file := range pages {
			w.do(chromedp.Navigate("file://" + file))
			over, err := chromedp.Run(w.ctx, chromedp.Evaluate[bool](`[document.querySelector("main"), document.querySelector(".song")].some(e => e && (e.scrollHeight > e.clientHeight + 1 || e.scrollWidth > e.clientWidth + 1))`))
			if err != nil {
				t.Fatal(err)
			}
			pdf, err := chromedp.Run(w.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
			if err != nil {
				t.Fatal(err)
			}
			if n := len(onePage.FindAll(pdf, -1)); n != 1 || over {
				t.Errorf("%s, %s: %d sheets, cut off %v", name, filepath.Base(file), n, over)
			}
		}
	}
}

// A plan made on a rehearsal goes to the day's record by ear: here the same song
// that begins seven seconds later.
func TestPlanOfARehearsal(t *testing.T) {
	record := practice(t, "day01", "song.flac")
	rehearsal := filepath.Join(t.TempDir(), "rehearsal.wav")
	native(t, "ffmpeg", "-v", "error", "-ss", "7", "-i", record, rehearsal)
	before, after := filepath.Join(t.TempDir(), "before"), filepath.Join(t.TempDir(), "after")
	takeweave(t, "new", before, "--song", rehearsal).want(t, 0)
	takeweave(t, "new", after, "--song", record).want(t, 0)
	p := plan.Plan{Song: plan.Study{MustSee: []plan.MustSee{{At: "20-23.5", Shows: "hands", Text: "the run"}}}}
	takeweave(t, "plan", before, "--take", asFile(t, p)).want(t, 0)
	r := takeweave(t, "plan", after, "--rehearsal", before).want(t, 0)
	if !strings.Contains(r.out, "must-see the run: 20-23.5 is now ") {
		t.Errorf("what changed is not said:\n%s", r.out)
	}
	v := told(t, after)
	if len(v.Song.MustSee) != 1 || math.Abs(float64(v.Song.MustSee[0].Span.From)-27) > 0.1 || math.Abs(v.Song.MustSee[0].Span.Len()-3.5) > 0.1 {
		t.Errorf("%+v", v.Song.MustSee)
	}
	if len(v.Song.Changed) == 0 || v.Song.Verdict.Answer != plan.Look {
		t.Errorf("%+v", v.Song.Verdict)
	}
	takeweave(t, "undo", after).want(t, 0)
	if v := told(t, after); len(v.Song.MustSee) != 0 || len(v.Song.Changed) != 0 {
		t.Errorf("after undo: %+v", v.Song)
	}
}
