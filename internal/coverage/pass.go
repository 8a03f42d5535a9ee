package coverage

import (
	"slices"

	"takeweave/internal/film"
	"takeweave/internal/hold"
)

// Verdict is what was said of a pass when it ended.
type Verdict string

// The verdicts.
const (
	Keep    Verdict = "keep"
	Perhaps Verdict = "perhaps"
	Lost    Verdict = "lost"
)

// Pass is a pass as the log has it and, once it is lined up and compared, as it
// is.
type Pass struct {
	Name    string  `json:"name"`
	Setup   string  `json:"setup"`
	Verdict Verdict `json:"verdict"`
	Lines   []int   `json:"lines,omitempty"` // indices of those that were played; nil is the whole song
	Checked bool    `json:"checked"`         // focus and playback were looked at
	// Usable says of each of the plan's needs whether the pass can show it, as
	// [Plan.Judge] does; nil until then. Judge again when the song is edited.
	Usable []bool `json:"usable,omitempty"`
}

// Basis is what a ledger counts.
type Basis string

// The bases, in the order of the job.
const (
	AsPlanned Basis = "planned" // as if every planned pass were usable where its setup serves
	AsLogged  Basis = "logged"  // judged passes by what they are, the others by their log
	AsUsable  Basis = "usable"  // judged passes only
)

// shows reports whether a pass counts for need n. A lost pass never does,
// whatever it would show; one that is perhaps good does only once it is judged.
func (c *Pass) shows(song *film.Song, n int, need *Need, basis Basis) bool {
	switch {
	case c.Verdict == Lost:
		return false
	case c.Usable != nil:
		return n < len(c.Usable) && c.Usable[n]
	}
	return basis == AsLogged && c.Verdict == Keep && c.played(song, need)
}

// played reports whether the log says that all lines of a need were played.
func (c *Pass) played(song *film.Song, need *Need) bool {
	if c.Lines == nil {
		return true
	}
	if need.Kind == ALine {
		return slices.Contains(c.Lines, need.Line)
	}
	touched := 0
	for i, l := range song.Lines {
		if l.Span.Overlap(need.Span) > 0 {
			if touched++; !slices.Contains(c.Lines, i) {
				return false
			}
		}
	}
	return touched > 0
}

// Judge says of each need whether a pass is usable for it, filmed in that setup:
// one of its segments agrees with the record for [Limits.AgreeShare] of the
// stretch, and one shot over the whole stretch stays within the setup's tolerance
// at a speed that the setup allows. A pass in another key is usable nowhere where
// hands may be seen. agreements has one value per segment of the line-up.
func (p *Plan) Judge(setup film.Setup, lineUp *film.LineUp, agreements []film.Agreement) []bool {
	needs := p.Needs()
	usable := make([]bool, len(needs))
	mayShowHands := setup.Shows != film.ShowsLips && setup.Shows != film.ShowsNeither
	if lineUp.Status != film.Aligned || lineUp.Semitones != 0 && mayShowHands {
		return usable
	}
	for g := range min(len(lineUp.Segments), len(agreements)) {
		segment := &lineUp.Segments[g]
		covers, holds := segment.SongSpan(), hold.New(segment)
		for n := range needs {
			span := needs[n].Span
			common := film.SongSpan{From: max(span.From, covers.From), To: min(span.To, covers.To)}
			usable[n] = usable[n] || common.Len() > 0 &&
				agreeing(&agreements[g], span) >= p.Limits.AgreeShare &&
				holds.Best(common, setup.SyncTolerance(), setup.MaxSpeedChange()).Within(setup.SyncTolerance())
		}
	}
	return usable
}

// agreeing returns the share of the moments of a span that agree.
func agreeing(a *film.Agreement, span film.SongSpan) float64 {
	agrees, moments := 0, 0
	for t := span.From + film.AgreementStep/2; t < span.To; t += film.AgreementStep {
		if score, _, _ := a.At(t); score >= film.Agrees {
			agrees++
		}
		moments++
	}
	if moments == 0 {
		return 0
	}
	return float64(agrees) / float64(moments)
}
