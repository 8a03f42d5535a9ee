package handover

import (
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"math"
	"sort"
	"strings"

	"takeweave/internal/film"
)

// Report is everything that the report page tells.
type Report struct {
	Title    string // of the film
	Record   string // file name of the record
	FilmFile string // file name of the film, beside the report
	Engine   string // which codec engine made it
	Width    int
	Height   int
	Song     film.Song
	Cut      film.Cut
	Stills   [][]byte // JPEG, one per shot; nil where none could be made
	Passes   []PassReport
	Checks   Checks
}

// Checks is what the check of the finished file says.
type Checks struct {
	Words      string // the verdict in one sentence
	Findings   []Found
	NotChecked []string
	Sound      string // its loudness
	Caution    string
	// NotWritten is what was to be written into the picture and had no place.
	NotWritten []string
}

// Found is one fault.
type Found struct {
	Where, What, Words string
	Still              []byte // JPEG of the film there, nil for none
}

// Picture is the still as the page shows it, "" for none.
func (f Found) Picture() template.URL { return inPage(f.Still) }

// inPage returns a JPEG of our own as an address that lies in the page itself.
func inPage(jpeg []byte) template.URL {
	if jpeg == nil {
		return ""
	}
	return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(jpeg)) //nolint:gosec // the bytes are ours
}

// PassReport is what the report tells of one pass.
type PassReport struct {
	Name      string
	Clip      film.Clip
	LineUp    film.LineUp
	Agreement []film.Agreement
	Used      float64 // seconds of it in the film
}

// Figures are the figures of a cut, as the report and the command line show them.
type Figures struct {
	Shots         int     `json:"shots"`
	Seconds       float64 `json:"seconds"`
	MeanShot      float64 `json:"mean_shot_s"`
	MedianShot    float64 `json:"median_shot_s"`
	Agreeing      float64 `json:"agreeing_share"` // share of the music shown by agreeing shots
	NotAgreeing   int     `json:"shots_not_agreeing"`
	Holes         int     `json:"holes"`
	HoldMedianMS  float64 `json:"hold_error_median_ms"`
	HoldWorstMS   float64 `json:"hold_error_worst_ms"`
	MapErrorP90MS float64 `json:"map_error_p90_ms"` // median over shots of the map's 90 % bound
}

// FiguresOf sums up a cut over the music of the song.
func FiguresOf(c film.Cut, song film.Song) Figures {
	f := Figures{Shots: len(c.Shots), Seconds: float64(c.Rate.FrameStart(c.Frames))}
	var lengths, holds, maps []float64
	var music, agreeing float64
	for _, s := range c.Shots {
		span := film.SongSpan{From: c.At(s.First), To: c.At(s.End)}
		lengths = append(lengths, span.Len())
		inMusic := span.Overlap(song.Music)
		music += inMusic
		switch {
		case s.File == "":
			f.Holes++
			continue
		case s.Agreement >= film.Agrees:
			agreeing += inMusic
		case inMusic > 0:
			f.NotAgreeing++
		}
		if inMusic > 0 {
			holds = append(holds, s.HoldErrorMS)
			maps = append(maps, s.MapErrorMS)
		}
	}
	if len(lengths) > 0 {
		f.MeanShot = f.Seconds / float64(len(lengths))
	}
	f.MedianShot = middle(lengths)
	f.HoldMedianMS = middle(holds)
	for _, h := range holds {
		f.HoldWorstMS = math.Max(f.HoldWorstMS, h)
	}
	f.MapErrorP90MS = middle(maps)
	if music > 0 {
		f.Agreeing = agreeing / music
	}
	return f
}

// middle returns the median, 0 of nothing.
func middle(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = append([]float64(nil), v...)
	sort.Float64s(v)
	return (v[len(v)/2] + v[(len(v)-1)/2]) / 2
}

// Stretch is a part of the song in which a pass cannot be used, and why.
type Stretch struct {
	Span film.SongSpan
	Why  film.Why
	Late float64 // mean lateness in ms
}

// RefusedStretches lists the parts of at least half a second in which a segment
// does not agree, each with its commonest reason.
func RefusedStretches(a film.Agreement) []Stretch {
	var out []Stretch
	at := func(i int) film.SongTime { return film.SongTime(float64(a.First+i) * film.AgreementStep) }
	for i := 0; i < len(a.Score); {
		if a.Score[i] >= film.Agrees {
			i++
			continue
		}
		from := i
		count := map[film.Why]int{}
		var late float64
		for i < len(a.Score) && a.Score[i] < film.Agrees {
			count[a.Why[i]]++
			late += a.LateMS[i]
			i++
		}
		span := film.SongSpan{From: at(from), To: at(i)}
		if span.Len() < 0.5 {
			continue
		}
		worst := a.Why[from]
		for w, n := range count {
			if n > count[worst] || n == count[worst] && w < worst {
				worst = w
			}
		}
		out = append(out, Stretch{span, worst, late / float64(i-from)})
	}
	return out
}

//go:embed report.html
var reportPage string

// WriteReport writes the report as one self-contained page.
func WriteReport(out io.Writer, r Report) error {
	t, err := template.New("report").Funcs(template.FuncMap{
		"clock": clock,
		"ms":    func(v float64) string { return fmt.Sprintf("%.0f ms", v) },
		"sec":   func(v float64) string { return fmt.Sprintf("%.1f s", v) },
		"pct":   func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) },
	}).Parse(reportPage)
	if err != nil {
		return err
	}
	return t.Execute(out, pageOf(r))
}

// clock writes seconds as minutes and seconds, "1:04.2".
func clock(v float64) string {
	tenths := int(math.Round(v * 10))
	return fmt.Sprintf("%d:%02d.%d", tenths/600, tenths/10%60, tenths%10)
}

// page is the report laid out as the template shows it.
type page struct {
	Report
	Figures Figures
	Rows    []row
	Passes  []passRow
	Lined   int
}

// row is one line of the song with the shots that begin in it.
type row struct {
	Address string
	From    float64
	Text    string
	Section string // set where a section begins
	Shots   []card
}

// card is one shot.
type card struct {
	Number  int
	Picture template.URL
	Address string
	From    float64
	Seconds float64
	State   string // holds, doubtful, refused, hole: a word and a texture
	film.Shot
}

type passRow struct {
	PassReport
	Word      string
	Agreeing  float64
	Stretches []string
}

func pageOf(r Report) page {
	p := page{Report: r, Figures: FiguresOf(r.Cut, r.Song)}
	index := map[string]int{}
	for i, s := range r.Cut.Shots {
		from := r.Cut.At(s.First)
		seconds := float64(r.Cut.At(s.End) - from)
		// Cuts lie up to two frames before their beat: look a little further.
		in := from + film.SongTime(2*r.Cut.Rate.FrameSeconds())
		address := r.Song.Address(in)
		name, _, _ := strings.Cut(address, "/")
		j, ok := index[name]
		if !ok {
			j = len(p.Rows)
			index[name] = j
			n := row{Address: name, From: float64(from)}
			if l := r.Song.LineAt(in); l >= 0 {
				n.From, n.Text = float64(r.Song.Lines[l].Span.From), r.Song.Lines[l].Text
				if r.Song.Lines[l].Number == 1 {
					n.Section = r.Song.Sections[r.Song.Lines[l].Section].Name
				}
			}
			p.Rows = append(p.Rows, n)
		}
		c := card{Number: i + 1, Address: address, From: float64(from), Seconds: seconds, State: stateWords[StateOf(s, &r.Song, &r.Cut)], Shot: s}
		if i < len(r.Stills) {
			c.Picture = inPage(r.Stills[i])
		}
		p.Rows[j].Shots = append(p.Rows[j].Shots, c)
	}
	for _, pass := range r.Passes {
		n := passRow{PassReport: pass, Word: map[film.Status]string{film.Aligned: "lined up", film.Refused: "refused", film.Silent: "silent"}[pass.LineUp.Status]}
		for _, a := range pass.Agreement {
			for _, s := range a.Score {
				if s >= film.Agrees {
					n.Agreeing += film.AgreementStep
				}
			}
			for _, s := range RefusedStretches(a) {
				n.Stretches = append(n.Stretches, fmt.Sprintf("%s to %s: %s", r.Song.Address(s.Span.From), r.Song.Address(s.Span.To-0.05), s.Why.Say(s.Late)))
			}
		}
		if pass.LineUp.Status == film.Aligned {
			p.Lined++
		}
		p.Passes = append(p.Passes, n)
	}
	return p
}

// State is how far a shot can be trusted.
type State string

// The states of a shot.
const (
	Hole     State = "hole"  // nothing was filmed
	Quiet    State = "quiet" // outside the music
	Refused  State = "refused"
	Doubtful State = "doubtful"
	Holds    State = "holds"
)

// doubtMS is from how many milliseconds of parting a shot is doubtful in any
// setup. Source: ITU-R BT.1359-1, the detectable lead of sound.
const doubtMS = 45

// StateOf returns the state of a shot of a cut.
func StateOf(s film.Shot, song *film.Song, c *film.Cut) State {
	span := film.SongSpan{From: c.At(s.First), To: c.At(s.End)}
	switch {
	case s.File == "":
		return Hole
	case span.Overlap(song.Music) <= 0:
		return Quiet
	case s.Agreement < film.Agrees:
		return Refused
	case s.Worst < film.Agrees || s.HoldErrorMS > doubtMS:
		return Doubtful
	}
	return Holds
}

// stateWords are the states as the report says them.
var stateWords = map[State]string{Hole: "nothing filmed", Quiet: "no music", Refused: "does not agree", Doubtful: "doubtful", Holds: "holds"}
