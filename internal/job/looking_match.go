package job

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"golang.org/x/sync/errgroup"

	"takeweave/internal/film"
	"takeweave/internal/look"
	"takeweave/internal/media"
)

// MatchBy is from what a setup is matched.
type MatchBy string

// The ways of matching; docs/look.md says what each finds and needs.
const (
	ByGrey   MatchBy = "grey"   // a grey card
	ByChart  MatchBy = "chart"  // the chart of 24 patches
	ByMoment MatchBy = "moment" // the same moments of the song in both setups
)

// MatchAsk asks for the trim that brings a setup to others.
type MatchAsk struct {
	Setup string  `json:"setup"`
	By    MatchBy `json:"by"`
	// Where the card or the chart of the setup is seen: a part of a picture, or the
	// corners as look.ReadChart wants them.
	Pass    string        `json:"pass,omitempty"`
	At      film.PassTime `json:"at_s,omitempty"`
	Box     look.Box      `json:"box,omitzero"`
	Corners []look.Point  `json:"corners,omitempty"`
	Made    look.Made     `json:"made,omitempty"` // of the chart
	// To is the setup to be matched to by moments. By grey it may be "", which is a
	// card of 18 % as it should be.
	To     string        `json:"to,omitempty"`
	ToPass string        `json:"to_pass,omitempty"` // where the same card is seen there
	ToAt   film.PassTime `json:"to_at_s,omitempty"`
	ToBox  look.Box      `json:"to_box,omitzero"`
	// Song is the moment to be compared; 0 takes some from all over the song.
	Song film.SongTime `json:"song_s,omitempty"`
}

// matchWidth is how wide pictures are matched at, and so many moments and pixels
// of each are compared.
const (
	matchWidth   = 320
	matchMoments = 5
	matchPixels  = 4000
)

// Match finds the trim that brings a setup to what is asked for, and how far they
// are apart without it and with it. Nothing is decided: see SetTrim. The setup
// that is matched to keeps its own trim.
func (w *Work) Match(ctx context.Context, ask MatchAsk) (look.Match, error) {
	l, trims, err := w.Look(ctx)
	if err != nil {
		return look.Match{}, err
	}
	passes, err := w.Agree(ctx)
	if err != nil {
		return look.Match{}, err
	}
	m := matcher{w: w, passes: passes, encoding: cmp.Or(l.Encoding, look.BT709), goal: trims[ask.To]}
	switch ask.By {
	case ByGrey:
		return m.grey(ctx, ask)
	case ByChart:
		return m.chart(ctx, ask)
	case ByMoment:
		return m.moment(ctx, ask)
	}
	return look.Match{}, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("setups are not matched by %q", string(ask.By)), Hint: "choose grey, chart or moment"}
}

type matcher struct {
	w        *Work
	passes   []Pass
	encoding look.Encoding
	goal     look.Trim // of the setup that is matched to
}

func (m *matcher) grey(ctx context.Context, ask MatchAsk) (look.Match, error) {
	seen, err := m.picture(ctx, ask.Pass, ask.At)
	if err != nil {
		return look.Match{}, err
	}
	patch := seen.Read(ask.Box).Mean
	if patch == (look.RGB{}) {
		return look.Match{}, &film.Error{Code: film.CodeUsage, Msg: "the grey card is not in the picture, or black", Hint: "draw a rectangle inside the card"}
	}
	wanted := look.Grey18
	if ask.To != "" {
		other, err := m.picture(ctx, ask.ToPass, ask.ToAt)
		if err != nil {
			return look.Match{}, err
		}
		trimmed, err := m.asGoal([]look.RGB{other.Read(ask.ToBox).Mean})
		if err != nil {
			return look.Match{}, err
		}
		wanted = trimmed[0]
	}
	return look.MatchGrey(m.encoding, patch, wanted)
}

func (m *matcher) chart(ctx context.Context, ask MatchAsk) (look.Match, error) {
	if len(ask.Corners) != 4 {
		return look.Match{}, &film.Error{Code: film.CodeUsage, Msg: "a chart has four corners", Hint: "name them from the first patch of the first row on, clockwise"}
	}
	seen, err := m.picture(ctx, ask.Pass, ask.At)
	if err != nil {
		return look.Match{}, err
	}
	made := ask.Made
	if made == "" {
		made = look.MadeSince2014
	}
	return look.MatchChart(m.encoding, made, look.ReadChart(seen, [4]look.Point(ask.Corners)))
}

func (m *matcher) moment(ctx context.Context, ask MatchAsk) (look.Match, error) {
	moments := m.together(ask)
	if len(moments) == 0 {
		return look.Match{}, &film.Error{Code: film.CodeNotFound, Msg: fmt.Sprintf("%s and %s never show the same moment of the song", ask.Setup, ask.To), Hint: "match by a grey card, or to another setup"}
	}
	var of, to []place
	for _, t := range moments {
		of, to = append(of, t.setup), append(to, t.to)
	}
	seen, err := m.pixels(ctx, of)
	if err != nil {
		return look.Match{}, err
	}
	wanted, err := m.pixels(ctx, to)
	if err != nil {
		return look.Match{}, err
	}
	if wanted, err = m.asGoal(wanted); err != nil {
		return look.Match{}, err
	}
	return look.MatchMoment(m.encoding, seen, wanted)
}

// pixels returns pixels of the pictures of several moments.
func (m *matcher) pixels(ctx context.Context, of []place) ([]look.RGB, error) {
	each := make([][]look.RGB, len(of))
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(sideBySide())
	for i, at := range of {
		g.Go(func() error {
			p, err := m.picture(gctx, at.pass, at.at)
			if err == nil {
				each[i] = p.Sample(matchPixels)
			}
			return err
		})
	}
	err := g.Wait()
	return slices.Concat(each...), err
}

// place is a moment of a pass.
type place struct {
	pass string
	at   film.PassTime
}

// both is the same moment of the song in two setups.
type both struct{ setup, to place }

// together returns moments of the song that both setups show.
func (m *matcher) together(ask MatchAsk) []both {
	var moments []film.SongTime
	if ask.Song != 0 {
		moments = []film.SongTime{ask.Song}
	} else if end := m.songEnd(); end > 0 {
		for i := range 4 * matchMoments {
			moments = append(moments, end*(film.SongTime(i)+0.5)/(4*matchMoments))
		}
	}
	var all []both
	for _, t := range moments {
		a, one := m.shows(ask.Setup, t)
		b, other := m.shows(ask.To, t)
		if one && other {
			all = append(all, both{a, b})
		}
	}
	if every := len(all) / matchMoments; every > 1 {
		var some []both
		for i := every / 2; i < len(all) && len(some) < matchMoments; i += every {
			some = append(some, all[i])
		}
		return some
	}
	return all[:min(len(all), matchMoments)]
}

func (m *matcher) songEnd() film.SongTime {
	end := film.SongTime(0)
	for i := range m.passes {
		for k := range m.passes[i].LineUp.Segments {
			end = max(end, m.passes[i].LineUp.Segments[k].SongSpan().To)
		}
	}
	return end
}

// shows returns where a setup shows a moment of the song.
func (m *matcher) shows(setup string, t film.SongTime) (place, bool) {
	for i := range m.passes {
		p := &m.passes[i]
		if p.Setup.Name != setup || !p.Filmed() {
			continue
		}
		for k := range p.LineUp.Segments {
			if g := &p.LineUp.Segments[k]; g.SongSpan().Holds(t) {
				return place{p.Name, g.PassAt(t)}, true
			}
		}
	}
	return place{}, false
}

// picture decodes a picture of a pass for matching.
func (m *matcher) picture(ctx context.Context, pass string, at film.PassTime) (*look.Picture, error) {
	for i := range m.passes {
		if m.passes[i].Name != pass {
			continue
		}
		pix, height, err := m.w.frameOf(ctx, &m.passes[i], at, matchWidth, media.RGB24)
		if err != nil {
			return nil, err
		}
		return look.FromRGB8(matchWidth, height, pix), nil
	}
	return nil, &film.Error{Code: film.CodeNotFound, Path: pass, Msg: "is not the name of a pass of this film", Hint: "takeweave lineup DIR lists them"}
}

// asGoal takes colours of the setup that is matched to through its own trim.
func (m *matcher) asGoal(all []look.RGB) ([]look.RGB, error) {
	c, err := look.NewChain(look.Look{Encoding: m.encoding}, m.goal, nil, nil)
	if err != nil {
		return nil, err
	}
	for i, v := range all {
		all[i] = c.Apply(v)
	}
	return all, nil
}
