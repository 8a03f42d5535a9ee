package job

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"takeweave/internal/coverage"
	"takeweave/internal/daylog"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/media"
	"takeweave/internal/plan"
	"takeweave/internal/store"
)

// filmDay is a simulated day: a film whose record and clips exist only by what is
// known of them.
type filmDay struct {
	t     *testing.T
	w     *Work
	song  film.Song
	now   int64 // on the phone's clock, unix milliseconds
	count int64
	pass  int // the last number
	clips []store.SeenClip
}

// cameraBehindMS is how much the camera's clock is behind the phone's: 7 min 12 s.
const cameraBehindMS = 432_000

// beforeSongS is how long the camera rolls before the song begins.
const beforeSongS = 5

// newFilmDay begins at 14:00 with a song of 252 s: six sections of six lines of
// seven seconds.
func newFilmDay(t *testing.T, p plan.Plan) *filmDay {
	t.Helper()
	s, err := store.Create(t.Context(), filepath.Join(t.TempDir(), "film"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	d := &filmDay{t: t, w: New(s, nil, nil), now: time.Date(2026, 3, 14, 14, 0, 0, 0, time.UTC).UnixMilli()}
	d.song = film.Song{Duration: 252, Music: film.SongSpan{To: 252}}
	for i, name := range []string{"V1", "C1", "V2", "C2", "B1", "C3"} {
		at := film.SongTime(42 * i)
		d.song.Sections = append(d.song.Sections, film.Section{Name: name, Letter: name[:1], Span: film.SongSpan{From: at, To: at + 42}})
		for n := range 6 {
			from := at + film.SongTime(7*n)
			d.song.Lines = append(d.song.Lines, film.Line{Section: i, Number: n + 1, Span: film.SongSpan{From: from, To: from + 7}})
		}
	}
	change, err := store.Put(kindSong, onlyOne, d.song)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Decide(t.Context(), "the song", change); err != nil {
		t.Fatal(err)
	}
	for name, value := range map[string]string{settingRecord: "song/record.flac", settingRecordDigest: "record"} {
		if err := s.Set(t.Context(), name, value); err != nil {
			t.Fatal(err)
		}
	}
	d.w.infos[filepath.Join(s.Dir, "song", "record.flac")] = media.Info{Duration: 252}
	if err := d.w.SetPlan(t.Context(), p, "the plan"); err != nil {
		t.Fatal(err)
	}
	return d
}

func (d *filmDay) log(events ...daylog.Event) {
	d.t.Helper()
	for i := range events {
		d.count++
		events[i].ID, events[i].Phone, events[i].Count = fmt.Sprint("e", d.count), "phone", d.count
		if events[i].At == 0 {
			events[i].At = d.now
		}
	}
	if _, err := d.w.AddToDay(d.t.Context(), events); err != nil {
		d.t.Fatal(err)
	}
}

// films films a pass of the whole song, or of the lines of a loop: it is logged as
// kept, looked at, and its clip agrees in the lines of which agrees says so.
func (d *filmDay) films(setup, loop string, agrees func(line string) bool) {
	d.t.Helper()
	d.rolls(setup, loop, daylog.Tapped)
	d.log(daylog.Event{Kind: daylog.Note, Entry: fmt.Sprint("p", d.pass), Text: LookedAt})
	d.clip(setup, loop, agrees)
}

// rolls logs a pass, and lets its time go by.
func (d *filmDay) rolls(setup, loop string, origin daylog.Origin) {
	d.t.Helper()
	d.pass++
	entry := fmt.Sprint("p", d.pass)
	begin := daylog.Event{Kind: daylog.Begin, Entry: entry, Number: d.pass, Setup: setup, Lines: loop, Origin: origin}
	end := daylog.Event{Kind: daylog.End, Entry: entry, Verdict: daylog.Keep, At: d.now + int64(1000*(d.spanOf(loop).Len()+2*beforeSongS))}
	d.log(begin, end)
	d.now = end.At + 90_000 + int64(d.pass)*7000
}

// spanOf is what a pass plays: a loop with its run-in.
func (d *filmDay) spanOf(loop string) film.SongSpan {
	if loop == "" {
		return film.SongSpan{To: d.song.Duration}
	}
	span, err := d.song.SpanOf(loop)
	if err != nil {
		d.t.Fatal(err)
	}
	return film.SongSpan{From: max(0, span.From-8), To: span.To}
}

// clip is the camera's file of the pass that rolled last, lined up and judged.
func (d *filmDay) clip(setup, loop string, agrees func(line string) bool) {
	d.t.Helper()
	ctx := d.t.Context()
	n := len(d.clips) + 1
	span := d.spanOf(loop)
	seconds := span.Len() + 2*beforeSongS
	state, err := d.w.dayEvents(ctx)
	if err != nil {
		d.t.Fatal(err)
	}
	entries := daylog.Replay(state).Entries
	name := fmt.Sprintf("C%04d.MP4", n)
	c := film.Clip{Path: "/card/" + name, File: name, Digest: name, Bytes: 5e9, Setup: setup, Duration: seconds, HasSound: true, Width: 3840, Height: 2160, PictureEnd: film.PassTime(seconds)}
	d.clips = append(d.clips, store.SeenClip{Clip: c, Present: true, ModifiedNS: (entries[len(entries)-1].RollingMS - cameraBehindMS) * 1e6})
	if err := d.w.Store.PutClips(ctx, d.clips); err != nil {
		d.t.Fatal(err)
	}
	clips, err := d.w.Store.Clips(ctx)
	if err != nil {
		d.t.Fatal(err)
	}
	setups, err := d.w.Setups(ctx)
	if err != nil {
		d.t.Fatal(err)
	}
	for _, c := range clips {
		if c.File != name {
			continue
		}
		p := passOf(c, setups[c.Setup])
		p.LineUp = film.LineUp{Status: film.Aligned, Reason: "simulated", Covered: span.Len(), Segments: []film.Segment{{
			Knots: []film.Knot{{Pass: beforeSongS, Song: span.From}, {Pass: film.PassTime(beforeSongS + span.Len()), Song: span.To}}, ErrorMS: []float64{4, 4},
		}}}
		d.keep(stepLineUp, &p, fingerprint.Of(stepLineUp, lineUpVersion, "record", p.digest()), p.LineUp)
		d.keep(stepAgree, &p, fingerprint.Of(stepAgree, agreeVersion, "record", p.digest(), p.LineUp, p.Setup.SyncTolerance()), []film.Agreement{d.agreement(span, agrees)})
	}
}

func (d *filmDay) keep(step string, p *Pass, key string, v any) {
	d.t.Helper()
	if err := d.w.Store.PutResult(d.t.Context(), step, p.subject(), key, v); err != nil {
		d.t.Fatal(err)
	}
}

func (d *filmDay) agreement(span film.SongSpan, agrees func(line string) bool) film.Agreement {
	a := film.Agreement{First: int(math.Round(float64(span.From) / film.AgreementStep))}
	for t := span.From + film.AgreementStep/2; t < span.To; t += film.AgreementStep {
		score, why := 0.1, film.WhyOtherNotes
		if i := d.song.LineAt(t); i >= 0 && agrees(d.song.LineName(i)) {
			score, why = 0.95, film.WhyAgrees
		}
		a.Score, a.Why, a.LateMS = append(a.Score, score), append(a.Why, why), append(a.LateMS, 0)
	}
	return a
}

// day is the day as the phones have it.
func (d *filmDay) day() *Day {
	d.t.Helper()
	day, err := d.w.Again(nil).Day(Peek(d.t.Context()))
	if err != nil {
		d.t.Fatal(err)
	}
	return day
}

func everywhere(string) bool { return true }

func in(names ...string) func(string) bool {
	return func(line string) bool {
		return slices.ContainsFunc(names, func(n string) bool { return line == n || strings.HasPrefix(line, n+".") })
	}
}

// Fourteen passes and a false start over three hours, two of them heard and not
// tapped, the camera's clock 7 min 12 s off: every file is tied to its pass.
func TestTwoTapsAndTheFilesFindTheirPasses(t *testing.T) {
	d := newFilmDay(t, plan.Plan{})
	want := map[string]string{}
	for i := range 15 {
		setup, origin, loop := []string{"wide", "face", "hands"}[i/5], daylog.Tapped, ""
		if i == 3 || i == 9 {
			origin = daylog.Heard
		}
		if i == 6 {
			loop = "V1.1-V1.3" // broken off
		}
		d.rolls(setup, loop, origin)
		d.clip("", loop, everywhere) // the card tells no setup
		want[fmt.Sprintf("C%04d.MP4", i+1)] = fmt.Sprint("p", i+1)
	}
	day := d.day()
	if len(day.Log.Entries) != 15 {
		t.Errorf("%d entries", len(day.Log.Entries))
	}
	got := map[string]string{}
	for _, tied := range day.Tying.Tied {
		got[tied.File] = strings.Join(tied.Entries, " ")
	}
	for file, entry := range want {
		if got[file] != entry {
			t.Errorf("%s is tied to %q, want %q (%+v)", file, got[file], entry, day.Tying.Questions)
		}
	}
	if clocks := day.Tying.Clocks; len(clocks) != 1 || math.Abs(clocks[0].OffsetS-432) > 2 {
		t.Errorf("the camera's clock: %+v", clocks)
	}
	if len(day.Passes) != 15 { // none counts twice
		t.Errorf("%d passes count", len(day.Passes))
	}
}

// improviser is a plan of hands alone, for eight moments that must be seen once.
func improviser() plan.Plan {
	p := plan.Plan{Setups: []plan.Setup{{Setup: film.Setup{Name: "hands", Shows: film.ShowsHands, Size: film.SizeClose}}}}
	for _, at := range []string{"V2.3", "V2.5", "C2.1", "C2.4", "B1.4", "C3.1", "C3.3", "C3.6"} {
		p.Song.MustSee = append(p.Song.MustSee, plan.MustSee{At: at, Shows: film.ShowsHands, Matches: 1})
		p.Setups[0].Lines = append(p.Setups[0].Lines, at)
	}
	return p
}

// Two hands passes agree in 13 and 12 of 36 lines, none of them a must-have: a
// line matches with chance 0.35; eight must-haves take 11 whole passes (68 min) to
// be 90 % sure, or loops of about 11 min. The numbers are those of the binomial
// distribution, worked out beside the code.
func TestTheImproviser(t *testing.T) {
	d := newFilmDay(t, improviser())
	d.log(daylog.Event{Kind: daylog.SetSetup, Setup: "hands"})
	d.films("hands", "", in("V1", "C1", "B1.1"))
	d.films("hands", "", in("V1", "C1"))
	day := d.day()
	o := day.Outlook
	if o == nil {
		t.Fatal("no outlook")
	}
	if math.Abs(o.Chance-0.35) > 0.005 || o.SurePasses != 11 || math.Abs(o.SureMin-68) > 0.5 || math.Abs(o.LoopMin-11.4) > 0.1 {
		t.Errorf("%+v", o)
	}
	if !strings.Contains(o.Say, "for your 8 must-haves: 11 whole passes (68 min) to be 90 % sure, or loop pickups, about 11 min") {
		t.Error(o.Say)
	}
	if a := day.Advice[0]; len(a.Lines) == 0 || !strings.HasPrefix(a.Say, "Ask for: ") || a.Setup != "hands" {
		t.Errorf("the first advice is %+v, want a loop of hands", a)
	}
	d.films("hands", "V2.3", everywhere)
	if o := d.day().Outlook; !strings.Contains(o.Say, "for your 7 must-haves") {
		t.Errorf("after a loop that matched: %s", o.Say)
	}
	d.films("hands", "V2.5", in())
	if o := d.day().Outlook; !strings.Contains(o.Say, "for your 7 must-haves") {
		t.Errorf("after a loop that did not: %s", o.Say)
	}
}

// backLampPlan is the plan of a day on which the back lamp serves face, hands and
// insert.
func backLampPlan() plan.Plan {
	setup := func(name string, shows film.Shows, lens string, lines ...string) plan.Setup {
		return plan.Setup{Setup: film.Setup{Name: name, Shows: shows, Size: film.SizeClose}, Light: "night", Position: "chair", Lens: lens, Lines: lines}
	}
	return plan.Plan{
		Lights: []plan.Light{{Name: "night", Lamps: []plan.Placed{{Lamp: "key"}, {Lamp: "back"}}}},
		Setups: []plan.Setup{setup("face", film.ShowsLips, "40 mm"), setup("hands", film.ShowsHands, "40 mm", "V2.3"), setup("insert", film.ShowsHands, "100 mm", "C2.4")},
		Song:   plan.Study{MustSee: []plan.MustSee{{At: "V2.3", Shows: film.ShowsHands}, {At: "C2.4", Shows: film.ShowsHands}}},
	}
}

// 16:40, and the key goes back at 17:30: may the back lamp be struck?
func TestMayIStrikeOnTheDay(t *testing.T) {
	d := newFilmDay(t, backLampPlan())
	d.films("face", "", everywhere)
	d.films("face", "", everywhere)
	d.films("hands", "", in("V1", "C1", "B1.1")) // 13 of 36 lines, and 12
	d.films("hands", "", in("V1", "C1"))
	d.films("insert", "C2.4", everywhere)
	d.log(daylog.Event{Kind: daylog.SetSetup, Setup: "hands"})
	lamp := coverage.Thing{Kind: coverage.ALamp, Name: "back"}
	want := func(when string, may coverage.May, words string) {
		t.Helper()
		if s := d.day().MayStrike(lamp); s.May != may || !strings.Contains(s.Say, words) {
			t.Errorf("%s: %s, want %s with %q", when, s.Say, may, words)
		}
	}
	want("at first", coverage.No, "hands V2.3, then one insert try: 6 min")
	d.films("hands", "V2.3", everywhere)
	want("after one good loop", coverage.YesBut, "one match only on hands V2.3, insert C2.4; another try costs 30 s now")
	d.films("hands", "V2.3", everywhere)
	d.rolls("insert", "C2.4", daylog.Tapped)
	d.clip("insert", "C2.4", everywhere)
	want("before the last is looked at", coverage.No, "look at focus and playback of pass 8 (insert)")
	d.log(daylog.Event{Kind: daylog.Note, Entry: "p8", Text: LookedAt})
	want("met twice and looked at", coverage.Yes, "photo, and note height, distance, dial and gel")

	if err := d.w.Store.PutClips(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	want("with the card out of the reader", coverage.Yes, "photo")
}

// A kept pass counts by its log until its file is judged, then by what it is.
func TestWhatIsFilmedCountsByWhatItIs(t *testing.T) {
	d := newFilmDay(t, plan.Plan{Setups: []plan.Setup{{Setup: film.Setup{Name: "face", Shows: film.ShowsLips}}}})
	d.rolls("face", "", daylog.Tapped)
	if bare := d.day().Ledger.Bare(); len(bare) != 0 {
		t.Errorf("by the log %d lines are bare", len(bare))
	}
	d.clip("face", "", in("V1"))
	day := d.day()
	if bare := day.Ledger.Bare(); len(bare) != 30 {
		t.Errorf("by the file %d lines are bare, want 30", len(bare))
	}
	if len(day.Passes) != 1 {
		t.Errorf("it counts as %d passes", len(day.Passes))
	}
}

// A pass that was logged twice is filmed once.
func TestAPassLoggedTwiceCountsOnce(t *testing.T) {
	d := newFilmDay(t, plan.Plan{})
	d.rolls("face", "", daylog.Tapped)
	first := d.day().Log.Entries[0]
	d.log(daylog.Event{Kind: daylog.Add, Entry: "again", Number: 2, Setup: "face", RollingMS: first.RollingMS + 4000, CutMS: first.CutMS + 3000, Verdict: daylog.Keep})
	d.clip("", "", in("V1"))
	day := d.day()
	if got := day.Tying.Tied; len(got) != 1 || len(got[0].Entries) != 2 {
		t.Fatalf("tied as %+v", day.Tying)
	}
	if bare := day.Ledger.Bare(); len(bare) != 30 {
		t.Errorf("%d lines are bare, want the 30 that the file does not show", len(bare))
	}
}

// A loop in words that name no place counts for nothing.
func TestUnknownWordsOfALoopCountForNothing(t *testing.T) {
	d := newFilmDay(t, plan.Plan{})
	d.log(
		daylog.Event{Kind: daylog.Begin, Entry: "x", Number: 1, Setup: "face", Lines: "Z9.9"},
		daylog.Event{Kind: daylog.End, Entry: "x", Verdict: daylog.Keep, At: d.now + 300_000},
	)
	if bare := d.day().Ledger.Bare(); len(bare) != 36 {
		t.Errorf("%d lines are bare, want all", len(bare))
	}
}

// Numbers that the plan changed count on the day, and the batteries of the plan.
func TestTheDayUsesThePlansNumbers(t *testing.T) {
	d := newFilmDay(t, plan.Plan{
		Camera:  plan.Camera{Watts: 10, Batteries: []plan.Battery{{WattHours: 50, Count: 2}}},
		Changed: map[string]float64{"schedule.full_voice_passes": 6, "coverage.must_see_matches": 3},
	})
	day, err := d.w.Day(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if day.Times.FullVoice != 6 || day.Limits.MustSeeMatches != 3 {
		t.Errorf("a voice gives %g passes and a must-see wants %g, not 6 and 3", day.Times.FullVoice, day.Limits.MustSeeMatches)
	}
	// 100 Wh at 85 % and 10 W.
	if day.Battery != 8.5 {
		t.Errorf("the batteries last %g h, not 8.5", day.Battery)
	}
}
