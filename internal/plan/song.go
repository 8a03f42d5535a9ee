package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"takeweave/internal/coverage"
	"takeweave/internal/film"
)

// tellSong finds the song: the record's map, else what is typed of it.
func (d *desk) tellSong() {
	told := &d.told.Song
	told.Lines, told.MustSee, told.VoiceFree = []SungLine{}, []coverage.Need{}, []coverage.Need{}
	switch {
	case d.known.Song != nil && d.known.Song.Duration > 0:
		song := *d.known.Song
		d.song, told.From = &song, "record"
		told.Changed = changed(d.known.StudiedOn, d.known.Song)
	default:
		if d.song = d.plan.Song.typed(); d.song != nil {
			told.From = "typed"
		}
	}
	defer func() { d.say(OfSong, "the song", told.Verdict) }()
	if d.song == nil {
		told.Verdict = unknown("how long the song lasts and its lines, or begin the film from a record")
		return
	}
	d.addMustSees()
	d.markSung()
	told.DurationS, told.TempoBPM = float64(d.song.Duration), d.song.TempoBPM
	for i, l := range d.song.Lines {
		line := SungLine{Name: d.song.LineName(i), Text: l.Text, Span: l.Span}
		line.Section, _, _ = strings.Cut(line.Name, ".")
		told.Lines = append(told.Lines, line)
	}
	switch {
	case len(told.Lines) == 0:
		told.Verdict = unknown("the lines of the song")
	case told.From == "record" && len(d.plan.Song.Lines) > 0:
		told.Verdict = look("the record's own lines count now, not those that were typed: carry the plan over to them, or take the typed lines out")
	case len(told.Changed) > 0:
		told.Verdict = look("not the song this was planned on: %s", strings.Join(told.Changed, "; "))
	default:
		told.Verdict = works("%d lines in %s", len(told.Lines), clock(told.DurationS))
	}
}

// typed is the song as far as it is typed, nil while its length is not known.
func (s Study) typed() *film.Song {
	if !numbers(s.DurationS, s.TempoBPM) {
		return nil
	}
	sum, open := 0.0, 0
	for _, l := range s.Lines {
		if !numbers(l.Seconds) {
			return nil
		}
		sum += l.Seconds
		if l.Seconds == 0 {
			open++
		}
	}
	duration := s.DurationS
	if duration == 0 && open == 0 {
		duration = sum
	}
	const longestS = 24 * 3600 // nobody plays longer
	if duration <= 0 || duration > longestS || sum > duration || open > 0 && sum == duration {
		return nil
	}
	share := (duration - sum) / float64(max(1, open))
	song := &film.Song{Duration: film.SongTime(duration), Music: film.SongSpan{To: film.SongTime(duration)}, TempoBPM: s.TempoBPM}
	at := film.SongTime(0)
	for _, l := range s.Lines {
		seconds := l.Seconds
		if seconds == 0 {
			seconds = share
		}
		at = addLine(song, l, at, film.SongTime(seconds))
	}
	return song
}

// addLine puts a line behind those of a song and returns where it ends.
func addLine(song *film.Song, l StudyLine, from, seconds film.SongTime) film.SongTime {
	name := strings.TrimSpace(l.Section)
	if name == "" {
		name = "S1"
	}
	last := len(song.Sections) - 1
	if last < 0 || song.Sections[last].Name != name {
		song.Sections = append(song.Sections, film.Section{Name: name, Letter: strings.TrimRight(name, "0123456789"), Span: film.SongSpan{From: from, To: from}})
		last++
	}
	to := from + seconds
	song.Sections[last].Span.To = to
	number := 1
	if n := len(song.Lines); n > 0 && song.Lines[n-1].Section == last {
		number = song.Lines[n-1].Number + 1
	}
	song.Lines = append(song.Lines, film.Line{Section: last, Number: number, Span: film.SongSpan{From: from, To: to}, Text: l.Text})
	return to
}

// mostMatches is more often than anybody plays in a day.
const mostMatches = 100

// addMustSees adds what the plan wants seen to what the map does.
func (d *desk) addMustSees() {
	d.song.MustSee = slices.Clone(d.song.MustSee)
	for _, m := range d.plan.Song.MustSee {
		about := strings.TrimSpace("must-see " + m.At + " " + m.Text)
		span, ok := d.spanOf(m.At, about, OfSong)
		switch {
		case !ok:
		case span.Len() <= 0:
			d.say(OfSong, about, unknown("how long it is, from one place to another"))
		case m.Matches < 0 || m.Matches > mostMatches:
			d.say(OfSong, about, failing("%d matches are none to be had, up to %d", m.Matches, mostMatches))
		case m.Shows != film.ShowsHands && m.Shows != film.ShowsLips && m.Shows != film.ShowsBoth:
			d.say(OfSong, about, unknown("what must be seen: hands, lips or both"))
		default:
			d.song.MustSee = append(d.song.MustSee, film.MustSee{Span: span, Shows: m.Shows, Text: m.Text, Matches: m.Matches})
		}
	}
}

// markSung clears the words of lines in which nobody sings, as the plan has it,
// so that they count as free of a voice. Other lines of a song without any text
// count as sung.
func (d *desk) markSung() {
	if len(d.plan.Song.VoiceFree) == 0 {
		return
	}
	var free []film.SongSpan
	for _, at := range d.plan.Song.VoiceFree {
		if span, ok := d.spanOf(at, "voice-free "+at, OfSong); ok {
			free = append(free, span)
		}
	}
	d.song.Lines = slices.Clone(d.song.Lines)
	for i := range d.song.Lines {
		l := &d.song.Lines[i]
		overlap := 0.0
		for _, f := range free {
			overlap += l.Span.Overlap(f)
		}
		switch {
		case overlap > l.Span.Len()/2:
			l.Text, l.Words = "", nil
		case l.Text == "" && len(l.Words) == 0:
			l.Words = []film.Word{{Span: l.Span, Estimated: true}}
		}
	}
}

// changed says in what the song differs from the one that was studied.
func changed(studied, now *film.Song) []string {
	if studied == nil {
		return nil
	}
	var all []string
	if by := float64(now.Duration - studied.Duration); math.Abs(by) >= 0.5 {
		all = append(all, fmt.Sprintf("%s instead of %s", clock(float64(now.Duration)), clock(float64(studied.Duration))))
	}
	lines := func(s *film.Song) []string {
		names := make([]string, len(s.Lines))
		for i := range s.Lines {
			names[i] = s.LineName(i)
		}
		return names
	}
	was, is := lines(studied), lines(now)
	for _, c := range []struct {
		what   string
		of, in []string
	}{{"no longer there", was, is}, {"new", is, was}} {
		var only []string
		for _, name := range c.of {
			if !slices.Contains(c.in, name) {
				only = append(only, name)
			}
		}
		if len(only) > 0 {
			all = append(all, fmt.Sprintf("%s: %s", c.what, words(only)))
		}
	}
	return all
}

// spanOf returns the stretch of the song at an address; what is wrong with it is
// told. While the lines are not known, no address is wrong.
func (d *desk) spanOf(at, about string, topic Topic) (span film.SongSpan, ok bool) {
	span, err := d.song.SpanOf(at)
	switch {
	case err == nil:
		return span, true
	case len(d.song.Lines) == 0:
		d.say(topic, about, unknown("the lines of the song"))
	default:
		d.wrong(topic, about, err)
	}
	return span, false
}

// places returns the indices of the lines at song addresses.
func (d *desk) places(addresses []string, about string) []int {
	var lines []int
	for _, at := range addresses {
		span, ok := d.spanOf(at, about, OfSetups)
		for i, l := range d.song.Lines {
			if ok && l.Span.Overlap(span) > 0 && !slices.Contains(lines, i) {
				lines = append(lines, i)
			}
		}
	}
	slices.Sort(lines)
	return lines
}

// needsOf returns the needs of one kind.
func needsOf(rows []coverage.Row, kind coverage.Kind) []coverage.Need {
	needs := []coverage.Need{}
	for _, r := range rows {
		if r.Kind == kind {
			needs = append(needs, r.Need)
		}
	}
	return needs
}

// clock is a length as minutes and seconds, "4:12".
func clock(seconds float64) string {
	s := int(math.Round(seconds))
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}
