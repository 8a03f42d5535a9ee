package titles

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// Facts is what is known of a film, typed once. Only Artist and Title must be
// given; what is empty is mentioned nowhere.
type Facts struct {
	Artist      string       `json:"artist"`
	Title       string       `json:"title"`
	Writers     []string     `json:"writers,omitempty"`
	Engineer    string       `json:"recording_engineer,omitempty"`
	Owner       string       `json:"recording_owner,omitempty"`
	Place       string       `json:"place,omitempty"`
	Date        string       `json:"date,omitempty"` // 2026-03-14
	FilmedBy    []string     `json:"filmed_by,omitempty"`
	Thanks      []string     `json:"thanks,omitempty"`
	Links       []string     `json:"links,omitempty"` // https://...
	Permissions []Permission `json:"permissions,omitempty"`
}

// Subject is what a permission is for.
type Subject string

// The subjects, in the order in which they are told.
const (
	Composition Subject = "composition" // one of each writer
	Recording   Subject = "recording"
	Performer   Subject = "performer"
	Room        Subject = "room"
	Artwork     Subject = "artwork and brands"
	OtherPeople Subject = "other people"
	OtherMusic  Subject = "music by others"
)

var subjects = []Subject{Composition, Recording, Performer, Room, Artwork, OtherPeople, OtherMusic}

// State is how a permission stands.
type State string

// The states. A permission that is not mentioned is open.
const (
	Open      State = "open"
	Given     State = "yes"
	NotNeeded State = "not needed"
)

// Permission says whether something may be shown or heard.
type Permission struct {
	For    Subject `json:"for"`
	Writer string  `json:"writer,omitempty"` // whose part, for a composition
	State  State   `json:"state"`
	By     string  `json:"by,omitempty"`   // who gave it, or found that none is needed
	Date   string  `json:"date,omitempty"` // 2026-03-14
}

// String returns what the permission is for, "composition by Maud Ferrow".
func (p Permission) String() string {
	if p.Writer != "" {
		return string(p.For) + " by " + p.Writer
	}
	return string(p.For)
}

// Gates returns the permissions that are open, each in words, in the order of the
// subjects. None are open when it is empty; it is no legal advice.
func (f *Facts) Gates() []string {
	var open []string
	for _, wanted := range f.wanted() {
		at := slices.IndexFunc(f.Permissions, func(p Permission) bool {
			return p.For == wanted.For && p.Writer == wanted.Writer
		})
		if at < 0 || f.Permissions[at].State == Open || f.Permissions[at].State == "" {
			open = append(open, "permission open: "+wanted.String())
		}
	}
	return open
}

// wanted returns the permissions that a film needs an answer to.
func (f *Facts) wanted() []Permission {
	var all []Permission
	for _, s := range subjects {
		if s != Composition || len(f.Writers) == 0 {
			all = append(all, Permission{For: s})
			continue
		}
		for _, w := range f.Writers {
			all = append(all, Permission{For: s, Writer: w})
		}
	}
	return all
}

// Validate returns everything that is wrong with the facts, each as a
// *film.Error whose Path is the JSON name of the fact, joined; nil when all is
// well.
func (f *Facts) Validate() error {
	var all []error
	tell := func(fact, msg, hint string) {
		all = append(all, &film.Error{Code: film.CodeUsage, Path: fact, Msg: msg, Hint: hint})
	}
	for fact, text := range map[string]string{"artist": f.Artist, "title": f.Title} {
		if strings.TrimSpace(text) == "" {
			tell(fact, "is empty", "type the "+fact+" as it is to be read")
		}
	}
	if f.Date != "" && !isDate(f.Date) {
		tell("date", fmt.Sprintf("is %q, which is no day", f.Date), "write it as 2026-03-14")
	}
	for fact, names := range map[string][]string{"writers": f.Writers, "filmed_by": f.FilmedBy, "thanks": f.Thanks} {
		for i, n := range names {
			if strings.TrimSpace(n) == "" {
				tell(fact, fmt.Sprintf("has an empty name, the %d.", i+1), "type the name or take it out")
			}
			if slices.Index(names, n) < i {
				tell(fact, fmt.Sprintf("has %q twice", n), "take one out")
			}
		}
	}
	for _, l := range f.Links {
		if !strings.HasPrefix(l, "https://") && !strings.HasPrefix(l, "http://") || strings.ContainsAny(l, " \t\n") {
			tell("links", fmt.Sprintf("has %q, which is no address", l), "write it in full, as https://example.org/song")
		}
	}
	for i, p := range f.Permissions {
		if msg, hint := f.wrong(p); msg != "" {
			tell("permissions", p.String()+" "+msg, hint)
		}
		same := func(q Permission) bool { return q.For == p.For && q.Writer == p.Writer }
		if slices.IndexFunc(f.Permissions, same) < i {
			tell("permissions", p.String()+" is there twice", "keep the one that holds")
		}
	}
	slices.SortStableFunc(all, func(a, b error) int { return strings.Compare(a.Error(), b.Error()) })
	return errors.Join(all...)
}

// wrong returns what is wrong with a permission and what to do, "" for nothing.
func (f *Facts) wrong(p Permission) (msg, hint string) {
	known := func(q Permission) bool { return q.For == p.For && q.Writer == p.Writer }
	switch {
	case !slices.Contains(subjects, p.For):
		return "is for nothing that is known", fmt.Sprintf("say one of %q", subjects)
	case p.For == Composition && p.Writer == "" && len(f.Writers) > 0:
		return "does not say whose part it is for", fmt.Sprintf("give the writer, one of %q", f.Writers)
	case !slices.ContainsFunc(f.wanted(), known):
		return "is of nobody among the writers", fmt.Sprintf("write the name as among the writers, %q", f.Writers)
	case p.Date != "" && !isDate(p.Date):
		return fmt.Sprintf("is dated %q, which is no day", p.Date), "write it as 2026-03-14"
	}
	switch p.State {
	case Open, "":
		return "", ""
	case Given, NotNeeded:
		if p.By == "" || p.Date == "" {
			return fmt.Sprintf("is %q, but by whom and when is not said", p.State), "give the name and the date, or leave it open"
		}
		return "", ""
	}
	return fmt.Sprintf("is %q", p.State), fmt.Sprintf("say %q, %q or %q", Open, Given, NotNeeded)
}

// isDate reports whether s is a day of the calendar, written 2026-03-14.
func isDate(s string) bool {
	var year, month, day int
	if n, err := fmt.Sscanf(s, "%4d-%2d-%2d", &year, &month, &day); n != 3 || err != nil {
		return false
	}
	if s != fmt.Sprintf("%04d-%02d-%02d", year, month, day) || month < 1 || month > 12 {
		return false
	}
	days := [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month-1]
	if month == 2 && (year%4 == 0 && year%100 != 0 || year%400 == 0) {
		days = 29
	}
	return day >= 1 && day <= days
}
