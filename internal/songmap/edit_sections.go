package songmap

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

func (e NameSection) apply(d *draft) (string, error) {
	if err := place(e.Section, len(d.Sections), "section"); err != nil {
		return "", err
	}
	was := d.Sections[e.Section].Name
	name, err := oneLine(e.Name)
	if err != nil {
		return "", err
	}
	if err := mayBeName(name); err != nil {
		return "", err
	}
	if name == was {
		return "", badEdit("the section is called "+was+" already", "give another name")
	}
	for i, s := range d.Sections {
		if i != e.Section && strings.EqualFold(s.Name, name) {
			return "", badEdit(fmt.Sprintf("another section is called %s, from %.2f s on", s.Name, float64(s.Span.From)), "give a name that no other section has, for example "+d.freeName(name+" "))
		}
	}
	d.Sections[e.Section].Name = name
	return was + " is now called " + name, nil
}

// lineLike is a name that reads as the address of a line.
var lineLike = regexp.MustCompile(`\.\d+$`)

// longestName is the longest name of a section, in bytes.
const longestName = 60

// mayBeName returns an error when an address with the name could mean something
// else as well.
func mayBeName(name string) error {
	_, err := strconv.ParseFloat(strings.TrimSuffix(name, "s"), 64)
	switch {
	case name == "":
		return badEdit("a section needs a name", "give one, for example Chorus 1")
	case err == nil:
		return badEdit(fmt.Sprintf("the name %q reads as a time", name), "put a word before it, for example Part 1")
	case strings.Contains(name, "/") || lineLike.MatchString(name):
		return badEdit(fmt.Sprintf("the name %q reads as the address of a line or a beat", name), "leave out the slash, or the full stop before the number")
	case len(name) > longestName:
		return badEdit("the name is too long", fmt.Sprintf("give %d letters at most", longestName))
	}
	return nil
}

// freeName returns stem with the lowest number that makes a name of no section.
func (d *draft) freeName(stem string) string {
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s%d", stem, n)
		if !slices.ContainsFunc(d.Sections, func(s film.Section) bool { return strings.EqualFold(s.Name, name) }) {
			return name
		}
	}
}

func (e SectionStart) apply(d *draft) (string, error) {
	if err := place(e.Line, len(d.Lines), "line"); err != nil {
		return "", err
	}
	l, line := d.Lines[e.Line], d.LineName(e.Line)
	if l.Number == 1 {
		return "", badEdit("a section begins with "+line+" already", "give another line")
	}
	letter := e.Letter
	for n := 0; letter == ""; n++ {
		if !slices.ContainsFunc(d.Sections, func(s film.Section) bool { return s.Letter == letterOf(n) }) {
			letter = letterOf(n)
		}
	}
	if len(letter) > 2 || strings.Trim(letter, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return "", badEdit(fmt.Sprintf("%q is no letter of a part", letter), "give A to Z, that of the part it repeats, or none")
	}
	old := d.Sections[l.Section]
	d.Sections = slices.Insert(d.Sections, l.Section+1, film.Section{Name: d.freeName(letter), Letter: letter, PaceS: old.PaceS})
	for i := e.Line; i < len(d.Lines); i++ {
		d.Lines[i].Section++
	}
	return fmt.Sprintf("%s begins with what was %s", d.Sections[l.Section+1].Name, line), nil
}

func (e SectionDrop) apply(d *draft) (string, error) {
	if err := place(e.Section, len(d.Sections), "section"); err != nil {
		return "", err
	}
	if e.Section == 0 {
		return "", badEdit(d.Sections[0].Name+" is the first section: there is none before it to join", "drop the second, and name the first anew")
	}
	words := fmt.Sprintf("%s is part of %s now", d.Sections[e.Section].Name, d.Sections[e.Section-1].Name)
	d.Sections = slices.Delete(d.Sections, e.Section, e.Section+1)
	for i := range d.Lines {
		if d.Lines[i].Section >= e.Section {
			d.Lines[i].Section--
		}
	}
	return words, nil
}

// The pace that may be asked for, in seconds. Shorter shots than the shortest
// read as flashes; common practice.
const (
	quickestPace = 0.5
	calmestPace  = 120.0
)

func (e Pace) apply(d *draft) (string, error) {
	if err := place(e.Section, len(d.Sections), "section"); err != nil {
		return "", err
	}
	s := &d.Sections[e.Section]
	if e.Seconds != 0 && !(e.Seconds >= quickestPace && e.Seconds <= calmestPace) {
		return "", badEdit(fmt.Sprintf("shots cannot last %g s in %s", e.Seconds, s.Name), fmt.Sprintf("give %g to %g, or 0 to leave it to the film", quickestPace, calmestPace))
	}
	if e.Seconds == s.PaceS {
		return "", badEdit(s.Name+" has that pace already", "give another")
	}
	s.PaceS = e.Seconds
	if e.Seconds == 0 {
		return "the pace of " + s.Name + " is left to the film", nil
	}
	return fmt.Sprintf("shots of about %g s in %s", e.Seconds, s.Name), nil
}
