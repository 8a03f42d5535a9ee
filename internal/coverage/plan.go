package coverage

import (
	"slices"

	"takeweave/internal/film"
	"takeweave/internal/schedule"
)

// Plan is a song with the setups that are to serve its lines.
type Plan struct {
	Song   *film.Song
	Setups []Setup
	Limits Limits
	Times  schedule.Limits
}

// Setup is a setup with what it is to give the film.
type Setup struct {
	schedule.Setup
	// Lines are indices of the lines it is to serve; nil takes those of the
	// sections that it serves.
	Lines []int `json:"lines,omitempty"`
	// Wanted is how many usable passes each of its lines wants; 0 is one.
	Wanted int `json:"wanted,omitempty"`
}

// Kind is what a need is.
type Kind string

// The kinds of needs.
const (
	ALine     Kind = "line"       // a picture of it, from each setup that is to serve it
	AMustSee  Kind = "must-see"   // so many passes that show it
	VoiceFree Kind = "voice-free" // so many setups that show no mouth
)

// Need is one stretch of the song and what the film needs of it.
type Need struct {
	Kind   Kind          `json:"kind"`
	Name   string        `json:"name"` // its song address
	Text   string        `json:"text,omitempty"`
	Span   film.SongSpan `json:"span"`
	Line   int           `json:"line"` // index of the line it is in; -1 when in none
	Shows  film.Shows    `json:"shows,omitempty"`
	Wanted int           `json:"wanted"` // passes of a must-see, setups of a voice-free stretch
}

// Needs returns what the film needs: the lines of the song in order, then the
// must-sees, then the stretches without a voice. It does not depend on the
// setups.
func (p *Plan) Needs() []Need {
	needs := make([]Need, 0, len(p.Song.Lines)+len(p.Song.MustSee))
	for i, l := range p.Song.Lines {
		needs = append(needs, Need{Kind: ALine, Name: p.Song.LineName(i), Span: l.Span, Line: i})
	}
	add := func(n Need) {
		n.Line = p.Song.LineAt((n.Span.From + n.Span.To) / 2)
		if n.Name = p.Song.Address(n.Span.From); n.Line >= 0 {
			n.Name = p.Song.LineName(n.Line)
		}
		needs = append(needs, n)
	}
	for _, m := range p.Song.MustSee {
		wanted := m.Matches
		if wanted <= 0 {
			wanted = int(p.Limits.MustSeeMatches)
		}
		add(Need{Kind: AMustSee, Text: m.Text, Span: m.Span, Shows: m.Shows, Wanted: wanted})
	}
	for _, span := range p.voiceFree() {
		add(Need{Kind: VoiceFree, Span: span, Wanted: int(p.Limits.VoiceFreeViews)})
	}
	return needs
}

// wants returns how many usable passes a setup is to give a need; 0 when it is
// not planned there.
func (p *Plan) wants(s *Setup, n *Need) int {
	if !p.serves(s, n.Span) || !s.canShow(n) {
		return 0
	}
	switch n.Kind {
	case ALine:
		return max(1, s.Wanted)
	case AMustSee:
		return n.Wanted
	}
	return 1
}

// serves reports whether a setup is meant for a stretch of the song.
func (p *Plan) serves(s *Setup, span film.SongSpan) bool {
	if s.Lines != nil {
		return slices.ContainsFunc(s.Lines, func(i int) bool {
			return i >= 0 && i < len(p.Song.Lines) && p.Song.Lines[i].Span.Overlap(span) > 0
		})
	}
	return len(s.Serves) == 0 || slices.ContainsFunc(p.Song.Sections, func(c film.Section) bool {
		return (slices.Contains(s.Serves, c.Name) || slices.Contains(s.Serves, c.Letter)) && c.Span.Overlap(span) > 0
	})
}

// canShow reports whether a setup surely shows what a need is about.
func (s *Setup) canShow(n *Need) bool {
	switch n.Kind {
	case AMustSee:
		return s.Shows == n.Shows || s.Shows == film.ShowsBoth
	case VoiceFree:
		return s.Shows == film.ShowsHands || s.Shows == film.ShowsNeither
	}
	return true
}

// indexOf returns the index of the setup of that name, or -1.
func (p *Plan) indexOf(setup string) int {
	return slices.IndexFunc(p.Setups, func(s Setup) bool { return s.Name == setup })
}
