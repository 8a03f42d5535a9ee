package plan

import (
	"fmt"
	"strconv"
	"strings"

	"takeweave/internal/coverage"
	"takeweave/internal/schedule"
	"takeweave/internal/sun"
)

// minute reads a time of the day, "14:10".
func minute(text string) (m sun.Minute, ok bool) {
	hours, minutes, found := strings.Cut(strings.TrimSpace(text), ":")
	h, err1 := strconv.Atoi(hours)
	n, err2 := strconv.Atoi(minutes)
	if !found || err1 != nil || err2 != nil || h < 0 || h > 24 || n < 0 || n > 59 || len(minutes) != 2 {
		return 0, false
	}
	return sun.Minute(60*h + n), true
}

// tellDay puts the setups in order and on the clock, with what each gives the
// song.
func (d *desk) tellDay() {
	told := &d.told.Day
	told.Order, told.Steps, told.Drop = []string{}, []DayStep{}, []schedule.Drop{}
	defer func() { d.say(OfDay, "the day", told.Verdict) }()
	setups := make([]schedule.Setup, len(d.plan.Setups))
	var m missing
	for i := range d.plan.Setups {
		setups[i] = d.scheduled(i, &m)
	}
	d.tellCoverage(setups)
	if len(setups) == 0 {
		told.Verdict = unknown("the setups")
		return
	}
	start, hasStart := minute(d.plan.Day.Start)
	key, hasKey := minute(d.plan.Day.KeyBack)
	m.unless(d.song != nil, "how long the song lasts")
	m.unless(hasStart, "when the first setup is rigged, like 10:00")
	m.unless(hasKey || d.plan.Day.KeyBack == "", "when the key goes back, like 17:30")
	m.unless(d.plan.Day.Voice >= 0, "how many passes were sung before, 0 or more")
	day := schedule.Day{SongS: 1, Setups: setups, Rules: schedule.AllRules, Start: start, KeyBack: key, Voice: max(0, d.plan.Day.Voice), Limits: d.limits.schedule}
	if d.song != nil {
		day.SongS = float64(d.song.Duration)
	}
	if d.plan.Day.Rules != nil {
		day.Rules = *d.plan.Day.Rules
	}
	plan, err := d.known.Memory.solve(day)
	if err != nil {
		told.Verdict = failing("%s", sayError(err))
		return
	}
	for _, i := range plan.Order.Setups {
		told.Order = append(told.Order, setups[i].Name)
	}
	if given, err := schedule.AsGiven(setups, day.Rules, day.Limits); err == nil {
		told.AsTyped = given.ChangeMin
	}
	if v, ok := m.verdict(); ok {
		told.Verdict = v
		return
	}
	told.Plan, told.Finish, told.Leave = &plan, plan.Finish.String(), plan.Leave.String()
	told.Drop = append(told.Drop, plan.Drops...)
	d.tellSteps(setups, plan)
	told.Verdict = works("%s", strings.Join(plan.Notes, "; "))
	switch {
	case hasKey && plan.SpareMin < 0:
		told.Verdict.Answer = Fails
	case len(plan.Notes) > 1:
		told.Verdict.Answer = Look
	}
}

// scheduled is a setup with what it takes to film it; m gets what is not typed.
func (d *desk) scheduled(i int, m *missing) schedule.Setup {
	s := &d.plan.Setups[i]
	out := schedule.Setup{Setup: s.Setup, Passes: s.Passes, Tries: s.Tries}
	out.Size = sizeOf(s, d.told.Setups[i].Frame)
	out.Rig = schedule.Rig{Light: s.Light, Position: d.position(i), Lens: s.Lens, Wardrobe: s.Wardrobe, Tuning: s.Tuning}
	if out.Rig.Lens == "" && s.FocalMM > 0 {
		out.Rig.Lens = fmt.Sprintf("%g mm", s.FocalMM)
	}
	if state := d.state(s); state != nil {
		out.Rig.Light = state.Name
		for _, l := range state.Lamps {
			out.Rig.Lamps = append(out.Rig.Lamps, l.Lamp)
		}
	}
	name := orName(s.Name, "setup", i)
	const most = 1000 // nobody plays more in a day
	m.unless(s.Passes >= 0 && s.Tries >= 0 && s.Passes <= most && s.Tries <= most, "passes and tries of "+name+" from 0 to 1000")
	out.Passes, out.Tries = min(most, max(0, out.Passes)), min(most, max(0, out.Tries))
	m.unless(s.Passes+s.Tries != 0, "how many passes of "+name)
	if out.Tries > 0 && d.song != nil {
		span, err := d.song.SpanOf(s.Loop)
		if err == nil && span.Len() > 0 {
			out.LoopS = span.Len()
		} else {
			m.unless(false, "which lines "+name+" loops")
		}
	}
	return out
}

// unnamed begins the names of places that the person gave no name.
const unnamed = "place no. "

// position names the place where a setup's camera stands: as typed, else by the
// first setup that stands in the same place.
func (d *desk) position(i int) string {
	if p := d.plan.Setups[i].Position; p != "" {
		return p
	}
	here := d.cameras[i]
	for k := range d.cameras {
		c := d.cameras[k]
		if d.plan.Setups[k].Position == "" && c.angle == here.angle && c.AxisDeg == here.AxisDeg && c.DistanceM == here.DistanceM && c.HeightM == here.HeightM {
			return fmt.Sprint(unnamed, k+1)
		}
	}
	return fmt.Sprint(unnamed, i+1)
}

// tellSteps says the day in words, step by step.
func (d *desk) tellSteps(setups []schedule.Setup, plan schedule.Plan) {
	for k, i := range plan.Order.Setups {
		s := plan.Steps[k]
		step := DayStep{Setup: s.Setup, From: s.Start.String(), Film: (s.Start + sun.Minute(s.ChangeMin)).String(), To: s.End.String(), Passes: passesWords(&d.plan.Setups[i])}
		if s.BreakMin > 0 {
			step.Break = fmt.Sprintf("%s, %.0f min", s.Start-sun.Minute(s.BreakMin), s.BreakMin)
		}
		if k == 0 {
			step.Change = rigWords(schedule.Rig{Position: setups[i].Rig.Position}, setups[i].Rig)
		} else {
			step.Change = rigWords(setups[plan.Order.Setups[k-1]].Rig, setups[i].Rig)
		}
		d.told.Day.Steps = append(d.told.Day.Steps, step)
	}
}

func passesWords(s *Setup) string {
	var all []string
	if s.Passes > 0 {
		all = append(all, count(s.Passes, "pass", "passes"))
	}
	if s.Tries > 0 {
		all = append(all, count(s.Tries, "try", "tries")+" of "+s.Loop)
	}
	return words(all)
}

func count(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

// rigWords says what is changed from one rig to another.
func rigWords(from, to schedule.Rig) string {
	var all []string
	for _, c := range []struct{ what, from, to string }{
		{"light ", from.Light, to.Light},
		{"camera to ", from.Position, to.Position},
		{"lens ", from.Lens, to.Lens},
		{"clothes: ", from.Wardrobe, to.Wardrobe},
		{"tuning: ", from.Tuning, to.Tuning},
	} {
		switch {
		case c.from == c.to || c.to == "":
		case strings.HasPrefix(c.to, unnamed):
			all = append(all, "camera moves")
		default:
			all = append(all, c.what+c.to)
		}
	}
	return strings.Join(all, ", ")
}

// tellCoverage says what the setups are to give the song, and what each is worth;
// that is what the day drops by.
func (d *desk) tellCoverage(setups []schedule.Setup) {
	told := &d.told.Coverage
	told.Setups, told.Bare, told.MouthOnly, told.Without = []string{}, []string{}, []string{}, []coverage.Loss{}
	defer func() { d.say(OfCoverage, "coverage", told.Verdict) }()
	var m missing
	m.unless(d.song != nil && len(d.song.Lines) > 0, "the lines of the song")
	m.unless(len(setups) > 0, "the setups")
	if d.song != nil && len(setups) == 0 {
		d.tellNeeds((&coverage.Plan{Song: d.song, Limits: d.limits.coverage}).Ledger(nil, coverage.AsPlanned))
	}
	if v, ok := m.verdict(); ok {
		told.Verdict = v
		return
	}
	plan := &coverage.Plan{Song: d.song, Limits: d.limits.coverage, Times: d.limits.schedule}
	for i, s := range setups {
		plan.Setups = append(plan.Setups, d.serving(s, i))
		told.Setups = append(told.Setups, s.Name)
	}
	ledger := plan.Ledger(nil, coverage.AsPlanned)
	told.Ledger = ledger
	d.tellNeeds(ledger)
	for _, i := range ledger.Bare() {
		told.Bare = append(told.Bare, d.song.LineName(i))
	}
	for _, r := range ledger.MouthOnly() {
		told.MouthOnly = append(told.MouthOnly, r.Name)
	}
	told.Without = append(told.Without, ledger.Without()...)
	for i, loss := range told.Without {
		setups[i].Value = loss.Worth
		d.told.Setups[i].Without = loss.Say
		d.told.Setups[i].Serves = d.served(ledger, i)
	}
	told.Verdict = d.covered(ledger)
	d.tellOutlook(ledger)
}

// serving is a setup with the lines it serves. One whose passes are not typed
// counts as filmed as often as anything wants.
func (d *desk) serving(s schedule.Setup, i int) coverage.Setup {
	typed := &d.plan.Setups[i]
	c := coverage.Setup{Setup: s, Wanted: max(0, typed.Wanted)}
	if len(typed.Lines) > 0 {
		c.Lines = append([]int{}, d.places(append(append([]string{}, typed.Lines...), d.sectionsOf(typed.Serves)...), d.cameras[i].about)...)
	}
	if s.Passes+s.Tries == 0 {
		c.Passes = max(1, c.Wanted, int(d.limits.coverage.MustSeeMatches))
		for _, must := range d.song.MustSee {
			c.Passes = max(c.Passes, must.Matches)
		}
	}
	return c
}

// sectionsOf are the names of the sections of names or letters.
func (d *desk) sectionsOf(serves []string) (names []string) {
	for _, s := range d.song.Sections {
		for _, name := range serves {
			if s.Name == name || s.Letter == name {
				names = append(names, s.Name)
			}
		}
	}
	return names
}

// served are the lines that a setup serves.
func (d *desk) served(l *coverage.Ledger, setup int) []string {
	names := []string{}
	for _, r := range l.Rows {
		if r.Kind == coverage.ALine && r.Cells[setup].Wanted > 0 {
			names = append(names, r.Name)
		}
	}
	return names
}

func (d *desk) tellNeeds(l *coverage.Ledger) {
	d.told.Song.MustSee = needsOf(l.Rows, coverage.AMustSee)
	d.told.Song.VoiceFree = needsOf(l.Rows, coverage.VoiceFree)
}

// covered judges the ledger.
func (d *desk) covered(l *coverage.Ledger) Verdict {
	told := &d.told.Coverage
	var bad, short []string
	if len(told.Bare) > 0 {
		bad = append(bad, "no picture of "+coverage.SayLines(d.song, l.Bare()))
	}
	for _, r := range l.Rows {
		if r.Kind == coverage.AMustSee && r.State != coverage.Enough {
			short = append(short, fmt.Sprintf("%s (%s) must be seen %s in passes that show %s, planned are %d", r.Name, r.Text, times(r.Wanted), r.Shows, r.Have))
		}
	}
	if len(told.MouthOnly) > 0 {
		short = append(short, fmt.Sprintf("nobody sings at %s: fewer than %.0f setups show no mouth there", words(firsts(told.MouthOnly, 4)), d.limits.coverage.VoiceFreeViews))
	}
	for i := range d.plan.Setups {
		if s := &d.plan.Setups[i]; len(short) > 0 && (s.Shows == "") {
			return unknown(fmt.Sprintf("what %s shows, lips, hands, both or neither", orName(s.Name, "setup", i)))
		}
	}
	if bad = append(bad, short...); len(bad) > 0 {
		return failing("%s", strings.Join(bad, "; "))
	}
	return works("every line has a picture, and all that must be seen is planned")
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// tellOutlook says what a musician who improvises will need.
func (d *desk) tellOutlook(l *coverage.Ledger) {
	m := d.plan.Job.Matches
	var wanted []int
	seconds := 0.0
	for _, r := range l.Rows {
		if r.Kind == coverage.AMustSee {
			wanted = append(wanted, r.Wanted)
			seconds += r.Span.Len()
		}
	}
	if m.Of <= 0 || m.Matched < 0 || m.Matched > m.Of || len(wanted) == 0 {
		return
	}
	o := coverage.Improvise(m, wanted, float64(d.song.Duration), seconds/float64(len(wanted)), d.limits.coverage, d.limits.schedule)
	d.told.Coverage.Outlook = &o
}
