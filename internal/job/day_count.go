package job

import (
	"slices"

	"takeweave/internal/coverage"
	"takeweave/internal/daylog"
	"takeweave/internal/film"
)

// LookedAt is the note that says that focus and playback of a pass were looked at
// and found good.
const LookedAt = "looked at"

// counted returns the passes that count: each entry of the log, judged where its
// file is, and the clips that are surely or perhaps no entry. An entry that may be
// a file of which it is not sure does not count by its log: that file counts for
// itself, and nothing counts twice. newest is the index of the judged one whose
// file was seen last, -1 for none.
func counted(plan *coverage.Plan, entries []daylog.Entry, tying *daylog.Tying, passes []Pass) (all []coverage.Pass, newest int) {
	c := counting{plan: plan, tying: tying, performances: map[string][]*Pass{}, files: map[string][]string{}, entries: map[string][]string{}, newest: -1}
	for i := range passes {
		file := passes[i].Files[0].Clip.File
		c.performances[file] = append(c.performances[file], &passes[i])
	}
	for _, t := range tying.Tied {
		c.entries[t.File] = t.Entries
		for _, e := range t.Entries {
			c.files[e] = append(c.files[e], t.File)
		}
	}
	for i := range entries {
		c.entry(&entries[i])
	}
	for i := range passes {
		c.unlogged(&passes[i])
	}
	return c.all, c.newest
}

// counting is a day being counted.
type counting struct {
	plan         *coverage.Plan
	tying        *daylog.Tying
	performances map[string][]*Pass  // file: the passes that begin in it
	files        map[string][]string // entry: its files
	entries      map[string][]string // file: its entries

	all        []coverage.Pass
	newest     int
	newestClip int64
}

// entry counts an entry of the log: what its files show, once that is known, else
// what it says.
func (c *counting) entry(e *daylog.Entry) {
	logged := coverage.Pass{Name: e.Say(), Setup: e.Setup, Verdict: coverage.Verdict(e.Verdict), Lines: linesOf(c.plan.Song, e.Lines), Checked: slices.Contains(e.Notes, LookedAt)}
	known := false
	for _, file := range c.files[e.ID] {
		for n, p := range c.performances[file] {
			usable, judged := judgedUsable(c.plan, p, e.Setup)
			known = known || judged
			if of := c.entries[file]; judged && of[min(n, len(of)-1)] == e.ID {
				one := logged
				one.Usable = usable
				c.judged(one, p)
			}
		}
	}
	if known {
		return
	}
	if c.asked(e.ID) {
		logged.Verdict = coverage.Perhaps
	}
	c.all = append(c.all, logged)
}

// unlogged counts a pass whose file is tied to no entry.
func (c *counting) unlogged(p *Pass) {
	file := p.Files[0].Clip.File
	if c.entries[file] != nil || slices.ContainsFunc(c.tying.Doubles, func(d daylog.Double) bool { return d.File == file }) {
		return
	}
	if usable, known := judgedUsable(c.plan, p, ""); known {
		c.judged(coverage.Pass{Name: p.Name, Setup: p.Setup.Name, Verdict: coverage.Perhaps, Usable: usable}, p)
	}
}

func (c *counting) judged(one coverage.Pass, p *Pass) {
	if p.Clip.ID >= c.newestClip {
		c.newest, c.newestClip = len(c.all), p.Clip.ID
	}
	c.all = append(c.all, one)
}

// asked reports whether a question is open in which an entry is an answer.
func (c *counting) asked(entry string) bool {
	return slices.ContainsFunc(c.tying.Questions, func(q daylog.Question) bool {
		return slices.ContainsFunc(q.Candidates, func(may daylog.Candidate) bool { return slices.Contains(may.Entries, entry) })
	})
}

// judgedUsable returns for which needs a pass is usable, in the setup that the log
// says, else in that of its folder; known is false while it is not judged, and for
// one that cannot be heard.
func judgedUsable(plan *coverage.Plan, p *Pass, setup string) (usable []bool, known bool) {
	judged := p.LineUp.Status == film.Refused || p.LineUp.Status == film.Aligned && p.Agreement != nil
	if p.Clip.SoundOnly || !judged {
		return nil, false
	}
	s := p.Setup
	for i := range plan.Setups {
		if plan.Setups[i].Name == setup {
			s = plan.Setups[i].Setup.Setup
		}
	}
	return plan.Judge(s, &p.LineUp, p.Agreement), true
}

// linesOf returns the lines of a looped pickup by index; nil is the whole song.
// Words that name no place in the song give no line.
func linesOf(song *film.Song, said string) []int {
	if said == "" {
		return nil
	}
	lines := []int{}
	span, err := song.SpanOf(said)
	if err != nil {
		return lines
	}
	const touching = 0.05 // seconds that neighbours may share by rounding
	for i, l := range song.Lines {
		if l.Span.Overlap(span) > touching {
			lines = append(lines, i)
		}
	}
	return lines
}
