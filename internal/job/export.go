package job

import (
	"context"
	"math"

	"takeweave/internal/film"
)

// The exported forms are described in docs/formats.md.

// ExportedLineUp is the JSON of what line-up and agreement found.
type ExportedLineUp struct {
	Passes []ExportedFile `json:"passes"`
}

// ExportedFile is what one file holds. Map is a list of [pass_s, song_s] on the
// file's own clock, or a list of such lists where the playing jumps. Agreement
// has [song_start_s, song_end_s, score, reason].
type ExportedFile struct {
	File      string      `json:"file"`
	Names     []string    `json:"names"` // of the passes it holds, or holds a part of
	Setup     string      `json:"setup"`
	Status    film.Status `json:"status"`
	Reason    string      `json:"reason"`
	SoundOnly bool        `json:"sound_only,omitempty"`
	Playback  bool        `json:"playback,omitempty"`
	DriftPPM  float64     `json:"drift_ppm,omitempty"`
	Cents     float64     `json:"cents,omitempty"`
	Semitones int         `json:"semitones,omitempty"`
	Map       any         `json:"map"`
	ErrorMS   any         `json:"map_error_ms,omitempty"` // a 90 % bound per knot, in the shape of Map
	Agreement [][4]any    `json:"agreement"`
	Apart     *Apart      `json:"recorded_apart,omitempty"`
	Figures   any         `json:"figures,omitempty"`
}

// ExportLineUp lines up and judges what is not done yet and returns it all, file
// by file.
func (w *Work) ExportLineUp(ctx context.Context) (ExportedLineUp, error) {
	passes, err := w.Agree(ctx)
	if err != nil {
		return ExportedLineUp{}, err
	}
	return ExportedLineUp{Passes: exportFiles(passes)}, nil
}

// exportFiles tells file by file what the passes hold, in the order of passes.
func exportFiles(passes []Pass) []ExportedFile {
	var all []ExportedFile
	place := map[int64]int{}
	maps, bounds := map[int64][][][2]float64{}, map[int64][][]float64{}
	for i := range passes {
		p := &passes[i]
		for k, f := range p.Files {
			at, ok := place[f.Clip.ID]
			if !ok {
				at = len(all)
				place[f.Clip.ID] = at
				all = append(all, ExportedFile{
					File: f.Clip.File, Setup: f.Clip.Setup, Status: p.LineUp.Status, Reason: p.LineUp.Reason, SoundOnly: f.Clip.SoundOnly,
					Playback: p.LineUp.Playback, DriftPPM: round(p.LineUp.DriftPPM, 2), Cents: round(p.LineUp.Cents, 1), Semitones: p.LineUp.Semitones,
					Agreement: [][4]any{}, Apart: p.Apart, Figures: p.LineUp.Figures,
				})
			}
			e := &all[at]
			e.Names = append(e.Names, p.Name)
			for n := range p.LineUp.Segments {
				g, ok := p.inFile(&p.LineUp.Segments[n], k)
				if !ok {
					continue
				}
				var m [][2]float64
				for _, k := range g.Knots {
					m = append(m, [2]float64{round(float64(k.Pass), 5), round(float64(k.Song), 5)})
				}
				maps[f.Clip.ID], bounds[f.Clip.ID] = append(maps[f.Clip.ID], m), append(bounds[f.Clip.ID], g.ErrorMS)
				if n < len(p.Agreement) {
					e.Agreement = append(e.Agreement, exportAgreement(p.Agreement[n], g.SongSpan())...)
				}
			}
		}
	}
	for id, at := range place {
		switch e := &all[at]; len(maps[id]) {
		case 0:
			e.Map = [][2]float64{}
		case 1:
			e.Map, e.ErrorMS = maps[id][0], bounds[id][0]
		default:
			e.Map, e.ErrorMS = maps[id], bounds[id]
		}
	}
	return all
}

// inFile returns what of a segment lies in file k of the pass, on the file's own
// clock; ok is false when less than two knots do.
func (p *Pass) inFile(g *film.Segment, k int) (film.Segment, bool) {
	if len(p.Files) == 1 {
		return *g, true
	}
	from, to := p.Files[k].At, film.PassTime(math.Inf(1))
	if k == 0 {
		from = film.PassTime(math.Inf(-1))
	}
	if k+1 < len(p.Files) {
		to = p.Files[k+1].At
	}
	var out film.Segment
	add := func(pass film.PassTime, song film.SongTime, bound float64) {
		out.Knots = append(out.Knots, film.Knot{Pass: pass - p.Files[k].At, Song: song})
		out.ErrorMS = append(out.ErrorMS, bound)
	}
	for i, knot := range g.Knots {
		if i > 0 {
			for _, edge := range []film.PassTime{from, to} {
				if before := g.Knots[i-1]; before.Pass < edge && edge < knot.Pass {
					song := g.SongAt(edge)
					add(edge, song, g.ErrorAt(song))
				}
			}
		}
		if knot.Pass >= from && knot.Pass <= to {
			add(knot.Pass, knot.Song, g.ErrorMS[i])
		}
	}
	return out, len(out.Knots) >= 2
}

// exportAgreement joins neighbouring moments of the same score (to 0.01) and
// reason, of those that begin within a span, give or take a step.
func exportAgreement(a film.Agreement, span film.SongSpan) [][4]any {
	var out [][4]any
	index := func(t film.SongTime) int {
		return min(max(int(math.Floor(float64(t)/film.AgreementStep))-a.First, 0), len(a.Score))
	}
	at := func(i int) float64 { return round(float64(a.First+i)*film.AgreementStep, 3) }
	end := index(span.To + 2*film.AgreementStep)
	for i := index(span.From - film.AgreementStep); i < end; {
		from, score, late := i, round(a.Score[i], 2), 0.0
		for i < end && round(a.Score[i], 2) == score && a.Why[i] == a.Why[from] {
			late += a.LateMS[i]
			i++
		}
		out = append(out, [4]any{at(from), at(i), score, a.Why[from].Say(late / float64(i-from))})
	}
	return out
}

func round(v float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Round(v*p) / p
}
