package job

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

// Pass is one performance of the song filmed in one setup, with what is known of
// it. It may lie in several files (a camera splits long recordings), and one
// file may hold several. LineUp is the zero value until that step is done.
type Pass struct {
	// Name is the first file's; "file#2" for the second performance in one file.
	Name  string     `json:"name"`
	Files []PassFile `json:"files"`
	// Clip is the first file; of a pass in several its picture goes on to the
	// end of the last.
	Clip      film.Clip        `json:"clip"`
	Setup     film.Setup       `json:"setup"`
	LineUp    film.LineUp      `json:"lineup"`
	Agreement []film.Agreement `json:"agreement,omitempty"`
	// Apart is the sound of this pass from a separate recorder, nil for none.
	Apart *Apart `json:"recorded_apart,omitempty"`
}

// PassFile is a file that a pass lies in.
type PassFile struct {
	Clip film.Clip     `json:"clip"`
	At   film.PassTime `json:"at_s"` // where the file's own 0 lies on the clock of the pass
}

// Filmed reports whether the pass has a picture that lines up with the song.
func (p *Pass) Filmed() bool { return p.LineUp.Status == film.Aligned && !p.Clip.SoundOnly }

// digest names the sound that the pass is heard by.
func (p *Pass) digest() string {
	var all []string
	for _, f := range p.Files {
		all = append(all, f.Clip.Digest)
	}
	if p.Apart != nil && p.Apart.Heard {
		all = append(all, p.Apart.Digest)
	}
	return strings.Join(all, " ")
}

// passOf is a file taken for a pass of its own.
func passOf(c film.Clip, setup film.Setup) Pass {
	return Pass{Name: c.File, Files: []PassFile{{Clip: c}}, Clip: c, Setup: setup}
}

// follows reports whether clip b can be what the camera wrote after clip a: the
// next file of the same folder, in the same format.
func follows(a, b film.Clip) bool {
	return !a.SoundOnly && !b.SoundOnly && a.Refusal == "" && b.Refusal == "" &&
		path.Dir(a.File) == path.Dir(b.File) && a.Setup == b.Setup &&
		a.Width == b.Width && a.Height == b.Height && a.Rate == b.Rate
}

// join makes one pass of each run of files that go on where the one before
// ends. Passes are in the order of their files.
func join(passes []Pass) []Pass {
	var out []Pass
	for _, p := range passes {
		if len(out) > 0 {
			last := &out[len(out)-1]
			if follows(last.Files[len(last.Files)-1].Clip, p.Clip) && lineup.Joined(last.LineUp, float64(last.Clip.PictureEnd), p.LineUp) {
				last.goesOn(p)
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// goesOn adds the file of next to the end of p.
func (p *Pass) goesOn(next Pass) {
	at := p.Clip.PictureEnd - next.Clip.PictureStart
	p.LineUp = lineup.Join(p.LineUp, float64(at), next.LineUp)
	p.LineUp.Reason += fmt.Sprintf("; goes on in %s", next.Clip.File)
	p.Files = append(slices.Clone(p.Files), PassFile{next.Clip, at})
	p.Clip.Duration = float64(at) + next.Clip.Duration
	p.Clip.PictureEnd = at + next.Clip.PictureEnd
}

// performances splits a pass in which the song is played several times.
func performances(p Pass, songSeconds float64) []Pass {
	runs := withoutFalseStarts(&p.LineUp, lineup.Occurrences(p.LineUp, songSeconds), songSeconds)
	if len(runs) < 2 {
		return []Pass{p}
	}
	var out []Pass
	for i, run := range runs {
		one := p
		if i > 0 {
			one.Name = fmt.Sprintf("%s#%d", p.Name, i+1)
		}
		one.LineUp.Segments = p.LineUp.Segments[run.From:run.To]
		one.LineUp.Covered = film.Covered(one.LineUp.Segments)
		one.LineUp.Reason = fmt.Sprintf("performance %d of %d in this file, from %s on; %s", i+1, len(runs), clock(one.LineUp.Segments[0].Knots[0].Pass), p.LineUp.Reason)
		out = append(out, one)
	}
	return out
}

// leastPerformance is the share of the song below which a run is a false start,
// even where line-up could not tell which of equal passages it was. Common
// practice: who breaks off in the first verse begins again.
const leastPerformance = 0.2

// withoutFalseStarts joins runs too short to be performances to the next run, or
// to the one before at the end.
func withoutFalseStarts(lu *film.LineUp, runs []lineup.Run, songSeconds float64) []lineup.Run {
	var out []lineup.Run
	from := -1 // of false starts waiting for their performance
	for _, r := range runs {
		if from >= 0 {
			r.From = from
		}
		if film.Covered(lu.Segments[r.From:r.To]) < leastPerformance*songSeconds {
			from = r.From
			continue
		}
		out, from = append(out, r), -1
	}
	if from >= 0 && len(out) > 0 {
		out[len(out)-1].To = runs[len(runs)-1].To
	}
	return out
}

func clock(t film.PassTime) string {
	s := int(t)
	return fmt.Sprintf("%d:%02d min", s/60, s%60)
}

// subject is what the results of a pass are stored under.
func (p *Pass) subject() string {
	s := subject(p.Clip)
	for _, f := range p.Files[1:] {
		s += "+" + subject(f.Clip)
	}
	if _, nth, ok := strings.Cut(p.Name, "#"); ok {
		s += "#" + nth
	}
	if p.Apart != nil && p.Apart.Heard {
		s += " by ear of " + p.Apart.Digest
	}
	return s
}

// fileAt returns which file of the pass is seen at pass time t.
func (p *Pass) fileAt(t film.PassTime) int {
	k := 0
	for i, f := range p.Files[1:] {
		if t >= f.At+f.Clip.PictureStart-1e-6 { // a microsecond for rounding
			k = i + 1
		}
	}
	return k
}

// inFiles splits the shots that run over the end of a camera file: the viewer
// sees no cut there, but each file is read by itself.
func inFiles(c film.Cut, passes []Pass) film.Cut {
	byName := map[string]*Pass{}
	for i := range passes {
		byName[passes[i].Name] = &passes[i]
	}
	var shots []film.Shot
	for _, s := range c.Shots {
		p := byName[s.Pass]
		if p == nil || len(p.Files) < 2 {
			shots = append(shots, s)
			continue
		}
		shown := func(f film.Frames) film.PassTime {
			return s.SourceStart + film.PassTime(float64(c.Rate.FrameStart(f)-c.Rate.FrameStart(s.First))*s.Speed)
		}
		for first := s.First; first < s.End; {
			k, end := p.fileAt(shown(first)), first+1
			for end < s.End && p.fileAt(shown(end)) == k {
				end++
			}
			part := s
			part.First, part.End = first, end
			part.Clip, part.File = p.Files[k].Clip.ID, p.Files[k].Clip.File
			part.SourceStart = shown(first) - p.Files[k].At
			if s.Crop != nil {
				part.Crop = s.Crop.Of(first-s.First, end-s.First)
			}
			if first > s.First {
				part.Why = "the same shot goes on in the camera's next file; " + s.Why
			}
			shots = append(shots, part)
			first = end
		}
	}
	c.Shots = shots
	return c
}
