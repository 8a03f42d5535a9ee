package plan

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"takeweave/internal/light"
)

// Page is a page to print: one self-contained HTML text that is one A4 sheet.
type Page struct {
	Name string // "call-sheet"
	HTML []byte
}

//go:embed pages
var pageFiles embed.FS

var pageTemplates = template.Must(template.New("").Funcs(template.FuncMap{
	"join": func(all []string) string { return strings.Join(all, ", ") },
}).ParseFS(pageFiles, "pages/*.html"))

// Pages returns the pages to print. The type is as large as what is on the page
// allows.
func Pages(p Plan, t Told) ([]Page, error) {
	s := &sheet{Plan: p, Told: t}
	s.Shots = s.shots()
	var pages []Page
	for _, page := range []struct {
		name, title string
		most        float64 // points of type
		high        float64 // points of the page for rows
		rows        func(points float64) float64
		about       []light.Where
	}{
		{"call-sheet", "Call sheet", mostPoints, pagePoints, s.callRows, []light.Where{light.AtPeople, light.AtExits, light.AtHearing}},
		{"shot-sheet", "Shot sheet", mostPoints, pagePoints, s.shotRows, nil},
		{"room-and-light", "Room and light", mostPoints, pagePoints - s.drawnHighMM()*pointsPerMM, s.lightRows, []light.Where{light.AtPower, light.AtLeads, light.AtLamps, light.AtStands, light.AtExits}},
		{"song-sheet", "Song sheet", standPoints, pagePoints, s.songRows, []light.Where{light.AtRights}},
		{"packing-list", "Packing list", mostPoints, pagePoints, s.packingRows, []light.Where{light.AtLamps}},
		{"charge-list", "Charge list", mostPoints, pagePoints, s.chargeRows, []light.Where{light.AtBattery, light.AtData}},
	} {
		s.Title, s.Cautions = page.title, cautionsOf(t.Cautions, page.about)
		s.Points = typeSize(page.most, page.high, func(points float64) float64 { return page.rows(points) + cautionRows(s.Cautions) })
		var out bytes.Buffer
		if err := pageTemplates.ExecuteTemplate(&out, page.name+".html", s); err != nil {
			return nil, fmt.Errorf("page %s: %w", page.name, err)
		}
		pages = append(pages, Page{page.name, out.Bytes()})
	}
	return pages, nil
}

// Type on the pages: 14 points are read at arm's length in dim light, 20 on a music
// stand, 5 are the least that prints. Common practice.
const (
	mostPoints, standPoints, leastPoints = 14, 20, 5

	pagePoints  = 740  // of height for text: A4 less margins and heading
	leading     = 1.45 // of a row, with what is between rows
	pointsPerMM = 72 / 25.4
)

// typeSize returns the largest size of type at which as many rows as there then are
// fill no more than a height.
func typeSize(most, high float64, rows func(points float64) float64) float64 {
	points := most
	for points > leastPoints && rows(points)*leading*points > high {
		points -= 0.25
	}
	return points
}

// letters is how many letters go into a width in points. That a letter is half as
// wide as its type is high was measured on the printed pages, with some to spare.
func letters(wide, points float64) float64 { return max(1, wide/(0.53*points)) }

// wrapped is how many rows a text takes in a width.
func wrapped(text string, wide, points float64) float64 {
	return math.Ceil(max(1, float64(len(text))) / letters(wide, points))
}

// cautionRows is about how many rows the cautions take: they are set smaller.
func cautionRows(all []light.Caution) (rows float64) {
	for _, c := range all {
		rows += 0.8 * (1 + float64(len(c.Text)/110))
	}
	return rows
}

func cautionsOf(all []light.Caution, about []light.Where) []light.Caution {
	var out []light.Caution
	for _, c := range all {
		if slices.Contains(about, c.Where) {
			out = append(out, c)
		}
	}
	return out
}

// sheet is what the pages are filled from.
type sheet struct {
	Plan
	Told     Told
	Title    string
	Points   float64
	Cautions []light.Caution
	Shots    []shot
}

// shot is a setup on the pages, numbered in the order of the day.
type shot struct {
	Number int
	Setup
	Seen Seen
	Step *DayStep
}

// shots lists the setups in the order of the day, as typed while there is none.
func (s *sheet) shots() []shot {
	var all []shot
	take := func(name string) {
		i := slices.IndexFunc(s.Plan.Setups, func(u Setup) bool { return u.Name == name })
		if i < 0 || slices.ContainsFunc(all, func(o shot) bool { return o.Name == name }) {
			return
		}
		n := shot{Number: len(all) + 1, Setup: s.Plan.Setups[i], Seen: s.Told.Setups[i]}
		for k := range s.Told.Day.Steps {
			if s.Told.Day.Steps[k].Setup == name {
				n.Step = &s.Told.Day.Steps[k]
			}
		}
		all = append(all, n)
	}
	for _, name := range s.Told.Day.Order {
		take(name)
	}
	for i := range s.Plan.Setups {
		take(s.Plan.Setups[i].Name)
	}
	return all
}

// Glass is lens, stop and exposure of a shot in a row.
func (s shot) Glass() string {
	var all []string
	switch {
	case s.Seen.Camera.FocalMM > 0:
		all = append(all, fmt.Sprintf("%g mm", s.Seen.Camera.FocalMM))
	case s.Lens != "":
		all = append(all, s.Lens)
	}
	if s.Stop > 0 {
		all = append(all, fmt.Sprintf("f/%g", s.Stop))
	}
	if e := s.Seen.Light.Exposure; e != nil {
		all = append(all, fmt.Sprintf("1/%.0f", 1/e.Seconds), fmt.Sprintf("ISO %g", e.ISO))
	}
	if s.NDStops > 0 {
		all = append(all, fmt.Sprintf("ND %g", s.NDStops))
	}
	return strings.Join(all, " ")
}

// Where is where the camera of a shot stands.
func (s shot) Where() string {
	var all []string
	if s.DistanceM > 0 {
		all = append(all, fmt.Sprintf("%.2f m", s.DistanceM))
	}
	if s.AngleDeg != nil {
		all = append(all, fmt.Sprintf("%.0f°", *s.AngleDeg))
	}
	if s.HeightM > 0 {
		all = append(all, fmt.Sprintf("lens %.2f m", s.HeightM))
	}
	if s.AimM > 0 {
		all = append(all, fmt.Sprintf("aim %.2f m", s.AimM))
	}
	if s.Support != "" {
		all = append(all, s.Support)
	}
	if m := s.Move; m.Way != "" {
		all = append(all, fmt.Sprintf("moves %s %.2f m in %.0f s", m.Way, m.LengthM, m.LegS))
	}
	return strings.Join(all, ", ")
}

// Gives is what a shot is for.
func (s shot) Gives() string {
	all := []string{passesWords(&s.Setup)}
	if s.Shows != "" {
		all = append(all, "shows "+string(s.Shows))
	}
	if of := append(slices.Clone(s.Serves), s.Lines...); len(of) > 0 {
		all = append(all, strings.Join(of, " "))
	}
	return strings.Join(slices.DeleteFunc(all, func(t string) bool { return t == "" }), ", ")
}

func (s *sheet) callRows(float64) float64 {
	return 17 + float64(len(s.Plan.Day.People)) + 1.4*float64(len(s.Told.Day.Steps)) + float64(len(s.Plan.Room.Noise)) +
		float64(len(s.Plan.Day.Notes)+len(s.Plan.Room.Notes)+len(s.Told.Day.Verdict.Say))/70
}

// LogRows are the rows of the paper log, to be filled in by hand: fewer where there
// are many setups.
func (s *sheet) LogRows() []int { return make([]int, max(8, 20-len(s.Shots))) }

func (s *sheet) shotRows(points float64) float64 {
	rows := 8 + 1.4*float64(len(s.LogRows()))
	for _, shot := range s.Shots {
		rows += 0.1 + max(1.8, wrapped(shot.Where(), 135, points), wrapped(shot.Gives(), 110, points),
			0.8+wrapped(shot.Glass(), 85, points), 1+0.8*wrapped(shot.Why, 105, points))
	}
	return rows
}

// lampRows are the rows of the tables of lamps.
func (s *sheet) lampRows() (rows float64) {
	for _, l := range s.Told.Lights {
		rows += 2.4 + 1.2*float64(len(l.Lamps))
	}
	return rows
}

func (s *sheet) lightRows(points float64) float64 {
	rows := 3 + s.lampRows() + float64(len(s.Shots))/3 + float64(len(s.Told.Power.Sums))
	for _, shot := range s.Shots {
		if shot.Seen.Light.Verdict.Answer == Fails {
			rows += wrapped(shot.Name+shot.Seen.Light.Verdict.Say, pageWide, points)
		}
	}
	return rows
}

// pageWide is the page's width for text, in points.
const pageWide = 538

// drawnHighMM is how high the room is drawn at most: the more lamps, the less.
func (s *sheet) drawnHighMM() float64 { return max(85, 150-3*s.lampRows()) }

// SongColumns is in how many columns the song is set.
func (s *sheet) SongColumns() int { return 1 + min(1, len(s.Told.Song.Lines)/25) }

// songRows counts the rows of a column.
func (s *sheet) songRows(points float64) float64 {
	columns := float64(s.SongColumns())
	wide := pageWide/columns - 12 - 3.2*points // less the gap and the names of lines
	rows := 0.0
	for _, v := range s.Verses() {
		rows += 1.5
		for _, l := range v.Lines {
			rows += 0.92 * wrapped(l.Text, wide, points)
			for _, m := range l.Marks {
				rows += 0.9 * wrapped(m+"    ", wide, points)
			}
		}
	}
	return 3 + rows/columns*1.04 // columns do not end alike
}

// verse is a section on the song sheet.
type verse struct {
	Name  string
	Lines []verseLine
}

// verseLine is a line with what must be seen in it.
type verseLine struct {
	SungLine
	Free  bool // nobody sings
	Marks []string
}

// Verses are the sections of the song with what is marked in them.
func (s *sheet) Verses() (all []verse) {
	for i, l := range s.Told.Song.Lines {
		if i == 0 || l.Section != s.Told.Song.Lines[i-1].Section {
			all = append(all, verse{Name: l.Section})
		}
		line := verseLine{SungLine: l}
		for _, f := range s.Told.Song.VoiceFree {
			line.Free = line.Free || f.Span.Overlap(l.Span) > l.Span.Len()/2
		}
		for _, m := range s.Told.Song.MustSee {
			if m.Line == i {
				line.Marks = append(line.Marks, strings.TrimSpace(fmt.Sprintf("%s, %s: %s", m.Text, m.Shows, times(m.Wanted))))
			}
		}
		v := &all[len(all)-1]
		v.Lines = append(v.Lines, line)
	}
	return all
}

// packGroup is a part of the packing list.
type packGroup struct {
	Name string
	Rows []Packed
}

// Groups are the rows of the packing list by what they belong to.
func (s *sheet) Groups() (all []packGroup) {
	for _, name := range []string{"camera", "light", "power", "other"} {
		g := packGroup{Name: name}
		for _, r := range s.Told.Packing {
			if r.Group == name {
				g.Rows = append(g.Rows, r)
			}
		}
		if len(g.Rows) > 0 {
			all = append(all, g)
		}
	}
	return all
}

func (s *sheet) packingRows(float64) float64 {
	rows := 8 + 1.25*float64(len(s.Plan.Room.PutBack))
	for _, g := range s.Groups() {
		rows += 1.5 + 1.25*float64(len(g.Rows))
	}
	return rows
}

func (s *sheet) chargeRows(float64) float64 { return float64(len(s.Charges())) + 14 }

// Charges are the rows that are charged the night before.
func (s *sheet) Charges() (all []Packed) {
	for _, r := range s.Told.Packing {
		if r.Charge {
			all = append(all, r)
		}
	}
	return all
}

// Boxes are as many as are to be ticked, up to a row of them.
func (p Packed) Boxes() []int { return make([]int, min(12, max(1, p.Count))) }

// Placed finds how a lamp stands in a state.
func (s *sheet) Placed(state, lamp string) Placed {
	for _, l := range s.Plan.Lights {
		for _, p := range l.Lamps {
			if l.Name == state && p.Lamp == lamp {
				return p
			}
		}
	}
	return Placed{}
}

// Filters names what hangs before a lamp.
func (p Placed) FilterNames() string {
	var names []string
	for _, f := range p.Filters {
		names = append(names, f.Name)
	}
	return strings.Join(names, ", ")
}

// About is what the heading says beside the page's name.
func (s *sheet) About() string {
	about := []string{s.Told.Title, s.Told.Artist, s.Plan.Place.Date}
	return strings.Join(slices.DeleteFunc(about, func(t string) bool { return t == "" }), " · ")
}

// CardName names a card.
func (s *sheet) CardName(i int) string { return orName(s.Plan.Camera.Cards[i].Name, "no.", i) }
