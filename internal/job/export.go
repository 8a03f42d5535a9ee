package job

import (
	"context"
	"math"

	"takeweave/internal/agree"
	"takeweave/internal/film"
)

// The exported forms are described in docs/formats.md.

// ExportedLineUp is the JSON of what line-up and agreement found.
type ExportedLineUp struct {
	Passes []ExportedPass `json:"passes"`
}

// ExportedPass is one pass. Map is a list of [pass_s, song_s], or a list of
// such lists where the pass jumps. Agreement has [song_start_s, song_end_s,
// score, reason].
type ExportedPass struct {
	File      string      `json:"file"`
	Setup     string      `json:"setup"`
	Status    film.Status `json:"status"`
	Reason    string      `json:"reason"`
	Playback  bool        `json:"playback,omitempty"`
	DriftPPM  float64     `json:"drift_ppm,omitempty"`
	Cents     float64     `json:"cents,omitempty"`
	Semitones int         `json:"semitones,omitempty"`
	Map       any         `json:"map"`
	ErrorMS   any         `json:"map_error_ms,omitempty"` // a 90 % bound per knot, in the shape of Map
	Agreement [][4]any    `json:"agreement"`
	Figures   any         `json:"figures,omitempty"`
}

// ExportLineUp lines up and judges what is not done yet and returns it all.
func (w *Work) ExportLineUp(ctx context.Context) (ExportedLineUp, error) {
	passes, err := w.Agree(ctx)
	if err != nil {
		return ExportedLineUp{}, err
	}
	var all ExportedLineUp
	for _, p := range passes {
		all.Passes = append(all.Passes, exportPass(p))
	}
	return all, nil
}

func exportPass(p Pass) ExportedPass {
	e := ExportedPass{
		File: p.Clip.File, Setup: p.Clip.Setup, Status: p.LineUp.Status, Reason: p.LineUp.Reason,
		Playback: p.LineUp.Playback, DriftPPM: round(p.LineUp.DriftPPM, 2), Cents: round(p.LineUp.Cents, 1), Semitones: p.LineUp.Semitones,
		Map: [][2]float64{}, Agreement: [][4]any{}, Figures: p.LineUp.Figures,
	}
	var maps [][][2]float64
	var bounds [][]float64
	for _, g := range p.LineUp.Segments {
		var m [][2]float64
		for _, k := range g.Knots {
			m = append(m, [2]float64{round(float64(k.Pass), 5), round(float64(k.Song), 5)})
		}
		maps = append(maps, m)
		bounds = append(bounds, g.ErrorMS)
	}
	switch len(maps) {
	case 0:
	case 1:
		e.Map, e.ErrorMS = maps[0], bounds[0]
	default:
		e.Map, e.ErrorMS = maps, bounds
	}
	for _, a := range p.Agreement {
		e.Agreement = append(e.Agreement, exportAgreement(a)...)
	}
	return e
}

// exportAgreement joins neighbouring moments of the same score (to 0.01) and
// reason.
func exportAgreement(a film.Agreement) [][4]any {
	var out [][4]any
	at := func(i int) float64 { return round(float64(a.First+i)*film.AgreementStep, 3) }
	for i := 0; i < len(a.Score); {
		from, score, late := i, round(a.Score[i], 2), 0.0
		for i < len(a.Score) && round(a.Score[i], 2) == score && a.Why[i] == a.Why[from] {
			late += a.LateMS[i]
			i++
		}
		out = append(out, [4]any{at(from), at(i), score, agree.Say(a.Why[from], late/float64(i-from))})
	}
	return out
}

func round(v float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Round(v*p) / p
}
