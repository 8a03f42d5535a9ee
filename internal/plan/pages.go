package plan

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
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
		rows        float64 // about how many rows of text it has
		about       []light.Where
	}{
		{"call-sheet", "Call sheet", mostPoints, s.callRows(), []light.Where{light.AtPeople, light.AtExits, light.AtHearing}},
		{"shot-sheet", "Shot sheet", mostPoints, s.shotRows(), nil},
		{"room-and-light", "Room and light", mostPoints, s.lightRows(), []light.Where{light.AtPower, light.AtLeads, light.AtLamps, light.AtStands, light.AtExits}},
		{"song-sheet", "Song sheet", standPoints, s.songRows(), []light.Where{light.AtRights}},
		{"packing-list", "Packing list", mostPoints, s.packingRows(), []light.Where{light.AtLamps}},
		{"charge-list", "Charge list", mostPoints, float64(len(s.Charges())) + 14, []light.Where{light.AtBattery, light.AtData}},
	} {
		s.Title, s.Cautions = page.title, cautionsOf(t.Cautions, page.about)
		s.Points = min(page.most, pointsFor(page.rows+cautionRows(s.Cautions)))
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

	pagePoints = 740 // of height for text: A4 less margins and heading
	leading    = 1.45
)

// pointsFor returns the size of type at which so many rows fill a page.
func pointsFor(rows float64) float64 {
	return max(leastPoints, pagePoints/(leading*max(1, rows)))
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

func (s *sheet) callRows() float64 {
	return 17 + float64(len(s.Plan.Day.People)) + 1.4*float64(len(s.Told.Day.Steps)) + float64(len(s.Plan.Room.Noise)) + float64(len(s.Plan.Day.Notes)+len(s.Plan.Room.Notes))/70
}

// LogRows are the rows of the paper log, to be filled in by hand: fewer where there
// are many setups.
func (s *sheet) LogRows() []int { return make([]int, max(8, 20-len(s.Shots))) }

func (s *sheet) shotRows() float64 {
	rows := 8 + 1.4*float64(len(s.LogRows()))
	for _, shot := range s.Shots {
		rows += max(2.4, 1.2+float64(len(shot.Where()))/24, 0.6+float64(len(shot.Gives()))/16, 1.4+float64(len(shot.Why))/22)
	}
	return rows
}

func (s *sheet) lightRows() float64 {
	rows := 31.0 // of the drawing
	for _, l := range s.Told.Lights {
		rows += 2 + 1.2*float64(len(l.Lamps))
	}
	return rows + float64(len(s.Shots))/2 + float64(len(s.Told.Power.Sums))
}

// SongColumns is in how many columns the song is set.
func (s *sheet) SongColumns() int { return 1 + min(1, len(s.Told.Song.Lines)/25) }

func (s *sheet) songRows() float64 {
	rows := 5.0
	for _, v := range s.Verses() {
		rows += 1.4
		for _, l := range v.Lines {
			rows += 1.1 + 0.9*float64(len(l.Marks))
		}
	}
	return rows / (0.92 * float64(s.SongColumns()))
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

func (s *sheet) packingRows() float64 {
	rows := 8 + 1.25*float64(len(s.Plan.Room.PutBack))
	for _, g := range s.Groups() {
		rows += 1.5 + 1.25*float64(len(g.Rows))
	}
	return rows
}

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
